package seed_test

import (
	"fmt"
	"math"
	"slices"
	"testing"
	"time"

	"pgregory.net/rapid"

	"treewhen/calendar"
	"treewhen/calendar/calendartest"
	"treewhen/calendar/seed"
	"treewhen/phenology"
	"treewhen/phenology/civil"
)

// siteAt is a nursery's site so many kilometres north of another.
func siteAt(id string, km float64) *calendar.Place {
	p := calendartest.Nursery()
	p.Outlook = &phenology.Outlook{Site: phenology.Site{ID: id, Name: id, Latitude: 43 + km/111.2, Longitude: -72, Zone: time.UTC}}
	return p
}

// Two sites 20 km from each other are gone to on one drive, a third 80 km off on its own; and so is every one where the
// plan says so. All three are looked at in the same week, and each could be on the same days.
func TestSitesNearEachOtherAreOneDrive(t *testing.T) {
	for _, row := range []struct {
		km     float64
		drives int
	}{{30, 2}, {5, 3}, {100, 1}} {
		places := []*calendar.Place{siteAt("a", 0), siteAt("b", 20), siteAt("c", 80)}
		s := &calendar.Schedule{AsOf: calendartest.Day("2029-09-03"), Span: calendartest.Span("2029-09-03", "2029-10-30")}
		for i, p := range places {
			p.Options.Seed.OneDriveKM = row.km
			best := []string{"2029-09-05", "2029-09-07", "2029-09-06"}[i]
			s.Entries = append(s.Entries, work(p.Site().ID, p.Site(), calendar.TaskScout, "2029-09-03", best, "2029-09-11", 0.25))
		}
		c := seed.NewWorkload(&calendar.Plan{Places: places}, s).Crews[0]
		drives, visits := map[int]bool{}, map[int]bool{}
		for _, j := range c.Jobs {
			drives[j.Drive], visits[j.Visit] = true, true
		}
		if len(drives) != row.drives || len(visits) != 3 || c.Weeks[0].Drives != row.drives {
			t.Errorf("one drive up to %g km: found %d drives with %d visits, %d in the week; want %d, 3",
				row.km, len(drives), len(visits), c.Weeks[0].Drives, row.drives)
		}
	}
}

// Of two stands, no choice of days is cheaper than the bound that is told, and what was chosen costs what is told: all
// choices are tried, of random windows. How far the choice is from the best is counted.
func TestDrivesAgainstAllChoices(t *testing.T) {
	stands := []*calendar.Stand{{ID: "one"}, {ID: "two"}}
	start := calendartest.Day("2029-09-03") // a Monday
	var days []civil.Date
	for d := start; d < start+7; d++ {
		if wd := d.Weekday(); wd != time.Saturday && wd != time.Sunday {
			days = append(days, d)
		}
	}
	worst, best, n := 1.0, 0, 0
	rapid.Check(t, func(r *rapid.T) {
		p := siteAt("a", 0)
		s := &calendar.Schedule{AsOf: start, Span: civil.Span{First: start, Last: start + 60}}
		for i := range rapid.IntRange(1, 6).Draw(r, "n") {
			first := start + civil.Date(rapid.IntRange(0, 1).Draw(r, "first"))
			e := work(fmt.Sprint("w", i), p.Site(), calendar.TaskScout, "2029-09-03", "2029-09-03", "2029-09-03", 0)
			if rapid.Bool().Draw(r, "collect") {
				e.Task, e.Facts = calendar.TaskCollect, &seed.Collection{}
			}
			e.Stand = stands[rapid.IntRange(0, 1).Draw(r, "stand")]
			e.Window = civil.Span{First: first, Last: first + civil.Date(rapid.IntRange(3, 5).Draw(r, "days"))}
			e.Best = first + civil.Date(rapid.IntRange(0, e.Window.Days()-1).Draw(r, "best"))
			s.Entries = append(s.Entries, e)
		}
		c := seed.NewWorkload(&calendar.Plan{Places: []*calendar.Place{p}}, s).Crews[0]
		least := math.Inf(1)
		for one := range 1 << len(days) {
			for two := range 1 << len(days) {
				least = min(least, twoStands(c.Jobs, days, one, two))
			}
		}
		if c.Drives.AtLeast > least+1e-9 || c.Drives.Cost < least-1e-9 {
			r.Fatalf("found %g, at least %g; the cheapest costs %g", c.Drives.Cost, c.Drives.AtLeast, least)
		}
		n++
		if c.Drives.Cost < least+1e-9 {
			best++
		}
		worst = max(worst, c.Drives.Cost/least)
	})
	t.Logf("the best of all choices in %d of %d; at most %.0f %% dearer", best, n, 100*(worst-1))
	if worst > 1.25 || best < n*7/10 {
		t.Errorf("found the best choice in %d of %d, and one that is %.2f times as dear", best, n, worst)
	}
}

// twoStands is what it costs to be at two stands on days by the bits of one and two: 0.75 a drive, 0.25 a stop, and
// what the jobs cost on the nearest of their stand's days.
func twoStands(jobs []*seed.Job, days []civil.Date, one, two int) float64 {
	price := 0.0
	for i := range days {
		if one>>i&1+two>>i&1 > 0 {
			price += 0.75 + 0.25*float64(one>>i&1+two>>i&1)
		}
	}
	for _, stand := range []string{"one", "two"} {
		set := map[string]int{"one": one, "two": two}[stand]
		var here []*seed.Job
		for _, j := range jobs {
			if j.Entry.Stand.ID == stand {
				here = append(here, j)
			}
		}
		visited := func(d civil.Date) bool { i := slices.Index(days, d); return i >= 0 && set>>i&1 == 1 }
		n := 0.0
		for _, d := range days {
			if visited(d) {
				n++
			}
		}
		if price += priceOf(here, days, visited) - n; math.IsInf(price, 1) {
			return price
		}
	}
	return price
}
