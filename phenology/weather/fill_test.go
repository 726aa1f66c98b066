package weather

import (
	"math"
	"testing"
	"time"

	"treewhen/phenology/civil"
)

// wave returns years of a smooth invented climate, the same every year.
func wave(first civil.Date, days int) Series {
	s := Series{First: first, Days: make([]Day, days)}
	for i := range s.Days {
		mean := 8 - 14*math.Cos(2*math.Pi*float64(yearDay(first+civil.Date(i)))/365)
		s.Days[i] = Day{Min: mean - 5, Max: mean + 5}
	}
	return s
}

func TestFillShortGapIsALine(t *testing.T) {
	s := Series{First: civil.Of(2027, time.March, 1), Days: []Day{{Min: 0, Max: 10}, Missing, Missing, Missing, {Min: 4, Max: 2}}}
	s.Days[4].Max = 18
	got := Fill(s)
	for i, want := range []Day{{0, 10, 0}, {1, 12, Interpolated}, {2, 14, Interpolated}, {3, 16, Interpolated}, {4, 18, 0}} {
		if got.Days[i] != want {
			t.Errorf("day %d: got %+v, want %+v", i, got.Days[i], want)
		}
	}
	if s.Days[1].Complete() {
		t.Error("Fill changed its argument")
	}
}

func TestFillLongGapFollowsOtherYears(t *testing.T) {
	full := wave(civil.Of(2020, time.January, 1), 365*6)
	holed := Series{First: full.First, Days: append([]Day(nil), full.Days...)}
	for i := 800; i < 830; i++ {
		holed.Days[i] = Missing
	}
	got := Fill(holed)
	for i := 800; i < 830; i++ {
		if d := got.Days[i]; math.Abs(d.Min-full.Days[i].Min) > 0.5 || math.Abs(d.Max-full.Days[i].Max) > 0.5 || d.Flags != Filled {
			t.Fatalf("day %d: got %+v, want about %+v, filled", i, d, full.Days[i])
		}
	}
}

func TestFillLeavesWhatItCannotKnow(t *testing.T) {
	full := wave(civil.Of(2020, time.January, 1), 365*6)
	for i := 800; i < 800+fillDays+1; i++ {
		full.Days[i] = Missing
	}
	full.Days[0] = Missing
	if got := Fill(full); got.Days[820].Complete() || got.Days[0].Complete() {
		t.Error("a gap longer than sixty days, or before the first day, was filled")
	}
	short := Series{First: 0, Days: append(append([]Day{{Min: 1, Max: 2}}, make([]Day, 10)...), Day{Min: 1, Max: 2})}
	for i := 1; i <= 10; i++ {
		short.Days[i] = Missing
	}
	if got := Fill(short); got.Days[5].Complete() {
		t.Error("a long gap was filled without any other year to go by")
	}
}

func TestFillKeepsTheHalfThatWasObserved(t *testing.T) {
	s := Series{First: 0, Days: []Day{{Min: 0, Max: 10}, {Min: -3, Max: math.NaN()}, {Min: 2, Max: 14}}}
	if got := Fill(s).Days[1]; got != (Day{Min: -3, Max: 12, Flags: Interpolated}) {
		t.Errorf("got %+v", got)
	}
}
