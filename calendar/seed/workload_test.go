package seed_test

import (
	"bytes"
	"encoding/csv"
	"encoding/json"
	"fmt"
	"math"
	"slices"
	"strings"
	"testing"
	"time"

	"pgregory.net/rapid"

	"treewhen/calendar"
	"treewhen/calendar/build/buildtest"
	"treewhen/calendar/calendartest"
	"treewhen/calendar/seed"
	"treewhen/calendar/text"
	"treewhen/phenology"
	"treewhen/phenology/civil"
)

// work is an entry that takes people-days.
func work(uid string, site *phenology.Site, task calendar.Task, first, best, last string, days float64) *calendar.Entry {
	e := &calendar.Entry{
		UID: uid, Site: site, Activity: calendar.SeedCollection, Task: task, PeopleDays: days,
		Species: []*phenology.Species{{ID: uid, Common: []string{uid}, Seed: &phenology.Seed{Fruit: phenology.Samara}}},
		Window:  calendartest.Span(first, last), Best: calendartest.Day(best), Probability: 0.9,
	}
	switch task {
	case calendar.TaskScout:
		e.Facts = &seed.Scout{}
	case calendar.TaskRipeness:
		e.Facts = &seed.Check{Number: 1}
	case calendar.TaskCollect:
		e.Facts = &seed.Collection{}
	case calendar.TaskProcess:
		e.Facts = &seed.Cleaning{}
	default:
		e.Facts = &seed.Germination{}
	}
	return e
}

// A crew of four at five days a week, 20 people-days, with two sites, from Wednesday 22 August 2029 on, summed by hand:
//
//	week of 20 Aug: 3 of 5 days are left: 12. The look at oak, best on Sunday 26 August, is done on Monday 27 August;
//	  ash's, open since July, is still to do and is done at once, today: 2.
//	week of 27 Aug: 20. Oak's look (1), elm's at the same stand, whose own best day is Tuesday 28 (1), on one visit; at
//	  the other site maple's collection, best on Thursday 30 (12), and its cleaning on Friday 31 (8): 22 of 20, over by 2.
//	week of 3 Sep: Labor Day is off: 16. Nothing is due.
//	week of 10 Sep: 20. Birch's collection, best on Saturday 15: on Friday 14 (5).
func TestCrewsWeeksByHand(t *testing.T) {
	home, far := calendartest.Nursery(), calendartest.Nursery()
	far.Outlook = &phenology.Outlook{Site: phenology.Site{ID: "ridge", Name: "Ridge", Latitude: 43, Longitude: -72, Zone: time.UTC}}
	for _, p := range []*calendar.Place{home, far} {
		p.Options.Seed.WeekHas = 20
		p.Options.Seed.Work = map[calendar.Task]float64{calendar.TaskScout: 1, calendar.TaskCollect: 1, calendar.TaskProcess: 1}
		p.Options.Seed.Closed = []civil.Span{calendartest.Span("2029-09-03", "2029-09-03")}
	}
	h, f := home.Site(), far.Site()
	clean := work("clean-maple", f, calendar.TaskProcess, "2029-08-20", "2029-08-31", "2029-09-20", 8)
	clean.After = []string{"maple"}
	s := &calendar.Schedule{
		AsOf: calendartest.Day("2029-08-22"), Span: calendartest.Span("2029-08-01", "2029-12-31"),
		Entries: []*calendar.Entry{
			work("over", h, calendar.TaskScout, "2029-08-01", "2029-08-05", "2029-08-10", 7),
			work("ash", h, calendar.TaskScout, "2029-07-20", "2029-08-05", "2029-08-22", 2),
			work("oak", h, calendar.TaskScout, "2029-08-20", "2029-08-26", "2029-09-05", 1),
			work("elm", h, calendar.TaskScout, "2029-08-20", "2029-08-28", "2029-09-05", 1),
			work("maple", f, calendar.TaskCollect, "2029-08-27", "2029-08-30", "2029-09-04", 12),
			clean,
			work("birch", h, calendar.TaskCollect, "2029-09-10", "2029-09-15", "2029-09-28", 5),
		},
	}
	load := seed.NewWorkload(&calendar.Plan{Places: []*calendar.Place{home, far}}, s)
	if len(load.Crews) != 1 {
		t.Fatalf("found %d crews, want one for both sites", len(load.Crews))
	}
	c := load.Crews[0]
	var got []string
	for _, w := range c.Weeks {
		got = append(got, fmt.Sprintf("%s: %g of %g, %d visits", w.Monday, w.PeopleDays, w.Has, w.Visits))
	}
	want := []string{
		"2029-08-20: 2 of 12, 1 visits", "2029-08-27: 22 of 20, 2 visits", "2029-09-03: 0 of 16, 0 visits",
		"2029-09-10: 5 of 20, 1 visits",
	}
	if !slices.Equal(got, want) {
		t.Errorf("found\n%s\nwant\n%s", strings.Join(got, "\n"), strings.Join(want, "\n"))
	}
	if c.Past != 1 {
		t.Errorf("found %d tasks whose days are over, want 1", c.Past)
	}
	days := map[string]string{}
	for _, j := range c.Jobs {
		days[j.Entry.UID] = j.Day.String()
	}
	for uid, day := range map[string]string{
		"ash": "2029-08-22", "oak": "2029-08-27", "elm": "2029-08-27", "maple": "2029-08-30", "clean-maple": "2029-08-31",
		"birch": "2029-09-14",
	} {
		if days[uid] != day && !(uid == "oak" || uid == "elm") {
			t.Errorf("%s: found %s, want %s", uid, days[uid], day)
		}
	}
	if days["oak"] != days["elm"] {
		t.Errorf("found oak looked at on %s and elm on %s, want one visit", days["oak"], days["elm"])
	}
	// The cleaning can wait a week, which Labor Day's week has room for.
	over := c.Weeks[1]
	if len(over.Moves) != 1 || over.Moves[0].Job.Entry != clean || over.Moves[0].To.String() != "2029-09-03" || over.StillOver != 0 {
		t.Errorf("found moves %+v and still %g over, want the cleaning in the week of 3 September", over.Moves, over.StillOver)
	}

	// A site with a crew of its own shares nothing.
	far.Options.Seed.CrewLine = 9
	if n := len(seed.NewWorkload(&calendar.Plan{Places: []*calendar.Place{home, far}}, s).Crews); n != 2 {
		t.Errorf("found %d crews, want two", n)
	}
}

// What gives least is named first: a light crop, then what another stand has too.
func TestWhatGivesLeast(t *testing.T) {
	p := calendartest.Nursery()
	p.Options.Seed.WeekHas = 2
	site := p.Site()
	s := &calendar.Schedule{AsOf: calendartest.Day("2029-09-10"), Span: calendartest.Span("2029-09-10", "2029-12-31")}
	for _, uid := range []string{"oak", "ash", "elm"} {
		e := work(uid, site, calendar.TaskCollect, "2029-09-10", "2029-09-12", "2029-09-14", 1)
		s.Entries = append(s.Entries, e)
	}
	s.Entries[1].Facts = &seed.Collection{Crop: &calendar.CropNote{Crop: calendar.LightCrop}}
	week := seed.NewWorkload(&calendar.Plan{Places: []*calendar.Place{p}}, s).Crews[0].Weeks[0]
	if week.StillOver != 1 || len(week.Least) != 1 || week.Least[0].Entry.UID != "ash" {
		t.Errorf("found %g over and %d to leave out, want 1 and the light crop of ash", week.StillOver, len(week.Least))
	}
}

// No other choice of visits is cheaper than that which is made: all choices are tried, of random windows.
func TestVisitsAreTheCheapest(t *testing.T) {
	p := calendartest.Nursery()
	rapid.Check(t, func(r *rapid.T) {
		start := calendartest.Day("2029-09-03") // a Monday
		s := &calendar.Schedule{AsOf: start, Span: civil.Span{First: start, Last: start + 60}}
		for i := range rapid.IntRange(1, 6).Draw(r, "n") {
			first := start + civil.Date(rapid.IntRange(0, 4).Draw(r, "first"))
			e := work(fmt.Sprint("w", i), p.Site(), calendar.TaskScout, "2029-09-03", "2029-09-03", "2029-09-03", 0)
			if rapid.Bool().Draw(r, "collect") {
				e.Task, e.Facts = calendar.TaskCollect, &seed.Collection{}
			}
			e.Window = civil.Span{First: first, Last: first + civil.Date(rapid.IntRange(3, 6).Draw(r, "days"))}
			e.Best = first + civil.Date(rapid.IntRange(0, e.Window.Days()-1).Draw(r, "best"))
			s.Entries = append(s.Entries, e)
		}
		jobs := seed.NewWorkload(&calendar.Plan{Places: []*calendar.Place{p}}, s).Crews[0].Jobs
		var days []civil.Date
		for d := start; d < start+11; d++ {
			if wd := d.Weekday(); wd != time.Saturday && wd != time.Sunday {
				days = append(days, d)
			}
		}
		chosen := map[civil.Date]bool{}
		for _, j := range jobs {
			chosen[j.Day] = true
		}
		got := priceOf(jobs, days, func(d civil.Date) bool { return chosen[d] })
		for set := 1; set < 1<<len(days); set++ {
			price := priceOf(jobs, days, func(d civil.Date) bool {
				i := slices.Index(days, d)
				return i >= 0 && set>>i&1 == 1
			})
			if price < got-1e-9 {
				r.Fatalf("found visits that cost %g, and others that cost %g", got, price)
			}
		}
	})
}

// priceOf is what visits on some days cost: one each, and for every job the square of the share of the way from its
// best working day to the first or last of its window, sixteenfold for a collection.
func priceOf(jobs []*seed.Job, days []civil.Date, visited func(civil.Date) bool) float64 {
	price := 0.0
	for _, d := range days {
		if visited(d) {
			price++
		}
	}
	for _, j := range jobs {
		var open []civil.Date
		for _, d := range days {
			if j.Entry.Window.Contains(d) {
				open = append(open, d)
			}
		}
		best := open[0]
		for _, d := range open {
			if civil.Apart(d, j.Entry.Best) <= civil.Apart(best, j.Entry.Best) {
				best = d
			}
		}
		least, weight := math.Inf(1), 1.0
		if j.Entry.Task == calendar.TaskCollect {
			weight = 16
		}
		for _, d := range open {
			share := 0.0
			switch {
			case d < best:
				share = float64(best-d) / float64(best-open[0])
			case d > best:
				share = float64(d-best) / float64(open[len(open)-1]-best)
			}
			if visited(d) {
				least = min(least, weight*share*share)
			}
		}
		price += least
	}
	return price
}

// The library's species at a nursery: what is done when, and what the outputs hold.
func TestWorkload(t *testing.T) {
	p := calendartest.Nursery()
	p.Species = find(t, "silver maple", "sugar maple", "northern red oak", "white oak", "white ash", "black cherry", "paper birch",
		"eastern white pine")
	p.Options.Seed.Work = map[calendar.Task]float64{
		calendar.TaskCollect: 1.5, calendar.TaskProcess: 1, calendar.TaskSow: 1, calendar.TaskStratify: 0.25,
	}
	p.Options.Seed.WeekHas = 4
	plan := &calendar.Plan{
		Title: "x", AsOf: calendartest.Day("2027-03-01"), Span: calendartest.Span("2027-03-01", "2028-02-29"),
		Places: []*calendar.Place{p},
	}
	s := buildtest.Schedule(plan)
	load := seed.NewWorkload(plan, s)
	crew := load.Crews[0]
	var byWeek, byTask float64
	for _, e := range s.Entries {
		byTask += p.Options.Seed.Work[e.Task]
	}
	proposed := map[*seed.Job]civil.Date{}
	for _, w := range crew.Weeks {
		if w.Monday.Weekday() != time.Monday {
			t.Errorf("a week begins on %s", w.Monday.Weekday())
		}
		byWeek += w.PeopleDays
		if w.Over != (w.PeopleDays > 4) {
			t.Errorf("week of %s: %v people-days of 4, over %v", w.Monday, w.PeopleDays, w.Over)
		}
		for _, m := range w.Moves {
			if !m.Job.Entry.Window.Overlaps(civil.Span{First: m.To, Last: m.To + 6}) {
				t.Errorf("%s, open %v, is proposed for the week of %s", m.Job.Entry.Task, m.Job.Entry.Window, m.To)
			}
			if proposed[m.Job] != 0 {
				t.Errorf("%s of %s is proposed twice", m.Job.Entry.Task, m.Job.Entry.Species[0].ID)
			}
			proposed[m.Job] = m.To
		}
	}
	// On working days, in their windows; and as proposed, nothing comes before what it follows.
	day, week := map[string]civil.Date{}, map[string]civil.Date{}
	for _, j := range crew.Jobs {
		day[j.Entry.UID], week[j.Entry.UID] = j.Day, seed.MondayOf(j.Day)
		if to := proposed[j]; to != 0 {
			week[j.Entry.UID] = to
		}
		if wd := j.Day.Weekday(); wd == time.Saturday || wd == time.Sunday || !j.Entry.Window.Contains(j.Day) || j.Day < plan.AsOf {
			t.Errorf("%s of %s, open %v, is done on %s, a %s", j.Entry.Task, j.Entry.Species[0].ID, j.Entry.Window, j.Day, wd)
		}
	}
	for _, e := range s.Entries {
		for _, uid := range e.After {
			if before, ok := day[uid]; ok && before > day[e.UID] {
				t.Errorf("%s of %s is done on %s, what it follows on %s", e.Task, e.Species[0].ID, day[e.UID], before)
			}
			if before, ok := week[uid]; ok && before > week[e.UID] {
				t.Errorf("%s of %s is proposed for the week of %s, what it follows for that of %s",
					e.Task, e.Species[0].ID, week[e.UID], before)
			}
		}
	}
	if len(proposed) < 3 {
		t.Errorf("%d moves proposed: too few to tell", len(proposed))
	}
	if math.Abs(byWeek-byTask) > 1e-9 || byTask == 0 || len(crew.Jobs) != len(s.Entries) {
		t.Errorf("the weeks hold %v people-days, the tasks %v", byWeek, byTask)
	}
	if !slices.ContainsFunc(crew.Weeks, func(w *seed.Week) bool { return w.Over && len(w.Moves) > 0 }) {
		t.Error("eight species' sowing in one week is no clash")
	}
	without := []calendar.Task{calendar.TaskScout, calendar.TaskRipeness, calendar.TaskStore, calendar.TaskGerminated}
	if !slices.Equal(crew.Uncount, without) {
		t.Errorf("tasks without figures: %v", crew.Uncount)
	}
	checkOutputs(t, plan, load)
}

func checkOutputs(t *testing.T, plan *calendar.Plan, load *seed.Workload) {
	t.Helper()
	n := len(load.Crews[0].Jobs)
	var page, table, object, again bytes.Buffer
	for _, err := range []error{
		text.WriteWorkload(&page, load, text.TextOptions{}), text.WriteWorkloadCSV(&table, load), text.WriteWorkloadJSON(&object, load),
		text.WriteWorkload(&again, seed.NewWorkload(plan, buildtest.Schedule(plan)), text.TextOptions{}),
	} {
		if err != nil {
			t.Fatal(err)
		}
	}
	if page.String() != again.String() {
		t.Error("twice the same, and two texts")
	}
	rows, err := csv.NewReader(&table).ReadAll()
	if err != nil || len(rows) != n+1 {
		t.Errorf("%d rows for %d entries (%v)", len(rows), n, err)
	}
	var decoded struct {
		Sites []struct {
			Tasks []struct{ UID string }
		}
	}
	if err := json.Unmarshal(object.Bytes(), &decoded); err != nil || len(decoded.Sites[0].Tasks) != n {
		t.Errorf("JSON: %v", err)
	}
	for line := range strings.Lines(page.String()) {
		if n := len([]rune(strings.TrimRight(line, "\n"))); n > 88 {
			t.Errorf("a line of %d characters: %s", n, line)
		}
	}
}

func TestKitNamesEverySpeciesOnce(t *testing.T) {
	p := calendartest.Nursery()
	p.Species = find(t, "American sycamore", "black walnut", "black cherry", "quaking aspen")
	plan := &calendar.Plan{AsOf: calendartest.Day("2027-03-01"), Span: calendartest.Span("2027-03-01", "2028-03-01"), Places: []*calendar.Place{p}}
	what := map[seed.Kit][]*phenology.Species{}
	for _, month := range seed.NewWorkload(plan, buildtest.Schedule(plan)).Crews[0].Kit {
		for _, item := range month.Items {
			if _, twice := what[item.What]; twice {
				t.Errorf("%d is listed under two months", item.What)
			}
			what[item.What] = item.For
		}
	}
	for item, species := range map[seed.Kit]string{
		seed.DustMasks: "American sycamore", seed.HuskGloves: "black walnut", seed.PulpSieves: "black cherry", seed.StillRoom: "quaking aspen",
	} {
		if !slices.Equal(what[item], find(t, species)) {
			t.Errorf("%d is for %v, want %s", item, what[item], species)
		}
	}
}
