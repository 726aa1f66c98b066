package services

import (
	"encoding/json"
	"fmt"
	"math"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"
	_ "time/tzdata"

	"treewhen/phenology/civil"
	"treewhen/phenology/weather"
)

func recorded(t testing.TB, name string) []byte {
	t.Helper()
	data, err := os.ReadFile(filepath.Join("testdata", name))
	if err != nil {
		t.Fatal(err)
	}
	return data
}

func zone(t testing.TB, name string) *time.Location {
	t.Helper()
	z, err := time.LoadLocation(name)
	if err != nil {
		t.Fatal(err)
	}
	return z
}

func day(t *testing.T, text string) civil.Date {
	t.Helper()
	d, err := civil.Parse(text)
	if err != nil {
		t.Fatal(err)
	}
	return d
}

// rows writes a series as "2022-02-04 17.8 26.7", a line a day.
func rows(s weather.Series) string {
	var b strings.Builder
	for i, d := range s.Days {
		fmt.Fprintf(&b, "%s %.1f %.1f\n", s.First+civil.Date(i), d.Min, d.Max)
	}
	return b.String()
}

// What is asked, letter by letter, as the agencies' documentation has it.
func TestWhatIsAsked(t *testing.T) {
	span := civil.Span{First: day(t, "1990-01-01"), Last: day(t, "2026-11-27")}
	at := Point{Latitude: 44.3098, Longitude: -72.9201, Elevation: 424, Decimals: 2}
	for _, row := range []struct{ got, want string }{
		{noaaDaily.Records.Days("USW00014742", span, 0), "/data/v1?dataset=daily-summaries&stations=USW00014742&" +
			"startDate=1990-01-01&endDate=2026-11-27&dataTypes=TMAX,TMIN&units=metric&format=csv&" +
			"includeAttributes=true&includeStationName=true&includeStationLocation=1"},
		{canadaDaily.Records.Days("7025250", span, 10000), "/collections/climate-daily/items?" +
			"CLIMATE_IDENTIFIER=7025250&datetime=1990-01-01%2F2026-11-27&f=json&limit=10000&offset=10000&" +
			"sortby=LOCAL_DATE&properties=CLIMATE_IDENTIFIER,LOCAL_DATE,MIN_TEMPERATURE,MAX_TEMPERATURE," +
			"MIN_TEMPERATURE_FLAG,MAX_TEMPERATURE_FLAG"},
		{usForecast.Forecasts.First(at), "/points/44.31,-72.92"},
		{usForecast.Forecasts.First(Point{Latitude: 44.3, Longitude: -73, Decimals: 2}), "/points/44.3,-73"},
		{norwayForecast.Forecasts.First(at), "/complete?lat=44.31&lon=-72.92&altitude=420"},
		{norwayForecast.Forecasts.First(Point{Latitude: 44.3098, Longitude: -72.9201, Elevation: -2, Decimals: 4}),
			"/complete?lat=44.3098&lon=-72.9201&altitude=0"},
		{noaaDaily.Records.Near(Point{Latitude: 44, Longitude: -72}, 55.6, span, 0), "/search/v1/data?" +
			"dataset=daily-summaries&bbox=44.50,-72.70,43.50,-71.30&dataTypes=TMAX,TMIN&" +
			"startDate=1990-01-01&endDate=2026-11-27&limit=60&offset=0"},
		{canadaDaily.Records.Near(Point{Latitude: 44, Longitude: -72}, 55.6, span, 0),
			"/collections/climate-stations/items?bbox=-72.70,43.50,-71.30,44.50&f=json&limit=500&offset=0"},
	} {
		if row.got != row.want {
			t.Errorf("found\n%s\nwant\n%s", row.got, row.want)
		}
	}
}

// NWS as recorded, TBW 93,38 in Florida: a maximum belongs to the local day of its start, a minimum to the local
// morning of its end. The first day has an hour of its night alone, and is not given.
func TestRecordedNWS(t *testing.T) {
	path, err := readNWSWhere(recorded(t, "nws-points.json"))
	if err != nil || path != "/gridpoints/TAE/58,65" {
		t.Errorf("found %q, %v", path, err)
	}
	f, err := readNWS(recorded(t, "nws-gridpoint.json"), zone(t, "America/New_York"))
	if err != nil {
		t.Fatal(err)
	}
	const want = `2022-02-04 17.8 26.7
2022-02-05 16.7 22.8
2022-02-06 14.4 22.8
2022-02-07 14.4 22.2
2022-02-08 12.8 22.2
2022-02-09 12.8 21.7
2022-02-10 12.8 21.1
`
	if got := rows(f.Series); got != want {
		t.Errorf("found\n%s", got)
	}
	if f.Elevation == nil || math.Abs(*f.Elevation-2.1336) > 1e-9 {
		t.Errorf("found height %v", f.Elevation)
	}
	for _, d := range f.Series.Days {
		if d.Flags != weather.Forecast {
			t.Errorf("found flags %s", d.Flags)
		}
	}
}

// MET Norway as recorded: the compact form has no extremes, so that only the one day with a value for every hour is
// given. Its own extremes of the day were taken by hand from the file.
func TestRecordedNorway(t *testing.T) {
	oslo := zone(t, "Europe/Oslo")
	body := recorded(t, "metno-compact.json")
	f, err := readNorway(body, oslo)
	if err != nil {
		t.Fatal(err)
	}
	if got := rows(f.Series); got != "2021-10-21 9.0 11.5\n" {
		t.Errorf("found\n%s", got)
	}
	if f.Elevation == nil || *f.Elevation != 42 {
		t.Errorf("found height %v", f.Elevation)
	}
	// The complete form, made of the same with extremes over six hours, those of the values in them.
	f, err = readNorway(complete(t, body), oslo)
	if err != nil {
		t.Fatal(err)
	}
	const want = `2021-10-21 8.5 11.5
2021-10-22 7.6 9.8
2021-10-23 5.1 9.0
2021-10-24 5.1 10.3
2021-10-25 8.7 10.5
2021-10-26 9.8 11.2
2021-10-27 10.5 12.8
2021-10-28 10.6 12.4
`
	if got := rows(f.Series); got != want {
		t.Errorf("found\n%s", got)
	}
}

// complete adds to a recorded answer what the complete form has beside: extremes over the next six hours.
func complete(t testing.TB, body []byte) []byte {
	t.Helper()
	var doc map[string]any
	if err := json.Unmarshal(body, &doc); err != nil {
		t.Fatal(err)
	}
	list := doc["properties"].(map[string]any)["timeseries"].([]any)
	at := func(i int) (time.Time, float64, map[string]any) {
		e := list[i].(map[string]any)
		data := e["data"].(map[string]any)
		when, err := time.Parse(time.RFC3339, e["time"].(string))
		if err != nil {
			t.Fatal(err)
		}
		return when, data["instant"].(map[string]any)["details"].(map[string]any)["air_temperature"].(float64), data
	}
	for i := range len(list) - 1 {
		from, _, data := at(i)
		low, high := math.Inf(1), math.Inf(-1)
		for k := i; k < len(list); k++ {
			if when, v, _ := at(k); !when.After(from.Add(6 * time.Hour)) {
				low, high = min(low, v), max(high, v)
			}
		}
		details := map[string]any{"air_temperature_max": high, "air_temperature_min": low}
		data["next_6_hours"] = map[string]any{"details": details}
	}
	out, err := json.Marshal(doc)
	if err != nil {
		t.Fatal(err)
	}
	return out
}

// Canada as recorded, Calgary on 1 January 2021.
func TestRecordedCanada(t *testing.T) {
	got, err := readCanadaDays(recorded(t, "eccc-climate-daily.json"), "3031094")
	if err != nil {
		t.Fatal(err)
	}
	if rows(got.Series) != "2021-01-01 -5.0 3.2\n" || got.Rows != 1 || got.More != 1 ||
		math.Abs(*got.Station.Latitude-51.10944722) > 1e-6 {
		t.Errorf("found %+v\n%s", got, rows(got.Series))
	}
	_, err = readCanadaDays(recorded(t, "eccc-climate-daily.json"), "7025250")
	if err == nil || !strings.Contains(err.Error(), "3031094") {
		t.Errorf("another station's days: found %v", err)
	}
	flagged := `{"features":[
		{"properties":{"LOCAL_DATE":"2021-01-01","MIN_TEMPERATURE":-5,"MIN_TEMPERATURE_FLAG":"E",
			"MAX_TEMPERATURE":null,"MAX_TEMPERATURE_FLAG":"M"}},
		{"properties":{"LOCAL_DATE":"2021-01-02T00:00:00","MIN_TEMPERATURE":"-4.5",
			"MAX_TEMPERATURE":2,"MAX_TEMPERATURE_FLAG":"M"}}]}`
	got, err = readCanadaDays([]byte(flagged), "7025250")
	const want = "2021-01-01 -5.0 NaN\n2021-01-02 -4.5 NaN\n"
	if err != nil || rows(got.Series) != want || got.Series.Days[0].Flags != weather.Estimated {
		t.Errorf("flags: found %v\n%s", err, rows(got.Series))
	}
}

// NOAA in the form described: degrees Celsius, a value that failed a check left out, a day without values missing.
func TestNOAADays(t *testing.T) {
	got, err := readNOAADays(recorded(t, "noaa-daily-made.csv"), "USW00099901")
	if err != nil {
		t.Fatal(err)
	}
	const want = `2026-08-01 16.1 27.2
2026-08-02 17.2 28.9
2026-08-03 18.3 30.0
2026-08-04 NaN NaN
2026-08-05 14.4 24.4
2026-08-06 12.8 25.6
2026-08-07 13.9 26.7
2026-08-08 15.0 27.8
2026-08-09 16.7 NaN
2026-08-10 15.6 22.8
`
	if rows(got.Series) != want || *got.Station.Elevation != 100.9 {
		t.Errorf("found %+v\n%s", got.Station, rows(got.Series))
	}
	heights, err := readNOAAHeights(recorded(t, "noaa-daily-made.csv"))
	if err != nil || *heights["USW00099901"].Elevation != 100.9 {
		t.Errorf("found %v, %v", heights, err)
	}
	for _, empty := range []string{"", "\n", `"STATION","DATE","TMAX","TMIN"` + "\n"} {
		if got, err := readNOAADays([]byte(empty), "USW00099901"); err != nil || got.Rows != 0 {
			t.Errorf("%q: found %v, %v", empty, got, err)
		}
	}
}

func TestStationsNear(t *testing.T) {
	today := day(t, "2026-11-28")
	got, err := readNOAANear(recorded(t, "noaa-search-made.json"))
	if err != nil || len(got.List) != 4 || got.More != 5 {
		t.Fatalf("found %+v, %v", got, err)
	}
	if s := got.List[1]; s.ID != "USC00999902" || s.First != day(t, "1954-11-01") || s.Last != day(t, "2026-11-25") ||
		s.Fullness != 0.98 || s.Elevation != nil {
		t.Errorf("found %+v", s)
	}
	// A town in a valley: the airport that reports and is long, and the nearest one beside it; not the summit.
	at := Point{Latitude: 44.47, Longitude: -72.68, Elevation: 221}
	heights := map[string]float64{"USW00099901": 101, "USC00999902": 1205, "USC00999903": 230}
	for i := range got.List {
		if h, ok := heights[got.List[i].ID]; ok {
			got.List[i].Elevation = &h
		}
	}
	if picked := ids(Pick(got.List, at, today)); picked != "USC00999903 USC00999904" {
		t.Errorf("found %s", picked) // the hollow reports; the mill has the years before it
	}
	// Without the mill, the airport's years make up for its distance.
	if picked := ids(Pick(got.List[:3], at, today)); picked != "USC00999903 USW00099901" {
		t.Errorf("found %s", picked)
	}
	canada, err := readCanadaNear(recorded(t, "eccc-stations-made.json"))
	if err != nil || len(canada.List) != 3 {
		t.Fatalf("found %+v, %v", canada, err)
	}
	// The airport changed its identifier in 2013: both belong to the record.
	at = Point{Latitude: 45.47, Longitude: -73.75, Elevation: 30}
	if picked := ids(Pick(canada.List[:2], at, today)); picked != "7999902 7999901" {
		t.Errorf("found %s", picked)
	}
	if picked := ids(Pick(canada.List, at, today)); picked != "7999903 7999902" { // one that has it all alone, 13 km off
		t.Errorf("found %s", picked)
	}
	if picked := Pick(nil, at, today); picked != nil {
		t.Errorf("of none: found %v", picked)
	}
	if picked := ids(Pick(canada.List[:1], at, today)); picked != "7999901" {
		t.Errorf("of one that has ended: found %s", picked)
	}
}

func ids(list []Station) string {
	var out []string
	for _, s := range list {
		out = append(out, s.ID)
	}
	return strings.Join(out, " ")
}

// What is no answer of a service is refused, whoever sends it.
func TestOtherAnswers(t *testing.T) {
	utc := time.UTC
	readers := map[Name]func([]byte) error{
		NOAADaily:      func(b []byte) error { _, err := readNOAADays(b, "USW00099901"); return err },
		CanadaDaily:    func(b []byte) error { _, err := readCanadaDays(b, "7025250"); return err },
		USForecast:     func(b []byte) error { _, err := readNWS(b, utc); return err },
		NorwayForecast: func(b []byte) error { _, err := readNorway(b, utc); return err },
	}
	for name, read := range readers {
		for _, body := range []string{
			"<!DOCTYPE html><html><body>Please log in", "{}", "[]", `{"error":"no"}`, "null", "\x1f\x8b", "%PDF-1.4",
		} {
			if err := read([]byte(body)); err == nil {
				t.Errorf("%s takes %q", name, body)
			}
		}
	}
	for _, row := range []struct {
		name Name
		file string
		old  string
		new  string
		want string
	}{
		{USForecast, "nws-gridpoint.json", "wmoUnit:degC", "wmoUnit:K", "unit"},
		{USForecast, "nws-gridpoint.json", "PT13H", "PT9999H", "interval"},
		{USForecast, "nws-gridpoint.json", "26.666666666666668", "299.8", "degrees Celsius"},
		{NorwayForecast, "metno-compact.json", `"celsius"`, `"kelvin"`, "unit"},
		{NorwayForecast, "metno-compact.json", `"air_temperature":13.8`, `"air_temperature":286.9`, "degrees Celsius"},
		{CanadaDaily, "eccc-climate-daily.json", `"MAX_TEMPERATURE": 3.2`, `"MAX_TEMPERATURE": 320`, "degrees Celsius"},
	} {
		body := strings.ReplaceAll(string(recorded(t, row.file)), row.old, row.new)
		body = strings.ReplaceAll(body, "3031094", "7025250")
		if err := readers[row.name]([]byte(body)); err == nil || !strings.Contains(err.Error(), row.want) {
			t.Errorf("%s with %s: found %v", row.file, row.new, err)
		}
	}
	// Fahrenheit that says so is Fahrenheit.
	body := `{"properties":{"maxTemperature":{"uom":"wmoUnit:degF","values":[
			{"validTime":"2022-02-04T12:00:00+00:00/PT13H","value":50}]},
		"minTemperature":{"uom":"wmoUnit:degF","values":[
			{"validTime":"2022-02-04T00:00:00+00:00/PT14H","value":32},
			{"validTime":"2022-02-05T00:00:00+00:00/PT14H","value":null}]}}}`
	f, err := readNWS([]byte(body), zone(t, "America/New_York"))
	if err != nil || rows(f.Series) != "2022-02-04 0.0 10.0\n" {
		t.Errorf("found %v\n%s", err, rows(f.Series))
	}
	for _, where := range []string{
		"https://evil.example/gridpoints/TAE/58,65", "https://api.weather.gov/gridpoints/TAE/58,65/../../admin",
		"/admin", "http://[::1",
	} {
		path, err := readNWSWhere([]byte(`{"properties":{"forecastGridData":"` + where + `"}}`))
		if err == nil && path != "/gridpoints/TAE/58,65" { // the host is never looked at
			t.Errorf("%s: found %q", where, path)
		}
	}
}

// Whatever comes, a reader ends with days that may be or with an error.
func fuzz(f *testing.F, read func([]byte) (weather.Series, error), seeds ...string) {
	for _, s := range seeds {
		f.Add([]byte(s))
	}
	f.Fuzz(func(t *testing.T, body []byte) {
		s, err := read(body)
		if err != nil {
			return
		}
		for i, d := range s.Days {
			if on := s.First + civil.Date(i); on.Year() < 1600 || on.Year() > 2300 || d.Min < -100 || d.Max > 100 {
				t.Fatalf("found %s %g %g", on, d.Min, d.Max)
			}
		}
	})
}

func FuzzNOAA(f *testing.F) {
	fuzz(f, func(b []byte) (weather.Series, error) {
		got, err := readNOAADays(b, "USW00099901")
		return got.Series, err
	},
		"\"STATION\",\"DATE\",\"TMAX\",\"TMIN\"\n\"USW00099901\",\"2026-08-01\",\"27.2\",\"16.1\"\n", "<html>")
}

func FuzzCanada(f *testing.F) {
	fuzz(f, func(b []byte) (weather.Series, error) {
		got, err := readCanadaDays(b, "7025250")
		return got.Series, err
	},
		`{"features":[{"properties":{"LOCAL_DATE":"2021-01-01","MIN_TEMPERATURE":-5,"MAX_TEMPERATURE":3}}]}`, "{}")
}

func FuzzNWS(f *testing.F) {
	fuzz(f, func(b []byte) (weather.Series, error) { got, err := readNWS(b, time.UTC); return got.Series, err },
		`{"properties":{"maxTemperature":{"uom":"a:degC","values":[`+
			`{"validTime":"2022-02-04T12:00:00+00:00/PT13H","value":5}]},`+
			`"minTemperature":{"uom":"a:degC","values":[`+
			`{"validTime":"2022-02-04T00:00:00+00:00/PT14H","value":3}]}}}`, "{}")
}

func FuzzNorway(f *testing.F) {
	fuzz(f, func(b []byte) (weather.Series, error) { got, err := readNorway(b, time.UTC); return got.Series, err },
		`{"properties":{"meta":{"units":{"air_temperature":"celsius"}},"timeseries":[`+
			`{"time":"2021-10-20T08:00:00Z","data":{"instant":{"details":{"air_temperature":3}},`+
			`"next_6_hours":{"details":{"air_temperature_max":4,"air_temperature_min":2}}}}]}}`, "{}")
}

func FuzzStations(f *testing.F) {
	f.Add([]byte(`{"count":1,"results":[{"stations":[{"id":"USW00099901","dataTypes":[{"id":"TMAX",` +
		`"dateRange":{"start":"2001-01-01","end":"2002-01-01"}}]}],"boundingPoints":[{"coordinates":[-73,44]}]}]}`))
	f.Add([]byte(`{"features":[{"geometry":{"coordinates":[-73,45]},"properties":{"CLIMATE_IDENTIFIER":"7025250",` +
		`"DLY_FIRST_DATE":"2001-01-01","DLY_LAST_DATE":"2002-01-01"}}]}`))
	f.Fuzz(func(t *testing.T, body []byte) {
		for _, read := range []func([]byte) (Stations, error){readNOAANear, readCanadaNear} {
			if got, err := read(body); err == nil {
				Pick(got.List, Point{Latitude: 44, Longitude: -72}, civil.Of(2026, 11, 28))
			}
		}
	})
}
