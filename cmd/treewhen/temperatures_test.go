package main

import (
	"bytes"
	"context"
	"fmt"
	"math"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"treewhen/phenology/civil"
)

// writeRecord writes an invented record, so many degrees warmer than the usual one.
func writeRecord(t testing.TB, path string, first, last civil.Date, low, high float64) {
	t.Helper()
	var b strings.Builder
	b.WriteString("date,tmin_c,tmax_c\n")
	for d := first; d <= last; d++ {
		mean := 7 - 13*math.Cos(2*math.Pi*float64(d.YearDay()-20)/365.25) + 4*math.Sin(float64(d)*0.9)
		fmt.Fprintf(&b, "%s,%.1f,%.1f\n", d, mean-5+low, mean+5+high)
	}
	if err := os.WriteFile(path, []byte(b.String()), 0o644); err != nil {
		t.Fatal(err)
	}
}

func runIn(t testing.TB, args ...string) (out, errs string) {
	t.Helper()
	var o, e bytes.Buffer
	p := &program{stdin: strings.NewReader(""), stdout: &o, stderr: &e, today: civil.Of(2020, 6, 1)}
	if code := p.run(context.Background(), args); code != exitDone {
		t.Fatalf("%v: status %d\n%s", args, code, e.String())
	}
	return o.String(), e.String()
}

// Two of the user's own stations at different heights tell the lapse rate themselves: here 5 degrees a kilometre for
// minima and 8 for maxima, where the round figures would have 4 and 6 to 7.
func TestLapseRateOfOwnStations(t *testing.T) {
	dir := t.TempDir()
	writeRecord(t, filepath.Join(dir, "low.csv"), civil.Of(2010, 1, 1), civil.Of(2019, 12, 31), 0, 0)
	writeRecord(t, filepath.Join(dir, "high.csv"), civil.Of(2012, 1, 1), civil.Of(2014, 12, 31), -2, -3.2)
	plan := filepath.Join(dir, "plan.yaml")
	writeFile(t, plan, `title: A stand between two stations
as_of: 2019-12-31
sites:
  - id: stand
    latitude: 44
    longitude: -72
    elevation: 500 m
    timezone: America/New_York
    temperatures: [{file: low.csv, elevation: 200 m}, {file: high.csv, elevation: 600 m}]
    species: [red maple]
`)
	report, _ := runIn(t, "check", plan)
	for _, want := range []string{"moved 300 m up to the site: minima by 5.0 °C a km, maxima by 8.0 °C a km", "two stations 400 m apart", "-400 m to the first station's height"} {
		if !strings.Contains(strings.Join(strings.Fields(report), " "), want) {
			t.Errorf("check does not say %q:\n%s", want, report)
		}
	}
}

// The same weather in degrees Fahrenheit and Celsius gives the same dates.
func TestFahrenheitAndCelsiusAgree(t *testing.T) {
	dir := t.TempDir()
	writeRecord(t, filepath.Join(dir, "c.csv"), civil.Of(2008, 1, 1), civil.Of(2019, 4, 20), 0, 0)
	celsius, err := os.ReadFile(filepath.Join(dir, "c.csv"))
	if err != nil {
		t.Fatal(err)
	}
	var b strings.Builder
	b.WriteString("date,tmin_f,tmax_f\n")
	for line := range strings.Lines(strings.TrimPrefix(string(celsius), "date,tmin_c,tmax_c\n")) {
		var low, high float64
		if _, err := fmt.Sscanf(line[11:], "%g,%g", &low, &high); err != nil {
			t.Fatal(err)
		}
		fmt.Fprintf(&b, "%s%.2f,%.2f\n", line[:11], 1.8*low+32, 1.8*high+32)
	}
	writeFile(t, filepath.Join(dir, "f.csv"), b.String())
	var tables []string
	for _, name := range []string{"c.csv", "f.csv"} {
		plan := filepath.Join(dir, "plan.yaml")
		writeFile(t, plan, "title: x\nas_of: 2019-04-20\nsites:\n  - {id: here, latitude: 44, longitude: -72, elevation: 200 m, timezone: America/New_York, temperatures: ["+name+"]}\n")
		table, _ := runIn(t, "phases", plan, "--format", "csv")
		tables = append(tables, table)
	}
	if tables[0] != tables[1] || strings.Count(tables[0], "season") < 100 {
		t.Errorf("the tables differ, or say little:\n%.2000s", tables[0])
	}
}

// A hundred sites at their own heights over one shared record, five species each, as CSV. Ten thousand must take no
// more than a minute on two cores: 6 ms a site.
func BenchmarkHundredSites(b *testing.B) {
	dir := b.TempDir()
	writeRecord(b, filepath.Join(dir, "record.csv"), civil.Of(1990, 1, 1), civil.Of(2020, 4, 20), 0, 0)
	var text strings.Builder
	text.WriteString("title: many\nas_of: 2020-04-20\nsites:\n")
	for i := range 100 {
		fmt.Fprintf(&text, "  - {id: s-%d, latitude: %.2f, longitude: -72, elevation: %d m, timezone: America/New_York, temperatures: [{file: record.csv, elevation: 300 m}], "+
			"species: [acer-rubrum, acer-saccharum, quercus-rubra, betula-alleghaniensis, fagus-grandifolia]}\n", i, 41+float64(i)/25, 100+5*i)
	}
	plan := filepath.Join(dir, "plan.yaml")
	if err := os.WriteFile(plan, []byte(text.String()), 0o644); err != nil {
		b.Fatal(err)
	}
	b.ReportAllocs()
	for b.Loop() {
		if out, _ := runIn(b, "phases", plan, "--format", "csv"); strings.Count(out, "\n") < 5000 {
			b.Fatalf("%d lines", strings.Count(out, "\n"))
		}
	}
}

// A forecast for the site's own height dates a season as the same forecast for the station's does, once either says
// where it is: 300 m are 1.2 degrees of the minimum and 2.1 of the maximum by the default rates of March and later.
func TestForecastIsMovedToTheRecordsHeight(t *testing.T) {
	dir := t.TempDir()
	last := civil.Of(2020, 4, 1)
	writeRecord(t, filepath.Join(dir, "station.csv"), civil.Of(2010, 1, 1), last, 0, 0)
	writeRecord(t, filepath.Join(dir, "low.csv"), last+1, last+10, 0, 0)
	writeRecord(t, filepath.Join(dir, "high.csv"), last+1, last+10, -1.2, -2.1)
	dates := func(forecast string) string {
		plan := filepath.Join(dir, "plan.yaml")
		writeFile(t, plan, `title: A forecast at another height
as_of: 2020-04-01
sites:
  - id: slope
    latitude: 44
    longitude: -72
    elevation: 500 m
    timezone: America/New_York
    temperatures: [{file: station.csv, elevation: 200 m}]
    forecast: [`+forecast+`]
    species: [red maple]
`)
		out, _ := runIn(t, "phases", plan, "--format", "csv")
		return out
	}
	atStation := dates("low.csv")
	if got := dates("{file: high.csv, elevation: 500 m}"); got != atStation {
		t.Errorf("a forecast for the site dates\n%s\none for the station\n%s", got, atStation)
	}
	if dates("high.csv") == atStation {
		t.Error("a colder forecast makes no difference: the test tells nothing")
	}
}
