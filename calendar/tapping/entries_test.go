package tapping

import (
	"testing"
	"time"

	"treewhen/calendar"
	"treewhen/calendar/calendartest"
	"treewhen/phenology"
	"treewhen/phenology/civil"
)

func tapOf(t *testing.T, s *calendar.Schedule, season int) *calendar.Entry {
	t.Helper()
	for _, e := range s.Entries {
		if e.Task == calendar.TaskTap && e.Season == season {
			return e
		}
	}
	t.Fatalf("no tapping entry for %d; notes: %v", season, s.Notes)
	return nil
}

func TestColderPlacesTapLater(t *testing.T) {
	asOf := civil.Of(2027, time.January, 1)
	var before civil.Date
	for i, warmth := range []float64{2, 0, -2} {
		e := tapOf(t, schedule(calendartest.MadePlan(asOf, 20, warmth, "sugar maple")), 2027)
		if i > 0 && e.Best <= before {
			t.Errorf("two degrees colder: %s, not after %s", e.Best, before)
		}
		before = e.Best
	}
}

// South before north, low before high, maple before birch: on open records.
func TestOrderOfSeasons(t *testing.T) {
	maple, birch := species(t, "sugar maple"), species(t, "paper birch")
	fisher := openRecord(t, fisherFile)
	north, south := outlook(montreal, openRecord(t, montrealFiles)), outlook(harvard, fisher)
	high := harvard
	high.Elevation += 400
	uphill := &phenology.Outlook{Site: high, Temps: phenology.NewTemperaturesFrom(high, fisher, harvard.Elevation,
		phenology.DefaultLapseRate(false))}
	mean := func(o *phenology.Outlook, sp *phenology.Species, p phenology.Phase) float64 {
		sum, n := 0.0, 0.0
		for year := 2003; year <= 2012; year++ {
			if e := o.Estimate(sp, year).Get(p); e.HasDate() {
				sum, n = sum+float64(e.P50().YearDay()), n+1
			}
		}
		return sum / n
	}
	for _, p := range []phenology.Phase{phenology.SapStart, phenology.SapEnd} {
		s, n, h := mean(south, maple, p), mean(north, maple, p), mean(uphill, maple, p)
		t.Logf("%s of sugar maple: day %.0f at Harvard Forest, %.0f four hundred metres above it, %.0f at Montreal",
			p, s, h, n)
		if !(s < n) || !(s < h) {
			t.Errorf("%s: south %.1f, north %.1f, high %.1f", p, s, n, h)
		}
		if b := mean(south, birch, p); !(b > s) {
			t.Errorf("%s of birch day %.1f, of maple %.1f", p, b, s)
		}
	}
	b, m := mean(south, birch, phenology.SapEnd), mean(south, maple, phenology.SapEnd)
	if !(mean(south, birch, phenology.SapStart) > m-10) || b < m {
		t.Errorf("birch's season does not follow maple's")
	}
}

func TestTapEntryRingsSoonAndNow(t *testing.T) {
	p := calendartest.MadePlan(civil.Of(2027, time.January, 10), 20, 0, "sugar maple")
	p.Places[0].Options.Tapping.Reminder = 6*60 + 30
	e := tapOf(t, schedule(p), 2027)
	if len(e.Reminders) != 2 || e.Reminders[0].Before != 7 || e.Reminders[1].Before != 0 {
		t.Fatalf("reminders %+v, want one with a week's notice and one on the day", e.Reminders)
	}
	for _, r := range e.Reminders {
		if r.On != e.Best || r.Minute != 6*60+30 {
			t.Errorf("reminder %+v, want it for %s at half past six", r, e.Best)
		}
	}
	rings := map[civil.Date]bool{}
	for day := e.Best - 20; day <= e.Best+30; day++ {
		p := calendartest.MadePlan(day, 20, 0, "sugar maple")
		p.Span.First -= 40
		for _, e := range schedule(p).Entries {
			if e.Task != calendar.TaskTap || e.Season != 2027 {
				continue
			}
			if e.Settled {
				t.Errorf("on %s: settled, though it may be withdrawn and advised again", day)
			}
			a := e.Facts.(*TapFacts).Advice
			if now := e.Best <= day; now != (a == TapNow || a == WaitAgain || a == TooLate) {
				t.Errorf("on %s: best %s, %s", day, e.Best, a)
			} else if now {
				rings[e.Best] = true
			}
		}
	}
	if len(rings) == 0 || len(rings) > 2 {
		t.Errorf("in seven weeks round the best day it rang to tap now on %d days, want one, or few where the "+
			"weather turned", len(rings))
	}
}

func TestNothingRingsFromPlaceAlone(t *testing.T) {
	p := calendartest.MadePlan(civil.Of(2027, time.January, 10), 20, 0, "sugar maple", "red maple", "paper birch")
	p.Places[0].Outlook.Temps = nil
	s := schedule(p)
	if len(s.Entries) == 0 {
		t.Fatal("no entries from place alone")
	}
	for _, e := range s.Entries {
		if len(e.Reminders) > 0 {
			t.Errorf("%s rings: %+v", e.Task, e.Reminders)
		}
		if e.Task == calendar.TaskRun {
			t.Errorf("a run from place alone: %+v", e)
		}
		if f, ok := e.Facts.(*TapFacts); ok && (f.Advice != NoRecord || f.Price != nil) {
			t.Errorf("advised from place alone: %+v", f)
		}
	}
}

// What the plan says of tapping holds without a record too: holes half dry after six weeks are as good as dry after eight
// and a half (see [HoleLife]).
func TestTappedByPlaceAlone(t *testing.T) {
	tapped := civil.Of(2027, time.March, 1)
	p := calendartest.MadePlan(tapped, 20, 0, "sugar maple")
	p.Places[0].Outlook.Temps, p.Places[0].Options.Tapping.Tapped = nil, &tapped
	for _, e := range schedule(p).Entries {
		if e.Task == calendar.TaskTap && e.Season == 2027 {
			f := e.Facts.(*TapFacts)
			want := civil.Of(2027, time.April, 29)
			if f.Advice != Tapped || f.Dry != civil.Some(want) || e.State != calendar.Done {
				t.Errorf("59 days from 1 March are 29 April; found %+v", f)
			}
			return
		}
	}
	t.Error("found no entry of the tapping that is done")
}

// Where it hardly freezes nobody is told to tap: the record is so warm that no night is below freezing.
func TestNoTappingWithoutFrost(t *testing.T) {
	p := calendartest.MadePlan(civil.Of(2027, time.January, 10), 20, 16, "sugar maple", "red maple")
	s := schedule(p)
	for _, e := range s.Entries {
		t.Errorf("found %s, %s to %s", e.Task, e.Window.First, e.Window.Last)
	}
	if len(s.Notes) == 0 {
		t.Fatal("nothing is noted")
	}
	for _, n := range s.Notes {
		if of, ok := n.Says.(NoDates); !ok || of.Lack.Kind == phenology.LackNothing {
			t.Errorf("the notes do not say why: %v", n)
		}
	}
}
