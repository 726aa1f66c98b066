package main

import (
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"treewhen/phenology/civil"
)

// A bush is lived through day by day while its forecasts fail in every way that downloads fail, and then its station
// falls silent. Every morning the feed comes; what is wrong is said first, by every output, and no longer than it is so.
func TestForecastsFailAndAStationFallsSilent(t *testing.T) {
	dir := t.TempDir()
	const first = "2027-02-24"
	start, err := civil.Parse(first)
	if err != nil {
		t.Fatal(err)
	}
	writeFile(t, filepath.Join(dir, "plan.yaml"), sitePlan(44.2, -72.6, "300 m", "America/New_York",
		"    name: Ash Hollow\n    species: [sugar maple]\n    activities: [tapping]\n"+
			"    temperatures: [days.csv]\n    forecast: [ahead.csv]\n"))
	file := filepath.Join(dir, "ahead.csv")
	// forecast writes ten days of the same weather from a day on.
	forecast := func(from civil.Date) { writeRecord(t, file, from, from+9, 1, -1) }
	for n, day := range []struct {
		silent   civil.Date // days of the station that are missing
		forecast func(asOf civil.Date)
		says     string // "" where nothing is wrong
		owner    string // what the owner alone is told, by check and on standard error
	}{
		{1, func(d civil.Date) { forecast(d) }, "", ""},
		{1, func(civil.Date) { os.Remove(file) }, "No forecast: its file is missing.", "plan.yaml:13: forecast: ahead.csv"},
		{1, func(civil.Date) { writeFile(t, file, "") }, "No forecast: its file is empty.", "ahead.csv"},
		{1, func(civil.Date) { writeFile(t, file, "date,tmin_c,tmax_c\n") }, "No forecast: its file cannot be read.", "no rows under its header"},
		{1, func(civil.Date) { writeFile(t, file, "<html>502 Bad Gateway</html>\n") }, "No forecast: its file cannot be read.", "ahead.csv"},
		{1, func(d civil.Date) { forecast(d) }, "", ""},
		{1, func(d civil.Date) { forecast(d - 4) }, "No forecast: its file is of 26 Feb, more than 3 days old.", ""},
		{1, func(d civil.Date) { forecast(d - 12) }, "No forecast: its file ends on 28 Feb.", ""},
		{1, func(d civil.Date) { writeRecord(t, file, d-2, d+7, 25, 45) }, "No forecast: its degrees are in another unit", "want unit: F"},
		{2, func(d civil.Date) { forecast(d) }, "Measured days end on 3 Mar. What lies between", ""},
		{3, func(d civil.Date) { forecast(d) }, "Measured days end on 3 Mar. What lies between", ""},
		{4, func(d civil.Date) { forecast(d) }, "Measured days end on 3 Mar. What lies between", ""},
		{9, func(d civil.Date) { forecast(d) }, "Temperatures end on 27 Feb 2027.", ""},
		{14, func(civil.Date) { os.Remove(file) }, "Temperatures end on 23 Feb 2027.", "ahead.csv"},
		{1, func(d civil.Date) { forecast(d) }, "", ""},
	} {
		asOf := start + civil.Date(n)
		t.Run(fmt.Sprint(asOf), func(t *testing.T) {
			writeRecord(t, filepath.Join(dir, "days.csv"), civil.Of(2015, 1, 1), asOf-day.silent, 0, 0)
			day.forecast(asOf)
			do := func(args ...string) (out, errs string) {
				code, out, errs := run(t, dir, append(args, "--as-of", asOf.String())...)
				if code != exitDone {
					t.Fatalf("%v: status %d\n%s", args, code, errs)
				}
				return strings.Join(strings.Fields(out), " "), errs
			}
			_, said := do("feed", "plan.yaml", "--out", "cal")
			data, err := os.ReadFile(filepath.Join(dir, "cal", "here.ics"))
			if err != nil {
				t.Fatal(err)
			}
			feed := strings.ReplaceAll(string(data), "\r\n ", "")
			check, _ := do("check", "plan.yaml")
			sap, _ := do("sap", "plan.yaml", "--feeds", "cal")
			schedule, _ := do("schedule", "plan.yaml", "--feeds", "cal")
			page, _ := do("schedule", "plan.yaml", "--feeds", "cal", "--format", "html")
			json, _ := do("schedule", "plan.yaml", "--feeds", "cal", "--format", "json")
			if day.says == "" {
				for name, text := range map[string]string{"feed": ahead(feed, asOf), "check": check, "sap": sap, "schedule": schedule,
					"page": page, "standard error": said} {
					for _, word := range []string{"No forecast:", "Temperatures end", "less sure", "left out"} {
						if strings.Contains(text, word) {
							t.Errorf("%s: found %q, want nothing of it", name, word)
						}
					}
				}
				return
			}
			grave := strings.HasPrefix(day.says, "No ") || strings.HasPrefix(day.says, "Temp")
			if !strings.Contains(said, day.owner) || !strings.Contains(check, day.owner) {
				t.Errorf("found on standard error\n%s\nand in check\n%s\nwant %s", said, check, day.owner)
			}
			// It is the first thing that the next piece of work says.
			escaped := strings.ReplaceAll(day.says, ",", `\,`)
			if !strings.Contains(feed, "DESCRIPTION:"+escaped) {
				t.Errorf("found no event that begins with %q:\n%s", escaped, feed)
			}
			if !strings.Contains(sap, "Ash Hollow "+day.says) {
				t.Errorf("found sap not to begin with %q:\n%s", day.says, sap)
			}
			if !strings.Contains(json, day.says) || !strings.Contains(page, day.says) {
				t.Errorf("found %q not on the page, or not in JSON", day.says)
			}
			if !grave {
				return
			}
			if !strings.HasPrefix(check, "doubt: here: "+day.says) {
				t.Errorf("found check not to begin with %q:\n%.300s", day.says, check)
			}
			note := "note: Ash Hollow: " + strings.ToLower(day.says[:1]) + day.says[1:]
			if _, after, _ := strings.Cut(schedule, "2028 "); !strings.HasPrefix(after, note) {
				t.Errorf("found schedule not to begin with %q:\n%.400s", note, schedule)
			}
			if i := strings.Index(page, day.says[1:]); i < 0 || i > strings.Index(page, "<main") {
				t.Errorf("found %q not at the head of the page", day.says)
			}
		})
	}
}

// ahead returns the events of a feed that are not over: those that are stay as they were told.
func ahead(feed string, asOf civil.Date) (kept string) {
	for _, event := range strings.Split(feed, "BEGIN:VEVENT") {
		_, end, _ := strings.Cut(event, "DTEND;VALUE=DATE:")
		if end[:min(8, len(end))] > asOf.Format("20060102") {
			kept += event
		}
	}
	return kept
}

// A record that ends too early and a forecast that is not there make a server say so, and serve; that of a year is
// doubted by check.
func TestServerTellsThatItIsBehind(t *testing.T) {
	dir, plan := t.TempDir(), ""
	plan = filepath.Join(dir, "plan.yaml")
	writeRecord(t, filepath.Join(dir, "days.csv"), civil.Of(2015, 1, 1), civil.Of(2027, 2, 20), 0, 0)
	writeFile(t, plan, sitePlan(44.2, -72.6, "300 m", "America/New_York",
		"    species: [sugar maple]\n    activities: [tapping]\n    temperatures: [days.csv]\n    forecast: [ahead.csv]\n"))
	pretended := civil.Of(2027, 3, 12)
	s := startServer(t, func(o *serveOptions) { o.AsOf = &pretended }, plan)
	h := s.health()
	if h.Status != "behind" || h.Feeds == 0 {
		t.Errorf("found %+v, want it behind, with feeds", h)
	}
	_, _, body := s.get("/healthz")
	for _, want := range []string{`"observed_to":"2027-02-20"`, `"without_forecast":1`} {
		if !strings.Contains(body, want) {
			t.Errorf("found %s, want %s in it", body, want)
		}
	}
	if err := keeps(closedSchema(t, "healthz"), body); err != nil {
		t.Error(err)
	}
	// Once the forecast comes and the station speaks again, it is well.
	writeRecord(t, filepath.Join(dir, "ahead.csv"), pretended, pretended+9, 1, -1)
	writeRecord(t, filepath.Join(dir, "days.csv"), civil.Of(2015, 1, 1), pretended-1, 0, 0)
	s.wait("to be well", func() bool { return s.health().Status == "ok" })

	writeRecord(t, filepath.Join(dir, "days.csv"), civil.Of(2026, 3, 1), pretended-1, 0, 0)
	_, out, _ := run(t, dir, "check", "plan.yaml", "--as-of", "2027-03-12")
	if !strings.Contains(strings.Join(strings.Fields(out), " "), "doubt: here: The record holds 376 measured days. Dates need 5 years at least") {
		t.Errorf("found\n%s\nwant a doubt about a record of a year", out)
	}
}
