package tapping

import (
	"encoding/json"
	"math"
	"testing"
	"time"

	"treewhen/calendar"
	"treewhen/calendar/calendartest"
	"treewhen/phenology"
	"treewhen/phenology/civil"
)

// The keys stand in the identifiers of published runs: they stay, byte for byte, whatever else thresholds look like.
func TestRuleKeysStay(t *testing.T) {
	maples := phenology.RunRule{Drive: phenology.FreezeThaw, Night: phenology.Threshold{Low: -1.1},
		Day: phenology.Threshold{High: 4}}
	birches := phenology.RunRule{Drive: phenology.RootPressure, Day: phenology.Threshold{Low: 10, High: 10}}
	for _, c := range []struct {
		rule phenology.RunRule
		want string
	}{
		{maples, "freeze-thaw \xe2\x88\x921.1 to 0 \xc2\xb0C 0 to 4 \xc2\xb0C"},
		{birches, "root-pressure 0 \xc2\xb0C 10 \xc2\xb0C"},
		{phenology.RunRule{Night: phenology.Threshold{Low: -2.249, High: 0.05}},
			" \xe2\x88\x922.2 to 0.1 \xc2\xb0C 0 \xc2\xb0C"},
	} {
		if got := ruleKey(c.rule); got != c.want {
			t.Errorf("found %q, want %q", got, c.want)
		}
	}
}

// What is not known is left out of JSON, which has no word for it, and nothing is told finer than it is known.
func TestFactsAsJSON(t *testing.T) {
	for _, c := range []struct {
		of   any
		want string
	}{
		{Price{Caught: 0.5349, Waiting: Share(math.NaN()), Today: Share(math.NaN()), WeekEarlier: Share(math.NaN()),
			WeekLater: 0},
			`{"best":"1970-01-01","first":"1970-01-01","last":"1970-01-01","caught":0.53,"week_later":0.00,` +
				`"gone":0.00,"of_hindsight":0.00,"hours_caught":0,"missed_first_run":0.00,"well_timed":0.00,` +
				`"run_days_counted_from":"1970-01-01"}`},
		{calendar.Doubt{What: calendar.Old, Day: civil.Of(2027, time.March, 2)}, `{"what":"old","day":"2027-03-02"}`},
		{calendar.Doubt{What: calendar.Contradicts, Off: 12.34, Days: 3, Refused: true},
			`{"what":"contradicts","off":12.3,"days":3,"refused":true}`},
		{RunDay{Date: civil.Of(2027, time.March, 2), Min: -0.04, Max: 7.26, Likelihood: 1, Hours: 5.6},
			`{"date":"2027-03-02","min":0.0,"max":7.3,"likelihood":1.00,"hours":6,"forecast":false}`},
		{RunDays{27.6, 32, 45}, `{"p10":28,"p50":32,"p90":45}`},
		{[]Range{{1.5, 34.44}, {0, 11374}, {0.01234, 86 / math.Inf(-1)}, {1, math.Inf(1)}},
			`[{"low":1.5,"high":34},{"low":0,"high":11000},{"low":0.012,"high":0},{"low":1.0,"high":null}]`},
		{Evidence{ForecastTo: civil.Some(0), Years: 20}, `{"forecast_to":"1970-01-01","years":20}`},
	} {
		if got, err := json.Marshal(c.of); err != nil || string(got) != c.want {
			t.Errorf("got  %s, %v\nwant %s", got, err, c.want)
		}
	}
}

// Through a whole season the advice goes with the numbers that it is given with.
func TestAdviceGoesWithItsNumbers(t *testing.T) {
	seen := map[Advice]bool{}
	for day := civil.Of(2026, time.November, 1); day < civil.Of(2027, time.July, 1); day += 3 {
		p := calendartest.MadePlan(day, 20, 0, "sugar maple")
		s := SeasonAt(p, p.Places[0], p.Places[0].Species[0], 2027)
		if s == nil {
			t.Fatalf("no season as of %s", day)
		}
		f := s.TapFacts()
		seen[f.Advice] = true
		if f.Advice != s.Advice || (f.Price == nil) != (s.Decision == nil) {
			t.Errorf("on %s: %s in facts, %s decided; price %v", day, f.Advice, s.Advice, f.Price)
		}
		bad := false
		switch p := f.Price; f.Advice {
		case Wait:
			bad = p.Today >= p.Waiting*(1-Plateau) || p.Best <= day || f.Since.Known()
		case TapOrWait:
			bad = p.Today < p.Waiting*(1-Plateau) || p.Today >= p.Waiting || p.Best <= day || f.Since.Known()
		case TapNow:
			since, ok := f.Since.Get()
			bad = !ok || since > day || f.TapDay != f.Since || p.Best != day
		case WaitAgain:
			since, ok := f.Since.Get()
			bad = !ok || since >= day || p.Today >= p.Waiting*(1-Plateau)
		case PlanAhead:
			bad = !p.Today.IsZero() || f.TapDay != civil.Some(p.Best)
		case TakenDone:
			drilled, ok := f.TapDay.Get()
			bad = !ok || drilled > day || s.IsOpen()
		case TooLate:
			bad = 1-p.Gone >= lateShare || s.IsOpen()
		case Over:
			bad = p != nil || s.IsOpen()
		default:
			bad = true
		}
		if bad {
			t.Errorf("on %s: %s with %+v, price %+v", day, f.Advice, f, f.Price)
		}
		if day == civil.Of(2027, time.March, 1) {
			// Told to nobody who taps: on the day that it is written down, it is done.
			p.Places[0].Options.Tapping.Tapped = &day
			s = SeasonAt(p, p.Places[0], p.Places[0].Species[0], 2027)
			if s.Advice != Tapped || s.TapFacts().Price != nil {
				t.Errorf("tapped, and yet %s", s.Advice)
			}
		}
	}
	for _, a := range []Advice{PlanAhead, Wait, TapNow, TakenDone, TooLate, Over} {
		if !seen[a] {
			t.Errorf("never %s in a whole season", a)
		}
	}
}

// What makes an event another is the advice and the size of a run, never the figures behind them.
func TestEssence(t *testing.T) {
	a, b := TapFacts{Advice: Wait, Price: &Price{Waiting: 0.5}}, TapFacts{Advice: Wait, Price: &Price{Waiting: 0.6}}
	if x, y := a.Essence(), b.Essence(); len(x) != 1 || x[0] != y[0] || x[0].Value != "wait" {
		t.Errorf("found %v and %v", x, y)
	}
	if got := (&RunFacts{}).Essence(); got[0].Value != "unknown" {
		t.Errorf("the size of a run that is not known is %v", got)
	}
}
