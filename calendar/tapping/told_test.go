package tapping

import (
	"math"
	"testing"
	"time"

	"treewhen/calendar"
	"treewhen/calendar/calendartest"
	"treewhen/phenology"
	"treewhen/phenology/civil"
)

// openSeason is a season of sugar maple at Montreal as of a day, with no later day known.
func openSeason(t *testing.T, asOf civil.Date, season int) *Season {
	t.Helper()
	record := openRecord(t, montrealFiles).Until(asOf)
	sp := species(t, "sugar maple")
	p := &calendar.Plan{AsOf: asOf, Places: []*calendar.Place{{Outlook: outlook(montreal, record),
		Species: []*phenology.Species{sp}, Options: calendar.DefaultOptions()}}}
	return SeasonAt(p, p.Places[0], sp, season)
}

// The season of 2012 at Montreal, over in March, told in June beside the mean of the others; and any year of the record.
func TestSeasonTold(t *testing.T) {
	june := civil.Of(2012, time.June, 1)
	s := openSeason(t, june, 2012)
	told := s.Tell()
	if told == nil || !s.IsOver() || told.Best == nil || told.Usual.Seasons < 14 {
		t.Fatalf("over %v: %+v", s.IsOver(), told)
	}
	last := told.Last.Or(0)
	if last < civil.Of(2012, time.March, 12) || last > civil.Of(2012, time.March, 22) {
		t.Errorf("the last good run on %s; buds swelled in the heat of 19 to 22 March", last)
	}
	if usual := s.Season.Date(told.Usual.Last); usual < last+10 || told.Days > told.Usual.Days-5 {
		t.Errorf("%.1f run days to %s; usually %.1f to %s: it was short", told.Days, last, told.Usual.Days, usual)
	}
	if told.Best.Span.First > last || told.Best.Hours > told.Hours {
		t.Errorf("best run %s of %.0f hours, of %.0f in all", told.Best.Span, told.Best.Hours, told.Hours)
	}
	if past := openSeason(t, june, 2008).Tell(); past == nil || past.Days <= told.Days || past.Last.Or(0) < civil.Of(2008, 4, 1) {
		t.Errorf("2008, long and snowy: %+v", past)
	}
	// Of a season whose record ends in its midst nobody knows how it went on.
	cut := openSeason(t, civil.Of(2012, time.February, 20), 2012)
	cut.AsOf = june
	if told := cut.Tell(); told == nil || told.To.Or(0) != civil.Of(2012, time.February, 20) ||
		told.Usual.Seasons > 0 {
		t.Errorf("measured to 20 February, told in June: %+v", told)
	}
	if told.To.Known() {
		t.Errorf("measured to its end: %+v", told)
	}
	if next := openSeason(t, june, 2013).Tell(); next != nil {
		t.Errorf("nothing of 2013 is known in June of 2012: %+v", next)
	}
}

// How far buds are, by the warmth of 2012 beside other years: a fifth of the way on 12 March, past it ten days later.
func TestBuds(t *testing.T) {
	if b := openSeason(t, civil.Of(2012, time.February, 10), 2012).Buds(); b != nil {
		t.Errorf("before mid-February: %+v", b)
	}
	early, late := openSeason(t, civil.Of(2012, time.March, 12), 2012).Buds(), openSeason(t, civil.Of(2012, time.March, 22), 2012).Buds()
	if early == nil || late == nil || early.Share > 0.6 || late.Share < 1 || late.P90 > 0.6 || late.Years < 14 {
		t.Errorf("on 12 March %+v, on 22 March %+v", early, late)
	}
	if !(late.P10 <= late.P50 && late.P50 <= late.P90) {
		t.Errorf("%+v", late)
	}
}

// The day to gather is one on which sap may run and, of the days that are known, not one that is too warm or too cold.
func TestGatherOnARun(t *testing.T) {
	asOf := civil.Of(2027, time.March, 20)
	p := calendartest.MadePlan(asOf, 20, 0, "sugar maple")
	tapped := civil.Of(2027, time.March, 10)
	p.Places[0].Options.Tapping.Tapped = &tapped
	calendartest.WithForecast(p, 3)
	s := SeasonAt(p, p.Places[0], p.Places[0].Species[0], 2027)
	e := s.gatherEntry()
	if e.Best < asOf || !e.Window.Contains(e.Best) {
		t.Fatalf("gather on %s, of %s, as of %s", e.Best, e.Window, asOf)
	}
	if run, ok := s.Place.Outlook.Temps.Run(*s.Species.Sap.Run, e.Best); ok && run.Likelihood < likelyRunDay {
		t.Errorf("gather on %s, when sap runs with a chance of %.2f", e.Best, run.Likelihood)
	}
}

// The chance of the gathering is of its days as a whole: it is near certain and steady all season, whichever day is best
// and however long the station is silent, and certain only once sap has run in them.
func TestGatherIsAsSureAsTheSeason(t *testing.T) {
	for asOf := civil.Of(2027, time.February, 1); asOf <= civil.Of(2027, time.March, 25); asOf += 4 {
		for silent := range civil.Date(2) {
			p := calendartest.MadePlan(asOf-12*silent, 20, 0, "sugar maple")
			p.AsOf = asOf
			s := SeasonAt(p, p.Places[0], p.Places[0].Species[0], 2027)
			e := s.gatherEntry()
			begun := s.toldFacts().Begun
			if e.Probability < 0.9 || (e.Probability == 1) != begun || begun && e.Window.First > asOf {
				t.Errorf("as of %s, silent %v: %s, begun %v, chance %.2f", asOf, silent == 1, e.Window, begun, e.Probability)
			}
		}
	}
}

// A crew has no turn for a bush whose holes are in, or are taken to be, and says so.
func TestCrewLeavesOut(t *testing.T) {
	asOf := civil.Of(2027, time.February, 20)
	var bushes []Bush
	for i := range 4 {
		p := dryingByAge(calendartest.MadePlan(asOf, 20, 0, "sugar maple"))
		p.Places[0].Outlook.Site.ID = string(rune('a' + i))
		o := &p.Places[0].Options.Tapping
		o.DaysToTap = 2
		if i == 0 {
			tapped := civil.Of(2027, time.February, 18)
			o.Tapped = &tapped
		}
		s := SeasonAt(p, p.Places[0], p.Places[0].Species[0], 2027)
		if i == 1 {
			s.Advice = TakenDone
		}
		bushes = append(bushes, s.Bush())
	}
	crew := CrewOrder(bushes)
	if crew == nil || len(crew.Turns) != 2 || len(crew.Left) != 2 || crew.Left[0].Why != Tapped || crew.Left[1].Why != TakenDone {
		t.Fatalf("%+v", crew)
	}
	if day, ok := crew.Left[0].TapDay.Get(); !ok || day != civil.Of(2027, time.February, 18) {
		t.Errorf("%+v", crew.Left[0])
	}
}

// Of either extreme the day to tap comes the earlier, the more it is warmth that dries holes; a difference is told only
// where it matters.
func TestExtremes(t *testing.T) {
	s := openSeason(t, civil.Of(2011, time.December, 20), 2012)
	x := s.Extremes()
	if x == nil || x.ByWarmth >= x.ByAge || !x.Decide || math.IsNaN(float64(x.Cost)) || x.Cost < Plateau {
		t.Errorf("%s: %+v", s.Advice, x)
	}
	if over := openSeason(t, civil.Of(2012, time.June, 1), 2012).Extremes(); over != nil {
		t.Errorf("nothing is left to decide: %+v", over)
	}
}
