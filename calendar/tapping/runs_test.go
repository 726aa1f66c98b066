package tapping

import (
	"fmt"
	"math"
	"testing"
	"time"

	"treewhen/calendar"
	"treewhen/calendar/calendartest"
	"treewhen/phenology"
	"treewhen/phenology/civil"
	"treewhen/phenology/weather"
)

func TestRunsAheadAreEntries(t *testing.T) {
	asOf := civil.Of(2027, time.March, 20)
	p := calendartest.MadePlan(asOf, 20, 0, "sugar maple")
	tapped := civil.Of(2027, time.March, 10)
	p.Places[0].Options.Tapping.Tapped = &tapped
	calendartest.WithForecast(p, 3)
	s := schedule(p)
	var run *calendar.Entry
	for _, e := range s.Entries {
		switch e.Task {
		case calendar.TaskTap:
			if e.Season == 2027 {
				t.Errorf("tapped, and yet: %s %s", e.Task, e.Window)
			}
		case calendar.TaskRun:
			if run != nil {
				t.Errorf("a second run: %s", e.Window)
			}
			run = e
		}
	}
	if run == nil {
		t.Fatal("no run ahead")
	}
	if run.Window.Last != asOf+3 || run.Settled || run.Probability != 1 || !run.Facts.(*RunFacts).Begun() {
		t.Errorf("run %s, settled %v, probability %v", run.Window, run.Settled, run.Probability)
	}
}

// A run is one event, whoever's sap it is: it keeps its identifier when a species joins the plan or, its buds swollen,
// leaves the season.
func TestRunKeepsItsIdentifier(t *testing.T) {
	tapped := civil.Of(2027, time.March, 10)
	uids := func(names ...string) map[string]bool {
		p := calendartest.MadePlan(civil.Of(2027, time.March, 20), 20, 0, names...)
		p.Places[0].Options.Tapping.Tapped = &tapped
		calendartest.WithForecast(p, 3)
		found := map[string]bool{}
		for _, e := range schedule(p).Entries {
			if e.Task == calendar.TaskRun {
				found[e.UID] = true
			}
		}
		return found
	}
	one, two := uids("sugar maple"), uids("sugar maple", "red maple")
	if len(one) == 0 {
		t.Fatal("no run ahead")
	}
	for uid := range one {
		if !two[uid] {
			t.Errorf("with red maple, %v; without, %v", two, one)
		}
	}
}

// A run is told by the weather alone: whichever species share it, in whatever order, it has the same days and size. How
// much sap comes of it is theirs, and no part of what a feed compares.
func TestSharedRunIsTheSameForAll(t *testing.T) {
	tapped := civil.Of(2027, time.March, 10)
	for asOf := civil.Of(2027, time.March, 12); asOf < civil.Of(2027, time.May, 5); asOf += 3 {
		runs := func(names ...string) map[string]string {
			p := calendartest.MadePlan(asOf, 20, 0, names...)
			p.Places[0].Options.Tapping.Tapped = &tapped
			p.Span.First = tapped
			calendartest.WithForecast(p, 8)
			found := map[string]string{}
			for _, e := range schedule(p).Entries {
				if e.Task == calendar.TaskRun {
					f := *e.Facts.(*RunFacts)
					f.Volume = nil
					found[e.UID] = fmt.Sprint(e.Window, e.Best, e.Probability, f, e.Facts.Essence(), e.Reminders, e.Settled)
				}
			}
			return found
		}
		all := runs("red maple", "sugar maple", "silver maple")
		for _, names := range [][]string{{"sugar maple"}, {"red maple"}, {"silver maple"},
			{"silver maple", "sugar maple"}, {"sugar maple", "red maple"}} {
			for uid, text := range runs(names...) {
				if all[uid] != text {
					t.Errorf("as of %s, of %v:\n%s\nof all:\n%s", asOf, names, text, all[uid])
				}
			}
		}
	}
}

// Runs are compared with runs of the same days of other years: where all years are alike, half of a whole season's
// runs are small and a fifth large.
func TestSizesCompareLikeWithLike(t *testing.T) {
	s := weather.Series{First: civil.Of(2001, time.January, 1)}
	for d := s.First; d <= civil.Of(2027, time.June, 30); d++ {
		x := float64(d.YearDay())
		mean := 7 - 14*math.Cos((x-25)*2*math.Pi/365) + 6*math.Sin(x*2*math.Pi/7)
		s.Days = append(s.Days, weather.Day{Min: mean - 5, Max: mean + 5})
	}
	p := calendartest.MadePlan(civil.Of(2027, time.June, 30), 1, 0, "sugar maple")
	p.Places[0].Outlook = outlook(p.Places[0].Outlook.Site, s)
	runs := SeasonAt(p, p.Places[0], p.Places[0].Species[0], 2027).Runs
	all := runsIn(p.Places[0].Outlook.Temps, *p.Places[0].Species[0].Sap.Run, phenology.Season{Year: 2027}, nil)
	sizes := map[RunSize]int{}
	for _, r := range runs {
		sizes[r.Size]++
	}
	n := float64(len(all))
	small, large := math.Abs(float64(sizes[SizeSmall])-n/2), math.Abs(float64(sizes[SizeLarge])-n/5)
	if len(all) < 8 || len(runs) < len(all)-2 || small > 1.5 || large > 1.5 {
		t.Errorf("of %d runs, %d in the season: %v", len(all), len(runs), sizes)
	}
}

// A run is a record once its last day is past: of a row of today nobody knows in the morning whether it is all of the day.
func TestRunOfTodayIsNotOver(t *testing.T) {
	on := 0
	for asOf := civil.Of(2027, time.March, 12); asOf < civil.Of(2027, time.April, 10); asOf++ {
		p := calendartest.MadePlan(asOf, 20, 0, "sugar maple")
		if p.Places[0].Outlook.Temps.Observed() != asOf {
			t.Fatalf("the record ends on %s", p.Places[0].Outlook.Temps.Observed())
		}
		for _, r := range SeasonAt(p, p.Places[0], p.Places[0].Species[0], 2027).Runs {
			if r.Span.Last == asOf {
				on++
			}
			if r.Over != (r.Span.Last < asOf) || !r.Begun() {
				t.Errorf("as of %s, run %s: over %v, begun %v", asOf, r.Span, r.Over, r.Begun())
			}
		}
	}
	if on == 0 {
		t.Error("no run is on: nothing is tested")
	}
}
