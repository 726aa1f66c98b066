package inputs

import (
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"treewhen/calendar"
	"treewhen/calendar/planfile"
	"treewhen/phenology"
	"treewhen/phenology/civil"
	"treewhen/phenology/climate"
	"treewhen/phenology/problem"
	"treewhen/phenology/weather"
)

// place is where a record is said to be from.
type place struct {
	name                           string
	latitude, longitude, elevation float64
}

var (
	hill      = place{"Vermont", 44.2, -72.6, 300}
	montreal  = place{"Montreal", 45.47, -73.74, 36}
	harvard   = place{"Harvard Forest", 42.53, -72.19, 340}
	coast     = place{"Santa Cruz, California", 36.97, -122.03, 10} // whose fogs the table does not see
	elsewhere = place{"Munich", 48, 11, 500}                        // of which there is no table
)

// series reads a file of temperatures.
func series(t testing.TB, path string, options weather.Options) weather.Series {
	t.Helper()
	f, err := os.Open(path)
	if errors.Is(err, os.ErrNotExist) {
		t.Skipf("no open data: %v", err)
	}
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	rec, err := weather.Read(f, path, options)
	if err != nil {
		t.Fatal(err)
	}
	return rec.Series
}

// changed is a series each of whose days is changed, so many days on.
func changed(s weather.Series, on int, day func(weather.Day) weather.Day) weather.Series {
	out := weather.Series{First: s.First + civil.Date(on), Days: make([]weather.Day, len(s.Days))}
	for i, d := range s.Days {
		out.Days[i] = day(d)
	}
	return out
}

func fahrenheit(d weather.Day) weather.Day {
	return weather.Day{Min: d.Min*1.8 + 32, Max: d.Max*1.8 + 32}
}
func celsius(d weather.Day) weather.Day {
	return weather.Day{Min: (d.Min - 32) / 1.8, Max: (d.Max - 32) / 1.8}
}
func swapped(d weather.Day) weather.Day { return weather.Day{Min: d.Max, Max: d.Min} }
func asItIs(d weather.Day) weather.Day  { return d }
func warm(d weather.Day) weather.Day    { return weather.Day{Min: d.Min + 8, Max: d.Max + 8} }

// readPlan reads a plan of one site with a record, or a forecast, of some days.
func readPlan(t testing.TB, at place, key string, s weather.Series) (*Inputs, error) {
	t.Helper()
	dir := t.TempDir()
	var b strings.Builder
	b.WriteString("date,tmin_c,tmax_c\n")
	for i, d := range s.Days {
		if d.Complete() {
			fmt.Fprintf(&b, "%s,%.1f,%.1f\n", s.First+civil.Date(i), d.Min, d.Max)
		}
	}
	plan := fmt.Sprintf("title: A plan\nas_of: %s\nsites:\n  - {id: here, latitude: %g, longitude: %g, elevation: %g m, timezone: UTC, "+
		"species: [red maple], %s: [days.csv]}\n", s.Last(), at.latitude, at.longitude, at.elevation, key)
	for name, text := range map[string]string{"plan.yaml": plan, "days.csv": b.String()} {
		if err := os.WriteFile(filepath.Join(dir, name), []byte(text), 0o644); err != nil {
			t.Fatal(err)
		}
	}
	return Read(t.Context(), &Options{Plan: filepath.Join(dir, "plan.yaml")})
}

// A record that names its slip is refused with what to write; one that is oddly warm is doubted; where nothing is known
// of the climate, or the table is bad, none is refused. The record is the demonstration's, invented.
func TestRecordsAgainstTheClimate(t *testing.T) {
	record := series(t, "../../cmd/treewhen/demo/kettle-ridge.csv", weather.Options{})
	for _, row := range []struct {
		name   string
		on     int
		change func(weather.Day) weather.Day
		want   string
	}{
		{"as it is", 0, asItIs, ""},
		{"Fahrenheit", 0, fahrenheit, "as degrees Fahrenheit are that are read as Celsius; want unit: F"},
		{"Celsius taken for Fahrenheit", 0, celsius, "as degrees Celsius are that are taken for Fahrenheit; want unit: C"},
		{"another hemisphere", 182, asItIs, "found seasons half a year off the climate of here, at latitude 44.2"},
		{"warm", 0, warm, ""},
	} {
		part := record
		if row.name == "Fahrenheit" { // a winter's log: a summer's passes for no Celsius
			first := civil.Of(record.First.Year()+1, 1, 1)
			part = weather.Series{First: first, Days: record.Days[first-record.First:][:75]}
		}
		changed := changed(part, row.on, row.change)
		in, err := readPlan(t, hill, "temperatures", changed)
		var list problem.List
		if row.want == "" {
			if err != nil {
				t.Errorf("%s: %v", row.name, err)
				continue
			}
			doubts := in.ClimateDoubts(in.Places[0])
			if want := map[bool]int{true: 1}[row.name == "warm"]; len(doubts) != want {
				t.Errorf("%s: found doubts %v, want %d", row.name, doubts, want)
			}
		} else if !errors.As(err, &list) || len(list) != 1 || !strings.Contains(err.Error(), row.want) ||
			!strings.HasSuffix(list[0].File, "days.csv") || list[0].Hint != climate.Attribution {
			t.Errorf("%s: found %v, want %q", row.name, err, row.want)
		}
		for _, at := range []place{coast, elsewhere} {
			if _, err := readPlan(t, at, "temperatures", changed); err != nil {
				t.Errorf("%s at %s: %v", row.name, at.name, err)
			}
		}
	}
	// The reader turns no column round by itself: what it is given is what is judged.
	v := verdict(t, hill, changed(record, 0, swapped))
	if v.Kind != weather.SwappedExtremes || slipText(&Place{Site: &planfile.Site{}}, v) == "" {
		t.Errorf("swapped: found %+v", v)
	}
}

// mustCell is the climate of a place that has one.
func mustCell(t testing.TB, at place) climate.Cell {
	t.Helper()
	cell, ok := climate.At(at.latitude, at.longitude)
	if !ok {
		t.Fatalf("no climate at %s", at.name)
	}
	return cell
}

// verdict holds a series against the climate of its place.
func verdict(t testing.TB, at place, s weather.Series) weather.Verdict {
	t.Helper()
	pl := &Place{Site: &planfile.Site{Site: phenology.Site{Latitude: at.latitude, Longitude: at.longitude, Elevation: at.elevation}}}
	in := &Inputs{AsOf: s.Last()}
	return in.recordVerdict(pl, planfile.Source{}, &weather.Record{Name: at.name, Series: s}, mustCell(t, at))
}

// years cuts a series into calendar years.
func years(s weather.Series) (list []weather.Series) {
	for y := s.First.Year(); y <= s.Last().Year(); y++ {
		first, last := max(civil.Of(y, 1, 1), s.First), min(civil.Of(y, 12, 31), s.Last())
		list = append(list, weather.Series{First: first, Days: s.Days[first-s.First : last-s.First+1]})
	}
	return list
}

// openRecords are real records: the Canadian agency's of Montreal, and Harvard Forest's (Boose, data sets HF000 and
// HF001).
func openRecords(t testing.TB) map[place][]weather.Series {
	t.Helper()
	list := map[place][]weather.Series{}
	files, _ := filepath.Glob("../../../shared/data/montreal/*.csv")
	if len(files) == 0 {
		t.Skip("no open data")
	}
	for _, f := range files {
		list[montreal] = append(list[montreal], series(t, f, weather.Options{}))
	}
	for _, name := range []string{"fisher-daily-2001-2013.csv", "shaler-daily-1980-2002.csv"} {
		s := series(t, "../../../shared/data/harvard-forest/"+name, weather.Options{Unit: weather.Celsius})
		list[harvard] = append(list[harvard], s)
	}
	return list
}

// No year of a real record is refused or doubted; in Fahrenheit read as Celsius every one is refused.
func TestRealRecordsAgainstTheClimate(t *testing.T) {
	judged := 0
	for at, list := range openRecords(t) {
		for _, s := range list {
			for _, y := range years(s) {
				v := verdict(t, at, y)
				if v.Kind != weather.Agrees && v.Kind != weather.Unjudged {
					t.Errorf("%s %d: %+v", at.name, y.First.Year(), v)
				}
				if v.Kind == weather.Unjudged {
					continue
				}
				judged++
				if v := verdict(t, at, changed(y, 0, fahrenheit)); v.Kind != weather.FahrenheitRead {
					t.Errorf("%s %d in Fahrenheit: %+v", at.name, y.First.Year(), v)
				}
			}
		}
	}
	t.Logf("%d years judged", judged)
}

// Ten days of weather, as a forecast would have them, are never refused, whichever days of a real record they are;
// read in the wrong unit, most are.
func TestForecastsAgainstTheClimate(t *testing.T) {
	const days = 10
	for at, list := range openRecords(t) {
		cell := mustCell(t, at).MovedTo(at.elevation)
		windows, refused, kept := 0, 0, 0
		for _, s := range list {
			for i := 0; i+days <= len(s.Days); i += days {
				w := weather.Series{First: s.First + civil.Date(i), Days: s.Days[i : i+days]}
				v := forecastVerdict(cell, w)
				if v.Kind == weather.Unjudged {
					continue
				}
				windows++
				if v.Kind != weather.Agrees {
					t.Errorf("%s, %s: %+v", at.name, w.First, v)
				}
				if forecastVerdict(cell, changed(w, 0, fahrenheit)).Kind == weather.FahrenheitRead {
					refused++
				}
				if forecastVerdict(cell, changed(w, 0, celsius)).Kind == weather.CelsiusConverted {
					kept++
				}
			}
		}
		t.Logf("%s: %d forecasts; refused %d in Fahrenheit, %d in Celsius taken for it", at.name, windows, refused, kept)
		if refused < windows*9/10 {
			t.Errorf("%s: refused %d of %d forecasts in Fahrenheit", at.name, refused, windows)
		}
	}
	record := series(t, "../../cmd/treewhen/demo/kettle-ridge.csv", weather.Options{})
	spring := weather.Series{First: record.First + 60, Days: record.Days[60:70]}
	if _, err := readPlan(t, hill, "forecast", spring); err != nil {
		t.Errorf("a sound forecast: %v", err)
	}
	// It is left out, and work goes on.
	in, err := readPlan(t, hill, "forecast", changed(spring, 0, fahrenheit))
	if err != nil {
		t.Fatal(err)
	}
	pl := in.Places[0]
	if len(pl.Forecasts) != 0 || len(pl.LeftOut) != 1 || pl.LeftOut[0].Doubt.What != calendar.OtherUnit ||
		!strings.Contains(pl.LeftOut[0].Why, "want unit: F") {
		t.Errorf("a forecast in Fahrenheit: found %+v", pl.LeftOut)
	}
}

// A record that several sites share is judged at each of them: right for one, it is refused at another.
func TestSharedRecordIsJudgedAtEverySite(t *testing.T) {
	record := series(t, "../../cmd/treewhen/demo/kettle-ridge.csv", weather.Options{})
	dir := t.TempDir()
	var b strings.Builder
	b.WriteString("date,tmin_c,tmax_c\n")
	for i, d := range changed(record, 182, asItIs).Days {
		if d.Complete() {
			fmt.Fprintf(&b, "%s,%.1f,%.1f\n", record.First+182+civil.Date(i), d.Min, d.Max)
		}
	}
	const site = "  - {id: %s, latitude: %g, longitude: %g, elevation: 300 m, timezone: UTC, temperatures: [days.csv]}\n"
	for order, sites := range [][]string{
		{fmt.Sprintf(site, "south", -38.0, -71.0), fmt.Sprintf(site, "here", 44.2, -72.6)},
		{fmt.Sprintf(site, "here", 44.2, -72.6), fmt.Sprintf(site, "south", -38.0, -71.0)},
	} {
		plan := fmt.Sprintf("title: A plan\nas_of: %s\nsites:\n", record.Last()) + strings.Join(sites, "")
		for name, text := range map[string]string{"plan.yaml": plan, "days.csv": b.String()} {
			if err := os.WriteFile(filepath.Join(dir, name), []byte(text), 0o644); err != nil {
				t.Fatal(err)
			}
		}
		_, err := Read(t.Context(), &Options{Plan: filepath.Join(dir, "plan.yaml")})
		if err == nil || strings.Count(err.Error(), "\n") > 0 || !strings.Contains(err.Error(), "half a year off the climate of here") {
			t.Errorf("order %d: found %v", order, err)
		}
	}
}
