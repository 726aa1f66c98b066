package tapping

import (
	"math"
	"testing"
	"time"

	"treewhen/calendar"
	"treewhen/calendar/calendartest"
	"treewhen/phenology/civil"
)

func TestQuantitiesByTheRuleOf86(t *testing.T) {
	p := calendartest.MadePlan(civil.Of(2027, time.January, 10), 20, 0, "sugar maple")
	opt := &p.Places[0].Options.Tapping
	opt.SugarLow, opt.SugarHigh, opt.Taps = 2, 2.5, 100
	s := SeasonAt(p, p.Places[0], p.Places[0].Species[0], 2027)
	q := s.quantities()
	// Jones 1946: 86 over the sugar: 43 at 2 per cent, 34.4 at 2.5. A tap gives 5 to 15 US gallons, 19 to 57 litres.
	near := func(r Range, low, high float64) bool {
		return math.Abs(r.Low/low-1) < 0.001 && math.Abs(r.High/high-1) < 0.001
	}
	if !q.SugarOwn || q.Taps != 100 || !near(q.PerSyrup, 34.4, 43) || !near(*q.Sap, 1900, 5700) ||
		!near(*q.Syrup, 1900*2/86., 5700*2.5/86) {
		t.Errorf("found %+v, sap %+v, syrup %+v", q, q.Sap, q.Syrup)
	}
	opt.Collection = calendar.Vacuum
	if v := SeasonAt(p, p.Places[0], p.Places[0].Species[0], 2027).quantities(); !near(*v.Sap, 3800, 11400) {
		t.Errorf("under vacuum %+v, want twice as much", v.Sap)
	}
}
