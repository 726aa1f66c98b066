package main

import (
	"fmt"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"testing"

	"treewhen/calendar/words"
)

// What is kept, in a calendar, on a sheet or in a table, is read on another day than it was written on: it names days. No
// description of an event is longer than a telephone shows, no title has a percentage, and with several sites each title
// begins with its site's short name.
func TestWhatIsKeptNamesDays(t *testing.T) {
	passing := regexp.MustCompile(`(?i)\b(today|tonight|now|tomorrow|yesterday|already)\b`)
	cases, err := filepath.Abs("../../testdata/cases")
	if err != nil {
		t.Fatal(err)
	}
	for _, row := range []struct {
		name  string
		plan  []string
		asOf  string
		trips bool
	}{
		{"demonstration", nil, "2027-03-12", true},
		{"nursery", []string{filepath.Join(cases, "nursery", "plan.yaml")}, "2029-03-01", false},
		{"school", []string{filepath.Join(cases, "school", "plan.yaml")}, "2029-08-20", true},
		{"sugarbush", []string{filepath.Join(cases, "sugarbush", "plan.yaml")}, "2031-02-27", false},
	} {
		t.Run(row.name, func(t *testing.T) {
			dir := t.TempDir()
			do := func(args ...string) string {
				args = append(append(args[:1:1], row.plan...), append(args[1:], "--as-of", row.asOf)...)
				code, out, errs := run(t, dir, args...)
				if code != exitDone {
					t.Fatalf("%v: status %d\n%s", args, code, errs)
				}
				return out
			}
			kept := map[string]string{"csv": do("schedule", "--format", "csv")}
			if row.trips {
				kept["sheet"] = strings.ReplaceAll(do("sheet"), "APART TODAY?", "") // which is its own day
			}
			do("feed", "--out", "cal")
			files, err := filepath.Glob(filepath.Join(dir, "cal", "*.ics"))
			if err != nil || len(files) == 0 {
				t.Fatalf("found %d feeds, %v", len(files), err)
			}
			for _, file := range files {
				data, err := os.ReadFile(file)
				if err != nil {
					t.Fatal(err)
				}
				for i, line := range strings.Split(strings.ReplaceAll(string(data), "\r\n ", ""), "\r\n") {
					name, value, _ := strings.Cut(line, ":")
					switch name {
					case "SUMMARY", "DESCRIPTION":
						kept[fmt.Sprint(filepath.Base(file), " ", i)] = value
					}
					value = strings.NewReplacer(`\n`, "\n", `\,`, ",", `\;`, ";", `\\`, `\`).Replace(value)
					if n := len([]rune(value)); name == "DESCRIPTION" && n > words.MostDescribed {
						t.Errorf("%s: found a description of %d characters, want %d at most:\n%s", file, n, words.MostDescribed, value)
					}
					if name == "SUMMARY" && strings.Contains(value, "%") {
						t.Errorf("%s: found the title %q, want one without a percentage", file, value)
					}
				}
			}
			for what, text := range kept {
				if word := passing.FindString(text); word != "" {
					t.Errorf("%s: found %q in what is kept: %s", what, word, text)
				}
			}
		})
	}
}

// Of a plan of several sites each title and alarm begins with the site's short name, and each event has the site's color;
// of a plan of one, there is nothing to tell it from. With an address, each event names its entry on the page.
func TestSitesAreToldApart(t *testing.T) {
	site := func(id, more string) string {
		return fmt.Sprintf("  - {id: %s, name: %s sugarbush, latitude: 44.2, longitude: -72.6, elevation: 300 m, "+
			"timezone: America/New_York, species: [sugar maple], activities: [tapping], normals: {unit: C, "+
			"tmin: [-14, -13, -7, 0, 6, 11, 14, 13, 8, 3, -2, -10], tmax: [-4, -2, 3, 11, 18, 23, 26, 25, 20, 13, 5, -1]}%s}\n", id, id, more)
	}
	head := "title: Bushes\nfeed_id: 9c2a6d1e-5f0b-4c83-8a57-3e1d90b7f246\naddress: https://example.org/trees/\nsites:\n"
	lines := func(plan, feed string) map[string][]string {
		dir := t.TempDir()
		writeFile(t, filepath.Join(dir, "plan.yaml"), plan)
		if code, _, errs := run(t, dir, "feed", "plan.yaml", "--out", "cal", "--as-of", "2027-03-01"); code != exitDone {
			t.Fatal(errs)
		}
		data, err := os.ReadFile(filepath.Join(dir, "cal", feed))
		if err != nil {
			t.Fatal(err)
		}
		found := map[string][]string{}
		alarm := false
		for _, line := range strings.Split(strings.ReplaceAll(string(data), "\r\n ", ""), "\r\n") {
			name, value, _ := strings.Cut(line, ":")
			alarm = alarm && line != "END:VALARM" || line == "BEGIN:VALARM"
			if alarm {
				name = "alarm " + name
			}
			found[name] = append(found[name], value)
		}
		return found
	}
	two := lines(head+site("ridge", ", short_name: Ridge, color: teal")+site("valley", ""), "ridge.ics")
	if len(two["SUMMARY"]) < 3 || len(two["alarm DESCRIPTION"]) == 0 {
		t.Fatalf("found %v", two)
	}
	for _, name := range []string{"SUMMARY", "alarm DESCRIPTION"} {
		for _, value := range two[name] {
			if !strings.HasPrefix(value, "Ridge: ") {
				t.Errorf("found %s:%s, want it to begin with the site's short name", name, value)
			}
		}
	}
	for _, color := range two["COLOR"] {
		if color != "teal" {
			t.Errorf("found the color %s, want the site's", color)
		}
	}
	if len(two["URL"]) == 0 {
		t.Error("found no event that names its entry on the page")
	}
	for _, url := range two["URL"] {
		uid, ok := strings.CutPrefix(url, "https://example.org/trees/#work-")
		if !ok || !slices.Contains(two["UID"], uid) {
			t.Errorf("found URL:%s, want an entry on the page", url)
		}
	}
	valley := lines(head+site("ridge", ", short_name: Ridge, color: teal")+site("valley", ""), "valley.ics")
	if got := valley["SUMMARY"][0]; !strings.HasPrefix(got, "valley sugarbush: ") || valley["COLOR"][0] == "teal" {
		t.Errorf("found %q in %s, want its own name and color", got, valley["COLOR"][0])
	}
	dir := t.TempDir()
	writeFile(t, filepath.Join(dir, "plan.yaml"), head+site("ridge", ", color: teal")+site("valley", ", color: teal"))
	if _, out, _ := run(t, dir, "check", "plan.yaml"); !strings.Contains(out, "doubt: in calendars, ridge and valley have the same color, teal") {
		t.Errorf("found no doubt about the same color in\n%s", out)
	}
	if one := lines(head+site("ridge", ", short_name: Ridge"), "ridge.ics"); strings.HasPrefix(one["SUMMARY"][0], "Ridge") || one["COLOR"][1] != "chocolate" {
		t.Errorf("found %q in %s, want no name of the only site", one["SUMMARY"][0], one["COLOR"][1])
	}
}
