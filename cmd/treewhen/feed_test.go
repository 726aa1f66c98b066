package main

import (
	"bytes"
	"encoding/csv"
	"os"
	"path/filepath"
	"strings"
	"testing"

	goical "github.com/emersion/go-ical"
	"github.com/google/go-cmp/cmp"

	"treewhen/calendar/ical/icaltest"
	"treewhen/calendar/icslint"
)

// Every feed of the demonstration, and of a plan over open data, keeps the standards byte by byte, is read by a parser
// that did not write it, and holds the same work, on the same days, as the schedule's table.
func TestFeedsHoldWhatTheScheduleSays(t *testing.T) {
	t.Run("demonstration", func(t *testing.T) { checkFeeds(t, "2027-03-12") })
	t.Run("open data", func(t *testing.T) {
		data, err := filepath.Abs("../../../shared/data")
		if err != nil {
			t.Fatal(err)
		}
		if _, err := os.Stat(data); err != nil {
			t.Skip("the open data are not here: no ../shared/data beside the project")
		}
		plan := filepath.Join(t.TempDir(), "plan.yaml")
		if err := os.WriteFile(plan, []byte(openDataPlan(data)), 0o644); err != nil {
			t.Fatal(err)
		}
		checkFeeds(t, "2004-04-01", plan, "--as-of", "2004-04-01")
	})
}

// openDataPlan is a plan over the stations of Harvard Forest (Harvard Forest Data Archive HF000 and HF001).
func openDataPlan(data string) string {
	return `title: Harvard Forest
feed_id: 1b671a64-40d5-491e-99b0-da01ff1f3341
sites:
  - id: petersham
    name: Harvard Forest
    latitude: 42.53
    longitude: -72.19
    elevation: 340 m
    timezone: America/New_York
    temperatures:
      - {file: ` + data + `/harvard-forest/fisher-daily-2001-2013.csv, unit: C}
      - {file: ` + data + `/harvard-forest/shaler-daily-1980-2002.csv, unit: C}
    species: [red maple, sugar maple, silver maple, Norway maple, box elder]
`
}

type row struct{ Start, End string }

func checkFeeds(t *testing.T, asOf string, args ...string) {
	dir := t.TempDir()
	table := map[string]map[string]row{} // site and site.activity -> uid -> days
	code, stdout, stderr := run(t, dir, append(append([]string{"schedule"}, args...), "--format", "csv")...)
	if code != exitDone {
		t.Fatal(stderr)
	}
	rows, err := csv.NewReader(strings.NewReader(stdout)).ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	for _, r := range rows[1:] {
		for _, feed := range []string{r[3], r[3] + "." + r[4]} {
			if table[feed] == nil {
				table[feed] = map[string]row{}
			}
			table[feed][r[9]] = row{r[0], r[1]}
		}
	}
	if len(table) == 0 {
		t.Fatal("the schedule is empty")
	}
	if code, _, stderr := run(t, dir, append(append([]string{"feed"}, args...), "--out", "cal")...); code != exitDone {
		t.Fatal(stderr)
	}
	files, _ := filepath.Glob(filepath.Join(dir, "cal", "*.ics"))
	if len(files) < len(table) {
		t.Errorf("%d feeds, want %d", len(files), len(table))
	}
	for _, path := range files {
		name := strings.TrimSuffix(filepath.Base(path), ".ics")
		data, err := os.ReadFile(path)
		if err != nil {
			t.Fatal(err)
		}
		for _, fault := range icslint.Check(data) {
			t.Errorf("%s: %v", name, fault)
		}
		cal, err := goical.NewDecoder(bytes.NewReader(data)).Decode()
		if err != nil {
			t.Errorf("%s: %v", name, err)
			continue
		}
		got := map[string]row{}
		for _, e := range cal.Events() {
			if icaltest.RingsFor(e) != "" {
				continue // it stands for no entry
			}
			start, err1 := e.Props.Get(goical.PropDateTimeStart).DateTime(nil)
			end := e.Props.Get(goical.PropDateTimeEnd)
			uid, err2 := e.Props.Text(goical.PropUID)
			if err1 != nil || err2 != nil || end == nil {
				t.Errorf("%s: %v %v: an event without start, end or UID", name, err1, err2)
				continue
			}
			last, err := end.DateTime(nil)
			if err != nil {
				t.Errorf("%s: %v", name, err)
			}
			if want, ok := table[name][uid]; !ok && last.AddDate(0, 0, -1).Format("2006-01-02") < asOf {
				continue // over just now; feeds keep it some days longer than the schedule
			} else if ok && e.Props.Get(goical.PropDateTimeStart).ValueType() != goical.ValueDate {
				// A timed event: its days are checked where its hours are.
				got[uid] = want
				continue
			}
			got[uid] = row{start.Format("2006-01-02"), last.AddDate(0, 0, -1).Format("2006-01-02")} // RFC 5545 3.8.2.2: the end is not in it
		}
		want := table[name]
		if want == nil {
			want = map[string]row{}
		}
		if diff := cmp.Diff(want, got); diff != "" {
			t.Errorf("%s (-schedule +feed):\n%s", name, diff)
		}
	}
}
