package build_test

import (
	"bytes"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"

	"treewhen/calendar"
	"treewhen/calendar/build"
	"treewhen/calendar/ical"
	"treewhen/calendar/inputs"
	"treewhen/calendar/page"
	"treewhen/calendar/text"
	"treewhen/phenology/civil"
)

// grid writes a plan of many sites in a table into a folder, and returns the plan's path.
func grid(t *testing.T, sites int) string {
	dir := t.TempDir()
	table := "id,latitude,longitude,elevation_m\n"
	for i := range sites {
		table += fmt.Sprintf("s-%d,%.2f,-72,%d\n", i, 42+float64(i%50)/20, 100+i%7*50)
	}
	for name, text := range map[string]string{
		"plan.yaml": "title: A grid\nfeed_id: 9c2a6d1e-5f0b-4c83-8a57-3e1d90b7f246\nsites_from: grid.csv\nevery_site: {timezone: UTC, species: [red maple]}\n",
		"grid.csv":  table,
	} {
		if err := os.WriteFile(filepath.Join(dir, name), []byte(text), 0o644); err != nil {
			t.Fatal(err)
		}
	}
	return filepath.Join(dir, "plan.yaml")
}

type result struct {
	Plan     *calendar.Plan
	Schedule *calendar.Schedule
	Years    []text.YearChart
}

// A schedule that is worked out site by site, with what the output does not need let go, has the bytes of one of which
// everything is kept.
func TestSiteBySiteIsTheSame(t *testing.T) {
	asOf := civil.Of(2027, 3, 12)
	for _, o := range []inputs.Options{
		{Plan: "plan.yaml", Demo: os.DirFS("../../cmd/treewhen/demo"), AsOf: &asOf},
		{Plan: grid(t, page.MaxPageSites+3), AsOf: &asOf}, // more than a page shows
	} {
		in, err := inputs.Read(t.Context(), &o)
		if err != nil {
			t.Fatal(err)
		}
		days, err := o.Days(in)
		if err != nil {
			t.Fatal(err)
		}
		whole := in.Schedule(days)
		s := calendar.NewSchedule(whole)
		var years []text.YearChart
		draw := func(pl *calendar.Place, entries []*calendar.Entry) text.YearChart {
			return text.DrawYear(pl, entries, asOf, text.ChartOptions{})
		}
		for _, pl := range in.Places {
			at := in.Ready(pl)
			whole.Places = append(whole.Places, at)
			work := build.At(whole, at)
			s.Add(work)
			years = append(years, draw(at, work.Entries))
		}
		s.Sort()
		all := result{whole, s, years}
		lines := func(w io.Writer, r result) error { return text.WriteText(w, r.Schedule, text.TextOptions{}) }
		pageWant := build.Want{Keep: calendar.KeepDetails, Most: page.MaxPageSites}
		if len(in.Places) > page.MaxPageSites {
			pageWant.Pick = func(list []*calendar.Entry) []*calendar.Entry { return page.Overview(list, asOf) }
			pageWant.Most = 0
		}
		for _, tt := range []struct {
			name  string
			want  build.Want
			write func(io.Writer, result) error
		}{
			{"csv", build.Want{Keep: calendar.KeepRows}, func(w io.Writer, r result) error { return text.WriteCSV(w, r.Schedule) }},
			{"text", build.Want{Keep: calendar.KeepLines}, lines},
			{"chart", build.Want{Keep: calendar.KeepLines}, func(w io.Writer, r result) error {
				return text.WriteYears(w, r.Years, text.ChartOptions{})
			}},
			{"page", pageWant, func(w io.Writer, r result) error {
				return page.WritePage(w, page.Page{Plan: r.Plan, Schedule: r.Schedule})
			}},
			{"everything else", build.Want{Keep: calendar.KeepDetails}, func(w io.Writer, r result) error {
				if err := text.WriteJSON(w, r.Schedule); err != nil {
					return err
				}
				if err := text.WriteText(w, r.Schedule, text.TextOptions{Details: true}); err != nil {
					return err
				}
				return ical.WriteICS(w, build.Feed(in, in.Plan.Title, "", "", r.Schedule.Entries))
			}},
		} {
			plan, made, charts, err := build.All(t.Context(), in, days, tt.want, draw)
			if err != nil {
				t.Fatal(err)
			}
			var got, want bytes.Buffer
			if err := tt.write(&got, result{plan, made, charts}); err != nil {
				t.Fatal(err)
			}
			if err := tt.write(&want, all); err != nil {
				t.Fatal(err)
			}
			if diff := cmp.Diff(strings.Split(want.String(), "\n"), strings.Split(got.String(), "\n")); diff != "" {
				t.Errorf("%s of %s: site by site it differs:\n%.3000s", tt.name, in.Plan.Title, diff)
			}
		}
	}
}
