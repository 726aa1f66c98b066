package main

import (
	"bytes"
	"context"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"treewhen/calendar/fetch"
	"treewhen/calendar/services"
	"treewhen/calendar/supply/supplytest"
	"treewhen/phenology/civil"
)

// townsfolk are a person in a folder, with weather services that answer and a clock.
type townsfolk struct {
	t     *testing.T
	dir   string
	now   time.Time
	world *supplytest.World
}

func newTownsfolk(t *testing.T, today string) *townsfolk {
	t.Helper()
	zone, err := time.LoadLocation("America/New_York")
	if err != nil {
		t.Fatal(err)
	}
	f := &townsfolk{t: t, dir: t.TempDir()}
	if f.now, err = time.ParseInLocation("2006-01-02 15:04", today+" 06:00", zone); err != nil {
		t.Fatal(err)
	}
	observer := supplytest.Station{
		ID: "USC00999903", Service: services.NOAADaily, Latitude: 44.48, Longitude: -72.70, Elevation: 230,
		First: civil.Of(2004, 3, 1), Last: civil.Of(2100, 1, 1), Morning: true,
	}
	airport := supplytest.Station{
		ID: "USW00099901", Service: services.NOAADaily, Latitude: 44.47, Longitude: -73.15, Elevation: 101,
		First: civil.Of(1940, 1, 1), Last: civil.Of(2100, 1, 1), Off: 0.8,
	}
	f.world = supplytest.New(t, func() time.Time { return f.now }, zone, observer, airport)
	return f
}

// run runs the program on the day that it is.
func (f *townsfolk) run(args ...string) (code int, stdout, stderr string) {
	f.t.Helper()
	f.t.Chdir(f.dir)
	var out, errs bytes.Buffer
	p := &program{
		stdin: strings.NewReader(""), stdout: &out, stderr: &errs, today: civil.FromTime(f.now),
		caches: filepath.Join(f.dir, "caches"),
		tune: func(c *fetch.Client) {
			c.Now = func() time.Time { return f.now }
			c.Wait = func(ctx context.Context, _ time.Duration) error { return ctx.Err() }
		},
	}
	code = p.run(f.t.Context(), args)
	return code, out.String(), errs.String()
}

func (f *townsfolk) must(args ...string) (stdout, stderr string) {
	f.t.Helper()
	code, out, errs := f.run(args...)
	if code != exitDone {
		f.t.Fatalf("%q ended with %d\n%s%s", args, code, out, errs)
	}
	return out, errs
}

// plan writes a plan for a town, with the stations that the world has.
func (f *townsfolk) plan(more ...string) string {
	f.t.Helper()
	args := []string{"init", "Stowe, Vermont", "--for", "producer", "--out", "plan.yaml"}
	for _, name := range []services.Name{services.NOAADaily, services.USForecast} {
		args = append(args, "--service", string(name)+"="+f.world.Address(name))
	}
	_, said := f.must(append(args, more...)...)
	return said
}

// From the name of a town to dates that rest on thirty years and this season, the forecast, and a feed: nothing more to
// do.
func TestFirstMinute(t *testing.T) {
	f := newTownsfolk(t, "2027-03-12")
	said := f.plan("--contact", "alder@farm.example")
	text, err := os.ReadFile(filepath.Join(f.dir, "plan.yaml"))
	if err != nil {
		t.Fatal(err)
	}
	for _, want := range []string{
		"contact: alder@farm.example", "service: us-forecast",
		"{service: noaa-daily, station: USW00099901, elevation: 101 m",
		// The observer's morning maximum is found.
		"{service: noaa-daily, station: USC00999903, elevation: 230 m, shift: {tmax: -1 day}",
	} {
		if !strings.Contains(string(text), want) {
			t.Errorf("the plan does not have %q", want)
		}
	}
	if strings.Contains(string(text), supplytest.Marked) {
		t.Error("the plan has words of the other side")
	}
	if !strings.Contains(said, "23 ft higher; 2004-03-01 to 2027-03-09, 100 % of the days") ||
		!strings.Contains(said, "GHCN-Daily") {
		t.Errorf("said %s", said)
	}
	f.world.Asked()
	out, errs := f.must("schedule", "plan.yaml")
	asked := f.world.Asked()
	if len(asked) != 2 { // where the forecast is, and the forecast: the records are kept since init
		t.Errorf("asked %+v", asked)
	}
	if said := oneLine(out); !strings.Contains(said, "this season to 9 Mar") || !strings.Contains(said, "30 past years") ||
		!strings.Contains(said, "the forecast") {
		t.Errorf("found\n%s%s", out, errs)
	}
	check, _ := f.must("check", "plan.yaml")
	for _, want := range []string{
		"observed to 2027-03-09", "to 2027-03-18", services.Find(services.NOAADaily).Attribution,
		"The forecast is from the US National Weather Service.",
	} {
		if !strings.Contains(oneLine(check), want) {
			t.Errorf("check does not say %q\n%s", want, check)
		}
	}
	page, _ := f.must("schedule", "plan.yaml", "--format", "html")
	if !strings.Contains(page, "GHCN-Daily") || !strings.Contains(page, "US National Weather Service") {
		t.Error("the page does not credit the agencies")
	}
	if f.must("feed", "plan.yaml", "--out", "calendars"); len(f.world.Asked()) != 0 {
		t.Error("asked again within the hour")
	}
	network, _ := f.must("check", "--network", "plan.yaml")
	for _, want := range []string{
		f.world.Address(services.USForecast) + "/points/44.47,-72.68", "coordinates sent: 44.47, -72.68",
		"stations=USW00099901&startDate=2027-01-08",
		"treewhen (alder@farm.example)", "last answered on Fri 12 Mar 2027",
	} {
		if !strings.Contains(oneLine(network), want) {
			t.Errorf("check --network does not say %q\n%s", want, network)
		}
	}
	f.now = f.now.Add(26 * time.Hour)
	if f.must("check", "--network", "plan.yaml"); len(f.world.Asked()) != 0 {
		t.Error("check --network asked somebody")
	}
}

// In Canada an airport's record goes on under another identifier: the plan joins both, and its forecast is Norway's.
// When the second one ends as well, people are told.
func TestFirstMinuteInCanada(t *testing.T) {
	f := newTownsfolk(t, "2027-03-12")
	port := supplytest.Station{Service: services.CanadaDaily, Latitude: 45.47, Longitude: -73.74, Elevation: 36}
	before, after := port, port
	before.ID, before.First, before.Last = "7999901", civil.Of(1941, 9, 1), civil.Of(2013, 2, 13)
	after.ID, after.First, after.Last = "7999902", civil.Of(2013, 2, 14), civil.Of(2027, 4, 30)
	f.world.Stations = []supplytest.Station{before, after}
	const contact = "https://school.example/trees"
	args := []string{"init", "Montréal, QC", "--for", "school", "--contact", contact, "--out", "plan.yaml"}
	for _, name := range []services.Name{services.CanadaDaily, services.NorwayForecast} {
		args = append(args, "--service", string(name)+"="+f.world.Address(name))
	}
	f.must(args...)
	check, _ := f.must("check", "plan.yaml")
	for _, want := range []string{
		"station 7999902: canada-daily, °C, 2013-02-14 to 2027-03-09",
		"station 7999901: canada-daily, °C, 1997-01-01 to 2013-02-13",
		"used: 1997-01-01 to 2027-03-20, observed to 2027-03-09", "Environment and Climate Change Canada",
		"Data from MET Norway, licensed under CC BY 4.0",
	} {
		if !strings.Contains(oneLine(check), want) {
			t.Errorf("check does not say %q\n%s", want, check)
		}
	}
	f.now = f.now.AddDate(0, 4, 0)
	out, _ := f.must("schedule", "plan.yaml")
	if !strings.Contains(oneLine(out), "no station has reported since Fri 30 Apr 2027") {
		t.Errorf("found\n%s", out)
	}
}

// A server goes on with the copies that it has: what is old is told on its page and at /healthz, what was wrong in its
// log.
func TestServeWithServices(t *testing.T) {
	f := newTownsfolk(t, time.Now().AddDate(0, 0, -5).Format(time.DateOnly))
	f.plan("--contact", "alder@farm.example")
	f.must("phases", "plan.yaml")
	f.now = time.Now()
	f.world.Becomes(supplytest.Page, services.NOAADaily, services.USForecast)
	s := startServer(t, func(o *serveOptions) {
		o.Cache = filepath.Join(f.dir, "caches", "treewhen", "weather")
	}, filepath.Join(f.dir, "plan.yaml"))
	_, _, page := s.get("")
	for _, want := range []string{
		"since then it answers in a form that is not known", "GHCN-Daily",
		"The forecast is what the US National Weather Service gave",
	} {
		if !strings.Contains(page, want) {
			t.Errorf("the page does not say %q", want)
		}
	}
	if h := s.health(); h.Status != "lagging" || h.Since == nil {
		t.Errorf("found health %+v", h)
	}
	for _, path := range []string{"", "/feeds/stowe-sugarbush.ics", "/healthz"} {
		if _, _, body := s.get(path); strings.Contains(body, supplytest.Marked) || strings.Contains(body, f.world.URL) {
			t.Errorf("%q shows what the other side sent", path)
		}
	}
	if log := s.log.String(); !strings.Contains(log, "found no table with STATION") {
		t.Errorf("the log does not say what was wrong\n%s", log)
	}
}

// Without a network, init writes what it can and says what is missing; the plan is read and gives dates.
func TestFirstMinuteWithoutNetwork(t *testing.T) {
	f := newTownsfolk(t, "2027-03-12")
	f.world.Becomes(supplytest.HangsUp, services.NOAADaily)
	said := f.plan()
	const why = "no station for the plan's temperatures: NOAA National Centers for Environmental Information was asked, " +
		"and it does not answer"
	if !strings.Contains(said, why) {
		t.Errorf("said %s", said)
	}
	text, _ := os.ReadFile(filepath.Join(f.dir, "plan.yaml"))
	if !strings.Contains(string(text), "#  - {service: noaa-daily, station: USW00014742}") ||
		!strings.Contains(string(text), "#contact:") {
		t.Errorf("found\n%s", text)
	}
	out, errs := f.must("schedule", "plan.yaml")
	if !strings.Contains(out, "Tap sugar maple") || errs != "" {
		t.Errorf("found\n%s%s", out, errs)
	}
	f.world.Asked()
	code, _, _ := f.run("init", "Stowe, Vermont", "--offline", "--out", "other.yaml")
	if code != exitDone || len(f.world.Asked()) != 0 {
		t.Errorf("offline: ended with %d", code)
	}
}

// A season with its services: the feed goes on by itself, through an outage, lies and an hour without a contact, and
// what the other side sends is found in the log alone.
func TestSeasonOfServices(t *testing.T) {
	f := newTownsfolk(t, "2027-02-01")
	f.plan("--contact", "alder@farm.example")
	published := func() string {
		data, err := os.ReadFile(filepath.Join(f.dir, "calendars", "stowe-sugarbush.ics"))
		if err != nil {
			t.Fatal(err)
		}
		return string(data)
	}
	outputs := func() string {
		schedule, _ := f.must("schedule", "plan.yaml")
		page, _ := f.must("schedule", "plan.yaml", "--format", "html")
		return schedule + page + published()
	}
	f.must("feed", "plan.yaml", "--out", "calendars")
	first := published()
	for range 4 {
		f.now = f.now.Add(7 * 24 * time.Hour)
		f.must("feed", "plan.yaml", "--out", "calendars")
	}
	if published() == first {
		t.Error("a month of weather has moved nothing")
	}
	if text := outputs(); strings.Contains(text, "does not answer") {
		t.Error("an outage is told of where there is none")
	}
	// Day by day, what forecasts said of the days that the record does not have yet leads up to the next forecast.
	for range 6 {
		f.now = f.now.Add(24 * time.Hour)
		f.must("phases", "plan.yaml")
	}
	series, _ := f.must("temperatures", "plan.yaml")
	for d := civil.FromTime(f.now) - 2; d <= civil.FromTime(f.now)+3; d++ {
		if !strings.Contains(series, d.String()) || strings.Contains(lineOf(series, d.String()), "interpolated") {
			t.Errorf("%s was not forecast: %s", d, lineOf(series, d.String()))
		}
	}
	f.world.Late = 4
	if text := outputs(); strings.Contains(text, "No forecast") || strings.Contains(text, "Temperatures end on") {
		t.Errorf("found doubts where all is well\n%s", text[:2000])
	}
	f.world.Late = 3
	for _, row := range []struct {
		fault supplytest.Fault
		want  string
	}{
		{supplytest.Down, "since then it does not answer"},
		{supplytest.Page, "since then it answers in a form that is not known"},
		{supplytest.Jump, "since then its temperatures cannot be true of this place"},
	} {
		f.world.Becomes(row.fault, services.NOAADaily, services.USForecast)
		log := ""
		for range 2 {
			f.now = f.now.Add(48 * time.Hour)
			_, said := f.must("feed", "plan.yaml", "--out", "calendars")
			log += said
		}
		text := outputs()
		if !strings.Contains(oneLine(text), "No forecast: its weather service has given none of late") {
			t.Errorf("%s: that there is no forecast is not said", row.fault)
		}
		if !strings.Contains(oneLine(text), row.want) {
			t.Errorf("%s: nobody is told\n%s", row.fault, log)
		}
		if strings.Contains(text, supplytest.Marked) || strings.Contains(text, f.world.URL) || log == "" {
			t.Errorf("%s: the other side's words are shown, or nothing is logged", row.fault)
		}
		f.world.Becomes(supplytest.None, services.NOAADaily, services.USForecast)
		f.now = f.now.Add(24 * time.Hour)
		f.must("feed", "plan.yaml", "--out", "calendars")
		if text := outputs(); strings.Contains(text, "since then") {
			t.Errorf("%s: it is still told when all is well", row.fault)
		}
	}
	check, _ := f.must("check", "plan.yaml")
	if !strings.Contains(check, "revised by its agency, as seen on") {
		t.Errorf("what was revised is not told\n%s", check)
	}
	plan, _ := os.ReadFile(filepath.Join(f.dir, "plan.yaml"))
	without := strings.Replace(string(plan), "contact: alder", "#contact: alder", 1)
	writeFile(t, filepath.Join(f.dir, "plan.yaml"), without)
	f.world.Asked()
	f.now = f.now.Add(24 * time.Hour)
	_, said := f.must("schedule", "plan.yaml")
	for _, a := range f.world.Asked() {
		if a.Service == services.USForecast {
			t.Errorf("asked %+v without a contact", a)
		}
	}
	if !strings.Contains(said, "it answers only who names a contact") {
		t.Errorf("said %s", said)
	}
}

// lineOf returns the line of a text that begins with a word.
func lineOf(text, word string) string {
	for line := range strings.Lines(text) {
		if strings.HasPrefix(line, word) {
			return line
		}
	}
	return ""
}

// oneLine takes the line breaks out of a text.
func oneLine(text string) string { return strings.Join(strings.Fields(text), " ") }

// An observer who reads the maximum in the morning dates it a day late. Without a neighbour, the forecasts of each day, as
// they were made, show it after some weeks.
func TestForecastsShowTheObserversHabit(t *testing.T) {
	f := newTownsfolk(t, "2027-03-12")
	writeFile(t, filepath.Join(f.dir, "plan.yaml"), `title: One observer
contact: alder@farm.example
sites:
  - id: hollow
    latitude: 44.47
    longitude: -72.68
    elevation: 221 m
    timezone: America/New_York
    temperatures: [{service: noaa-daily, station: USC00999903, address: "`+f.world.Address(services.NOAADaily)+`"}]
    forecast: [{service: us-forecast, address: "`+f.world.Address(services.USForecast)+`"}]
    species: [sugar maple]
`)
	for range 10 {
		f.now = f.now.Add(5 * 24 * time.Hour)
		f.must("phases", "plan.yaml")
	}
	check, _ := f.must("check", "plan.yaml")
	for _, want := range []string{
		"its maxima are dated one day late: their day-to-day changes differ from those of forecast for 44.47, -72.68",
		"set in the plan beside the station: shift: {tmax: -1 day}",
	} {
		if !strings.Contains(oneLine(check), want) {
			t.Errorf("check does not say %q\n%s", want, check)
		}
	}
}
