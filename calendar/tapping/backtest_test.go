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

// Looking back must not look ahead: what came later changes nothing in the advice of a morning.
func TestBacktestDoesNotLookAhead(t *testing.T) {
	sp := species(t, "sugar maple")
	asOf := civil.Of(2027, time.December, 31)
	s := calendartest.MadeSeries(asOf, 14, 0)
	b, err := NewBacktest(outlook(montreal, s), sp, calendar.DefaultOptions().Tapping,
		LookBack{Rule: civil.MonthDay{Month: 3, Day: 1}, Until: 2027})
	if err != nil {
		t.Fatal(err)
	}
	for _, y := range b.Years {
		on := montreal.Season(y.Season).Day(y.Advised)
		cut := weather.Series{First: s.First, Days: append([]weather.Day(nil), s.Days...)}
		for d := y.Advised; d <= asOf; d++ { // the day itself is not known on its morning either
			cut.Days[d-s.First] = weather.Day{Min: 3, Max: 20}
		}
		known := outlook(montreal, cut).SapYearsKnown(sp, y.Season, FirstRunDay, y.Advised-1, nil)
		d := Decide(known, Terms{Today: on, Hole: LifeOf(calendar.DefaultOptions().Tapping)})
		if d == nil || d.Best != on {
			t.Errorf("%d: with another future the advice of %s changes: %+v", y.Season, y.Advised, d)
		}
		// The same from a record that ends there: what the schedule of that morning would have seen, later years left
		// out.
		ends := outlook(montreal, s.Until(y.Advised-1)).SapYears(sp, y.Season, FirstRunDay)
		e := Decide(ends, Terms{Today: on, Hole: LifeOf(calendar.DefaultOptions().Tapping)})
		if e == nil || e.Best != d.Best || math.Abs(e.Caught-d.Caught) > 1e-9 {
			t.Errorf("%d: looking back gives %+v, on the day itself %+v", y.Season, d, e)
		}
	}
}

// Drawn errors are as large as forecasts' usual ones, more so the farther ahead, and the same in every run; forecasts
// of one day grow no worse as it draws nearer on average, each revision being a correction. With 4000 draws the
// standard deviation is known to about one part in ninety; 5 in 100 are allowed.
func TestDrawnForecastErrors(t *testing.T) {
	const days, draws = 7, 4000
	errs := newForecastErrors(2027, 0, draws, days)
	again := newForecastErrors(2027, 0, draws, days)
	other := newForecastErrors(2027, 1, draws, days)
	for k := range days {
		square, revision, last := 0.0, 0.0, 0.0
		for i := range draws {
			e := errs.of[i][k]
			if e != again.of[i][k] || e == other.of[i][k] {
				t.Fatalf("the same draw differs, or another does not: %v, %v, %v", e, again.of[i][k], other.of[i][k])
			}
			square += e.Min*e.Min + e.Max*e.Max
			if k > 0 {
				before := errs.of[i][k-1]
				revision += (e.Min - before.Min) * before.Min
				last += before.Min * before.Min
			}
		}
		want := phenology.ForecastError(k + 1)
		if sd := math.Sqrt(square / (2 * draws)); math.Abs(sd/want-1) > 0.05 {
			t.Errorf("%d days ahead: standard deviation %.2f, want %.2f", k+1, sd, want)
		}
		if k > 0 && math.Abs(revision/last) > 0.1 {
			t.Errorf("%d days ahead: the revision goes with the error left: slope %.2f", k+1, revision/last)
		}
	}
	if got := newForecastErrors(2027, 0, draws, 0).forecast(weather.Series{}, 0, 1); got != nil {
		t.Errorf("no forecast was asked for; found %v", got)
	}
}

// Looking back with a forecast looks no farther ahead than the forecast does.
func TestBacktestForecastEnds(t *testing.T) {
	s := calendartest.MadeSeries(civil.Of(2027, time.December, 31), 14, 0)
	on := civil.Of(2027, time.February, 10)
	errs := newForecastErrors(2027, 0, 200, 5)
	got := errs.forecast(s, on, montreal.Season(2027).Day(on))
	if len(got) != 5 {
		t.Fatalf("found %d days", len(got))
	}
	for k, d := range got {
		came := s.At(on + civil.Date(k))
		if math.Abs(d.Min-came.Min) > 20 || math.Abs(d.Max-came.Max) > 20 || d == came || d.Min > d.Max {
			t.Errorf("day %d: came %v, forecast %v", k+1, came, d)
		}
	}
	sp := species(t, "sugar maple")
	cut := weather.Series{First: s.First, Days: append([]weather.Day(nil), s.Days...)}
	for d := on; d <= s.Last(); d++ {
		cut.Days[d-s.First] = weather.Day{Min: 3, Max: 20}
	}
	a := outlook(montreal, s).SapYearsKnown(sp, 2027, FirstRunDay, on-1, got)
	b := outlook(montreal, cut).SapYearsKnown(sp, 2027, FirstRunDay, on-1, got)
	if fmt.Sprint(a) != fmt.Sprint(b) || len(a) == 0 || a[0].Known != montreal.Season(2027).Day(on)+4 {
		t.Errorf("with another future the same forecast gives another outlook, or none: %d ways", len(a))
	}
	// It is what the schedule of that morning would see, with the forecast in its file.
	live := weather.Series{First: s.First, Days: append([]weather.Day(nil), s.Until(on-1).Days...)}
	for _, d := range got {
		d.Flags |= weather.Forecast
		live.Days = append(live.Days, d)
	}
	if c := outlook(montreal, live).SapYears(sp, 2027, FirstRunDay); fmt.Sprint(a) != fmt.Sprint(c) {
		t.Error("looking back sees another outlook than the day itself")
	}
}

// A textbook's paired differences: of 1, 2, 3 and 4 the mean is 2.5, the standard deviation 1.291, its error 0.645.
func TestPairedDifference(t *testing.T) {
	d := pairedDifference([]float64{1, 2, 3, 4})
	if math.Abs(d.Mean-2.5) > 1e-9 || math.Abs(d.StandardError-0.6455) > 1e-4 || !d.Clear() {
		t.Errorf("%+v", d)
	}
	if d = pairedDifference([]float64{-3, 4}); d.Clear() {
		t.Errorf("%+v is not clear", d)
	}
	if d = pairedDifference([]float64{1}); d.Clear() {
		t.Errorf("one season makes nothing clear: %+v", d)
	}
}
