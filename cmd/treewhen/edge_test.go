package main

import (
	"bytes"
	"context"
	"encoding/csv"
	"fmt"
	"os"
	"path/filepath"
	"strconv"
	"strings"
	"testing"

	"treewhen/phenology/civil"
)

// sitePlan is a plan of one site, of four species where it says no others; more is added to its site, four spaces in.
func sitePlan(latitude, longitude float64, elevation, zone, more string) string {
	if !strings.Contains(more, "species") {
		more += "    species: [red maple, sugar maple, northern red oak, box elder]\n"
	}
	return fmt.Sprintf("title: An edge\nfeed_id: 9c2a6d1e-5f0b-4c83-8a57-3e1d90b7f246\nsites:\n  - id: here\n    latitude: %g\n    longitude: %g\n    elevation: %s\n    timezone: %s\n%s",
		latitude, longitude, elevation, zone, more)
}

// edgeFolder makes a folder with a record of 12 years of a continental climate of middle latitudes, and the same
// weather half a year on.
func edgeFolder(t testing.TB) string {
	dir := t.TempDir()
	writeRecord(t, filepath.Join(dir, "north.csv"), civil.Of(2015, 1, 1), civil.Of(2027, 3, 11), 0, 0)
	north, err := os.ReadFile(filepath.Join(dir, "north.csv"))
	if err != nil {
		t.Fatal(err)
	}
	var b strings.Builder
	for line := range strings.Lines(string(north)) {
		if d, err := civil.Parse(line[:min(10, len(line))]); err == nil {
			line = (d - 184).String() + line[10:]
		}
		b.WriteString(line)
	}
	if err := os.WriteFile(filepath.Join(dir, "south.csv"), []byte(b.String()), 0o644); err != nil {
		t.Fatal(err)
	}
	return dir
}

// Places and days at the edges of what there is are answered, or refused in plain words: never with a panic, and never
// with a table that contradicts itself.
func TestEdgesOfPlaceAndTime(t *testing.T) {
	dir := edgeFolder(t)
	north, south := "    temperatures: [north.csv]\n", "    temperatures: [south.csv]\n"
	maples := "    species: [red maple, sugar maple]\n"
	for _, tt := range []struct {
		name string
		plan string
		args []string
		code int
		want string // in what is said
	}{
		{name: "65 N", plan: sitePlan(65, -147.7, "150 m", "America/Anchorage", north)},
		{name: "65 N, no record", plan: sitePlan(65, 25, "10 m", "Europe/Helsinki", "")},
		{name: "45 S", plan: sitePlan(-45, 170.5, "10 m", "Pacific/Auckland", south)},
		{name: "45 S, no record", plan: sitePlan(-45, -72, "10 m", "America/Punta_Arenas", "")},
		{name: "45 S, season named", plan: sitePlan(-45, 170.5, "10 m", "Pacific/Auckland", south), args: []string{"--season", "2026"}},
		{name: "zone +14", plan: sitePlan(44, 179.9, "10 m", "Pacific/Kiritimati", north)},
		{name: "zone -11", plan: sitePlan(44, -170, "10 m", "Pacific/Pago_Pago", north)},
		{name: "zone +12:45", plan: sitePlan(-44, -176.5, "10 m", "Pacific/Chatham", south)},
		{name: "zone of half-hour summer time", plan: sitePlan(-31.5, 159, "10 m", "Australia/Lord_Howe", south)},
		{name: "a day that a zone left out", plan: sitePlan(-13.8, -171.8, "10 m", "Pacific/Apia", south), args: []string{"--as-of", "2011-12-30"}},
		{name: "both sides of the date line", plan: sitePlan(52, 180, "10 m", "America/Adak", north)},
		{name: "its other side", plan: sitePlan(52, -180, "10 m", "America/Adak", north)},
		{name: "the equator", plan: sitePlan(0, 37, "1700 m", "Africa/Nairobi", north)},
		{name: "just south of it", plan: sitePlan(-0.0001, 37, "1700 m", "Africa/Nairobi", south)},
		{name: "polar night", plan: sitePlan(78.2, 15.6, "10 m", "Arctic/Longyearbyen", north)},
		{name: "the pole", plan: sitePlan(90, 0, "0 m", "UTC", north)},
		{name: "the other pole", plan: sitePlan(-90, 0, "2800 m", "Antarctica/South_Pole", south)},
		{name: "below the sea", plan: sitePlan(31.5, 35.5, "-430 m", "Asia/Jerusalem", "    temperatures: [{file: north.csv, elevation: 800 m}]\n")},
		{name: "as high as trees grow and more", plan: sitePlan(31.5, 91, "6000 m", "Asia/Shanghai", "    temperatures: [{file: north.csv, elevation: 100 m}]\n")},
		{name: "too high", plan: sitePlan(31.5, 91, "6001 m", "Asia/Shanghai", ""), code: exitFailed, want: "plan.yaml:7: sites[1].elevation: found elevation 6001 m, want -450 to 6000 m"},
		{name: "too deep", plan: sitePlan(31.5, 91, "-451 m", "Asia/Shanghai", ""), code: exitFailed, want: "plan.yaml:7: sites[1].elevation: found elevation -451 m"},
		{name: "29 February", plan: sitePlan(44, -72, "300 m", "America/New_York", north), args: []string{"--as-of", "2024-02-29"}},
		{name: "29 February of a year to come", plan: sitePlan(44, -72, "300 m", "America/New_York", north), args: []string{"--as-of", "2028-02-29"}},
		{name: "29 February of no year", plan: sitePlan(44, -72, "300 m", "America/New_York", north), args: []string{"--as-of", "2027-02-29"}, code: exitUsage, want: "2027-02-29"},
		{name: "New Year's Eve", plan: sitePlan(44, -72, "300 m", "America/New_York", north), args: []string{"--as-of", "2026-12-31"}},
		{name: "New Year's Day", plan: sitePlan(44, -72, "300 m", "America/New_York", north), args: []string{"--as-of", "2027-01-01"}},
		{name: "the southern new year", plan: sitePlan(-44, -72, "300 m", "America/Santiago", south), args: []string{"--as-of", "2026-07-01"}},
		{name: "and the day after", plan: sitePlan(-44, -72, "300 m", "America/Santiago", south), args: []string{"--as-of", "2026-07-02"}},
		{name: "before the record", plan: sitePlan(44, -72, "300 m", "America/New_York", north), args: []string{"--as-of", "2014-06-01"}, want: "here: no day up to 2014-06-01 has both temperatures"},
		{name: "on the record's first day", plan: sitePlan(44, -72, "300 m", "America/New_York", north), args: []string{"--as-of", "2015-01-01"}},
		{name: "long after the record", plan: sitePlan(44, -72, "300 m", "America/New_York", north), args: []string{"--as-of", "2045-06-01"}},
		{name: "1800", plan: sitePlan(44, -72, "300 m", "America/New_York", north), args: []string{"--season", "1800", "--as-of", "1800-01-01"}},
		{name: "1799", plan: sitePlan(44, -72, "300 m", "America/New_York", north), args: []string{"--season", "1799"}, code: exitUsage, want: "want a year from 1800 to 2200"},
		{name: "2200", plan: sitePlan(44, -72, "300 m", "America/New_York", north), args: []string{"--season", "2200", "--as-of", "2200-12-31"}},
		{name: "2201", plan: sitePlan(44, -72, "300 m", "America/New_York", north), args: []string{"--season", "2201"}, code: exitUsage, want: "want a year from 1800 to 2200"},
		{name: "the first day that can be written", plan: sitePlan(44, -72, "300 m", "America/New_York", north), args: []string{"--as-of", "0001-01-01"}, code: exitUsage, want: "want a day from 1800 to 2200"},
		{name: "the last day that can be written", plan: sitePlan(44, -72, "300 m", "America/New_York", north), args: []string{"--as-of", "9999-12-31"}, code: exitUsage, want: "want a day from 1800 to 2200"},
		{name: "no such species at the site", plan: sitePlan(44, -72, "300 m", "America/New_York", maples), args: []string{"--species", "white oak"}, code: exitUsage, want: "white oak"},
		{name: "a record in a file of one day", plan: sitePlan(44, -72, "300 m", "America/New_York", "    temperatures: [day.csv]\n"), args: []string{"--as-of", "2027-03-12"}},
		{name: "a record without a value", plan: sitePlan(44, -72, "300 m", "America/New_York", "    temperatures: [none.csv]\n"), args: []string{"--as-of", "2027-03-12"}, want: "here: no day up to 2027-03-12 has both temperatures"},
	} {
		t.Run(tt.name, func(t *testing.T) {
			writeFile(t, filepath.Join(dir, "day.csv"), "date,tmin_c,tmax_c\n2027-03-01,-3,5\n")
			writeFile(t, filepath.Join(dir, "none.csv"), "date,tmin_c,tmax_c\n2027-03-01,,NA\n")
			writeFile(t, filepath.Join(dir, "plan.yaml"), tt.plan)
			for _, command := range []string{"phases", "schedule"} {
				code, out, said := run(t, dir, append([]string{command, "plan.yaml", "--format", "csv"}, tt.args...)...)
				if code != tt.code || !strings.Contains(said, tt.want) {
					t.Errorf("%s: status %d, want %d, and %q in\n%.1000s", command, code, tt.code, tt.want, said)
					continue
				}
				if tt.code != exitDone {
					if out != "" {
						t.Errorf("%s refuses and still writes\n%.500s", command, out)
					}
					continue
				}
				if command == "phases" {
					checkPhases(t, out)
				} else {
					checkSchedule(t, out)
				}
			}
			if tt.code == exitDone && !strings.Contains(strings.Join(tt.args, " "), "--season") && !strings.Contains(strings.Join(tt.args, " "), "--species") {
				out := filepath.Join(t.TempDir(), "feeds")
				if code, _, said := run(t, dir, append([]string{"feed", "plan.yaml", "--out", out}, tt.args...)...); code != exitDone {
					t.Errorf("feed: status %d\n%.1000s", code, said)
				}
			}
		})
	}
}

// table reads CSV with a header into a map a row.
func table(t testing.TB, text string) (rows []map[string]string) {
	t.Helper()
	all, err := csv.NewReader(strings.NewReader(text)).ReadAll()
	if err != nil || len(all) == 0 {
		t.Fatalf("no CSV with a header: %v\n%.300s", err, text)
	}
	for _, cells := range all[1:] {
		row := map[string]string{}
		for i, h := range all[0] {
			row[h] = cells[i]
		}
		rows = append(rows, row)
	}
	return rows
}

// checkPhases checks what holds of every table of phases: all dates or none, the early before the late, and none years
// away from its season.
func checkPhases(t testing.TB, text string) []map[string]string {
	t.Helper()
	rows := table(t, text)
	for _, r := range rows {
		if r["basis"] == "none" {
			if r["p10"]+r["p50"]+r["p90"] != "" {
				t.Errorf("no basis and a date: %v", r)
			}
			continue
		}
		var days [3]civil.Date
		for i, p := range []string{"p10", "p50", "p90"} {
			var err error
			if days[i], err = civil.Parse(r[p]); err != nil {
				t.Errorf("%s: %v: %v", p, err, r)
			}
		}
		if days[0] > days[1] || days[1] > days[2] {
			t.Errorf("p10, p50 and p90 are out of order: %v", r)
		}
		season, err := strconv.Atoi(r["season"])
		if err != nil || days[1] < civil.Of(season-1, 7, 1) || days[1] > civil.Of(season+2, 6, 30) {
			t.Errorf("far from its season: %v", r)
		}
	}
	return rows
}

// checkSchedule checks what holds of every schedule: a window holds its best day, a confidence is a probability, and no
// two rows have one identifier.
func checkSchedule(t testing.TB, text string) []map[string]string {
	t.Helper()
	rows := table(t, text)
	seen := map[string]bool{}
	for _, r := range rows {
		start, err1 := civil.Parse(r["start"])
		end, err2 := civil.Parse(r["end"])
		best, err3 := civil.Parse(r["best"])
		if err1 != nil || err2 != nil || err3 != nil || start > best || best > end {
			t.Errorf("the best day is not in its window: %v", r)
		}
		if p, err := strconv.ParseFloat(r["confidence"], 64); err != nil || !(p >= 0 && p <= 1) {
			t.Errorf("a confidence that is none: %v", r)
		}
		if r["uid"] == "" || seen[r["uid"]] {
			t.Errorf("an identifier missing or used twice: %v", r)
		}
		seen[r["uid"]] = true
	}
	return rows
}

// A run that is interrupted says so, and leaves the file that was there as it was, with nothing beside it.
func TestInterruptedRunLeavesTheFile(t *testing.T) {
	dir := t.TempDir()
	writeFile(t, filepath.Join(dir, "plan.yaml"), "title: A grid\nsites_from: grid.csv\nevery_site: {timezone: UTC, species: [bigleaf maple]}\n") // of which nothing can be dated there, so that each site is spoken of
	table := "id,latitude,longitude,elevation_m\n"
	for i := range 2000 {
		table += fmt.Sprintf("s-%d,44,-72,300\n", i)
	}
	writeFile(t, filepath.Join(dir, "grid.csv"), table)
	out := filepath.Join(dir, "out.csv")
	writeFile(t, out, "as it was\n")
	ctx, stop := context.WithCancel(context.Background())
	said := &stopAfter{lines: 50, stop: stop}
	p := &program{stdin: strings.NewReader(""), stdout: &bytes.Buffer{}, stderr: said, today: civil.Of(2027, 3, 12)}
	code := p.run(ctx, []string{"phases", filepath.Join(dir, "plan.yaml"), "--format", "csv", "--out", out})
	if code != exitFailed || !strings.HasSuffix(said.text.String(), "treewhen: interrupted\n") {
		t.Errorf("status %d\n%.2000s", code, said.text.String())
	}
	if data, err := os.ReadFile(out); err != nil || string(data) != "as it was\n" {
		t.Errorf("found %.100q, %v", data, err)
	}
	if files, err := os.ReadDir(dir); err != nil || len(files) != 3 {
		t.Errorf("found %v, %v, want three files", files, err)
	}
}

// stopAfter calls stop once so many times something has been written to it.
type stopAfter struct {
	text  strings.Builder
	lines int
	stop  func()
}

func (s *stopAfter) Write(b []byte) (int, error) {
	if s.lines--; s.lines == 0 {
		s.stop()
	}
	return s.text.Write(b)
}
