package main

import (
	"bytes"
	"context"
	"fmt"
	"io"
	"maps"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"
	"time"

	"treewhen/calendar/busy"
	"treewhen/calendar/fetch"
	"treewhen/calendar/planfile"
	"treewhen/phenology/civil"
	"treewhen/phenology/weather"
	"treewhen/profiles/strictyaml"
)

// gridFolder makes a folder with a plan of many sites in a table, and returns the plan's path.
func gridFolder(t *testing.T, sites int) string {
	t.Helper()
	dir := t.TempDir()
	plan := filepath.Join(dir, "plan.yaml")
	writeFile(t, plan, "title: A grid\nfeed_id: 9c2a6d1e-5f0b-4c83-8a57-3e1d90b7f246\nsites_from: grid.csv\nevery_site: {timezone: UTC, species: [red maple, sugar maple, white oak]}\n")
	table := "id,latitude,longitude,elevation_m\n"
	for i := range sites {
		table += fmt.Sprintf("s-%d,%.2f,-72,%d\n", i, 42+float64(i%50)/20, 100+i%7*50)
	}
	writeFile(t, filepath.Join(dir, "grid.csv"), table)
	return plan
}

// contents are the files of a folder, by name.
func contents(t testing.TB, dir string) map[string]string {
	t.Helper()
	files := map[string]string{}
	entries, err := os.ReadDir(dir)
	if err != nil {
		t.Fatal(err)
	}
	for _, e := range entries {
		data, err := os.ReadFile(filepath.Join(dir, e.Name()))
		if err != nil {
			t.Fatal(err)
		}
		files[e.Name()] = string(data)
	}
	return files
}

// A run that is interrupted at any moment ends with one line and status 1, and leaves every file as it was with nothing
// beside it; or it was so near its end that it has done all.
func TestInterruptedAtAnyMoment(t *testing.T) {
	plan := gridFolder(t, 3)
	out := filepath.Join(t.TempDir(), "out")
	start := func(ctx context.Context, asOf string, args ...string) (int, string) {
		var said bytes.Buffer
		p := &program{stdin: strings.NewReader(""), stdout: io.Discard, stderr: &said, today: civil.Of(2027, 3, 12)}
		return p.run(ctx, append(args, "--as-of", asOf)), said.String()
	}
	for _, args := range [][]string{
		{"feed", plan, "--out", out},
		{"schedule", plan, "--format", "csv", "--out", filepath.Join(out, "schedule.csv")},
		{"schedule", plan, "--format", "ics", "--out", filepath.Join(out, "schedule.ics")},
	} {
		days := []string{"2027-03-12", "2027-09-01"} // in turn, so that every run has something to change
		began := time.Now()
		if code, said := start(t.Context(), days[1], args...); code != exitDone {
			t.Fatal(said)
		}
		full := time.Since(began)
		interrupted := 0
		const times = 6
		for i := range times {
			before := contents(t, out)
			ctx, stop := context.WithCancel(t.Context())
			if i == 0 {
				stop() // before anything is done
			}
			timer := time.AfterFunc(full*time.Duration(i)/times, stop)
			code, said := start(ctx, days[i%2], args...)
			timer.Stop()
			stop()
			if code == exitDone {
				continue
			}
			interrupted++
			if code != exitFailed || said != "treewhen: interrupted\n" {
				t.Errorf("%s: status %d, and it said %q", args[0], code, said)
			}
			if got := contents(t, out); !maps.Equal(got, before) {
				t.Errorf("%s: interrupted after %d of %d, it left other files than it found: %q", args[0], i, times, slices.Sorted(maps.Keys(got)))
			}
		}
		if interrupted == 0 {
			t.Errorf("%s was never interrupted", args[0])
		}
	}
}

// The limits that the reference of a plan states are those that hold.
func TestReferenceStatesTheLimits(t *testing.T) {
	text := strings.Join(strings.Fields(planfile.Reference()), " ")
	for _, want := range []string{
		fmt.Sprintf("a plan of %d MiB or %d sites", strictyaml.MaxSize>>20, planfile.MaxSites),
		fmt.Sprintf("a table of sites of %d MiB", planfile.MaxTable>>20),
		fmt.Sprintf("an observations file of %d MiB", planfile.MaxObservations>>20),
		fmt.Sprintf("a calendar of %d MiB or %d events", busy.MaxBytes>>20, busy.MaxEvents),
		fmt.Sprintf("a species profile of %d MiB", strictyaml.MaxSize>>20),
		fmt.Sprintf("a file of temperatures of %d MiB when unpacked, or of %d MiB as it is fetched",
			weather.MaxFileSize>>20, fetch.Limit>>20),
	} {
		if !strings.Contains(text, want) {
			t.Errorf("the reference does not say %q", want)
		}
	}
}

// A file that is no feed, however large, is neither read to its end nor written over.
func TestFeedIsNotBuiltUponAHugeFile(t *testing.T) {
	dir := t.TempDir()
	if code, _, said := run(t, dir, "feed", "--out", "cal"); code != exitDone {
		t.Fatal(said)
	}
	path := filepath.Join(dir, "cal", "kettle-ridge.ics")
	const size = 1 << 40 // it holds nothing, and takes no room
	if err := os.Truncate(path, size); err != nil {
		t.Skip(err)
	}
	code, out, said := run(t, dir, "feed", "--as-of", "2027-03-20", "--out", "cal")
	if want := "treewhen: " + filepath.Join("cal", "kettle-ridge.ics") + ": found more than 32 MiB, want a feed that treewhen wrote\n"; code != exitFailed || out != "" || !strings.Contains(said, want) {
		t.Errorf("status %d\n%s\n%s", code, out, said)
	}
	if info, err := os.Stat(path); err != nil || info.Size() != size {
		t.Errorf("found %v, %v", info, err)
	}
}

// A species profile has a limit like every other file.
func TestProfileSizeLimitHolds(t *testing.T) {
	dir := t.TempDir()
	writeFile(t, filepath.Join(dir, "arbor-exempli.yaml"), strings.Repeat("# ring\n", strictyaml.MaxSize/7+1))
	code, _, said := run(t, dir, "species", "--profiles", ".")
	if code != exitFailed || said != "treewhen: arbor-exempli.yaml:1: found more than 16777216 bytes, want a file of at most 16777216\n" {
		t.Errorf("status %d, %s", code, said)
	}
}

// What many sites share is told once, with all of them named together, in lines that fit a terminal.
func TestCheckTellsSharedThingsOnce(t *testing.T) {
	plan := gridFolder(t, 30)
	dir := filepath.Dir(plan)
	writeRecord(t, filepath.Join(dir, "record.csv"), civil.Of(2015, 1, 1), civil.Of(2020, 5, 1), 0, 0)
	writeFile(t, filepath.Join(dir, "term.ics"), "BEGIN:VCALENDAR\nBEGIN:VEVENT\nUID:a\nDTSTART;VALUE=DATE:20270503\nEND:VEVENT\nEND:VCALENDAR\n")
	text, err := os.ReadFile(plan)
	if err != nil {
		t.Fatal(err)
	}
	writeFile(t, plan, strings.Replace(string(text), "timezone: UTC", "timezone: America/New_York, temperatures: [{file: record.csv, elevation: 200 m}]", 1)+
		"activities: {field-trip: {busy: [term.ics]}}\n"+
		"sites:\n  - {id: alone, latitude: 43, longitude: -72, elevation: 90 m, timezone: America/New_York, species: [Norway maple, white oak]}\n"+
		"  - {id: another, latitude: 60, longitude: -94, elevation: 90 m, timezone: America/Winnipeg, species: [white oak]}\n")
	_, report, _ := run(t, dir, "check", "plan.yaml")
	for want, times := range map[string]int{
		"alone (alone): 43, -72, 90 m, America/New_York\n": 1, "another (another): 60, -94, 90 m, America/Winnipeg\n": 1,
		"s-0, s-1, s-2 and 27 more: 42 to 43.45, -72, 100 to 400 m, America/New_York\n": 1,
		"temperatures of alone and another: none;":                                      1,
		"temperatures of s-0, s-1, s-2 and 27 more:\n":                                  1,
		"record.csv: plain, °C":                                                         1, "used of ": 1,
		"height: moved 100 m down to 200 m up to the sites": 1,
		"calendar of alone, another, s-0 and 29 more:\n":    1, "term.ics, 2026-02-05 to 2029-04-15\n": 1, "titles: 1 taken, 0 half, 0 free\n": 1,
		"  Norway maple at alone: collecting its seed can be forbidden in ": 1,
		"  white oak at another: ": 1,
	} {
		if n := strings.Count(report, want); n != times {
			t.Errorf("found %q %d times, want %d:\n%s", want, n, times, report)
		}
	}
	for line := range strings.Lines(report) {
		if len([]rune(line)) > helpWidth+1 && strings.Contains(strings.TrimSpace(line), " ") {
			t.Errorf("found a line of %d characters: %s", len([]rune(line))-1, line)
		}
	}
}
