package busy_test

import (
	"bytes"
	"encoding/csv"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"treewhen/calendar/busy"
	"treewhen/phenology/civil"
)

// schoolDay is the part of a day of which something may be lost, in the tests of school calendars: 08:00 to 14:30.
const schoolStarts, schoolEnds = 8 * 60, 14*60 + 30

// states returns what a calendar leaves of the school day, for each day of its span; and whether nothing is lost but hours
// of the afternoon.
func states(d *busy.Diary, zone *time.Location) ([]busy.State, []bool) {
	list := make([]busy.State, d.Span.Days())
	lost := make([]int, d.Span.Days())
	afternoon := make([]bool, d.Span.Days())
	for i := range afternoon {
		afternoon[i] = true
	}
	const step = 15
	for from := schoolStarts; from < schoolEnds; from += step {
		for i, e := range busy.Blocks([]*busy.Diary{d}, d.Span, from, from+step, zone, nil) {
			if e != nil {
				lost[i]++
				afternoon[i] = afternoon[i] && from >= 12*60 && !e.ByTheDay()
			}
		}
	}
	for i, n := range lost {
		switch n {
		case 0:
			list[i] = busy.Free
		case (schoolEnds - schoolStarts) / step:
			list[i] = busy.Taken
		default:
			list[i] = busy.Half
		}
	}
	return list, afternoon
}

// expectStates checks a folder of calendars against a table of what their owners mean: file, day, state and why.
func expectStates(t *testing.T, folder string, zoneOf func(file string) string, least int) {
	table, err := os.ReadFile(filepath.Join(folder, "expect.csv"))
	if os.IsNotExist(err) {
		t.Skip(err)
	}
	r := csv.NewReader(bytes.NewReader(bytes.TrimPrefix(table, []byte("\xef\xbb\xbf"))))
	r.Comment = '#'
	rows, err := r.ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	read, morning := map[string][]busy.State{}, map[string][]bool{}
	span := civil.Span{First: day("2026-07-01"), Last: day("2027-07-31")}
	for _, row := range rows[1:] {
		name := row[0]
		if read[name] == nil {
			data, err := os.ReadFile(filepath.Join(folder, name))
			if err != nil {
				t.Fatal(err)
			}
			d, err := busy.Words{}.Read(bytes.NewReader(data), name, span)
			if err != nil {
				t.Fatal(err)
			}
			for _, note := range append(d.Notes, d.Remarks...) {
				t.Log(note)
			}
			read[name], morning[name] = states(d, load(zoneOf(name)))
		}
		if row[2] == "free" && morning[name][day(row[1])-span.First] {
			continue // what has hours after noon leaves a morning's outing alone
		}
		if got := read[name][day(row[1])-span.First]; string(got) != row[2] {
			t.Errorf("%s, %s: found %s, want %s: %s", name, row[1], got, row[2], strings.Join(row[3:], ","))
		}
	}
	if len(rows)-1 < least {
		t.Errorf("found %d days, want %d", len(rows)-1, least)
	}
}

// Ten invented schools' calendars, each in the habits of one of the programs that people export from, day by day as their
// owners mean them.
func TestCalendarsInTheHabitsOfPrograms(t *testing.T) {
	expectStates(t, "../../../shared/data/school-calendars", func(file string) string {
		switch {
		case strings.Contains(file, "learning-platform"):
			return "America/Los_Angeles"
		case strings.HasSuffix(file, "-fr.ics"):
			return "America/Toronto"
		}
		return "America/New_York"
	}, 400)
}

// The same of calendars of our own, which stand in this project.
func TestInventedSchoolCalendars(t *testing.T) {
	expectStates(t, "../../testdata/calendars", func(string) string { return "America/New_York" }, 60)
}
