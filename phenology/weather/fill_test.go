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

// What was filled stays on the right side of what was observed, and days filled on both sides are never turned over.
func TestFillNeverTurnsADayOver(t *testing.T) {
	s := Series{First: 0, Days: []Day{{Min: 0, Max: 1}, {Min: 9, Max: math.NaN()}, {Min: 0, Max: 1}, {Min: math.NaN(), Max: -7}, {Min: 0, Max: 1}}}
	got := Fill(s)
	for i, want := range []Day{{0, 1, 0}, {9, 9, Interpolated}, {0, 1, 0}, {-7, -7, Interpolated}, {0, 1, 0}} {
		if got.Days[i] != want {
			t.Errorf("day %d: got %+v, want %+v", i, got.Days[i], want)
		}
	}
}

// Days left out of real records on purpose come back nearer than the mean of the same days of other years, single
// days nearest. Sources: Environment and Climate Change Canada, Montreal Trudeau 1995-2013; Harvard Forest Data
// Archive, HF001, 2001-2013.
func TestFillOfRealGaps(t *testing.T) {
	fisher, _ := harvard(t)
	shortest := 0.0
	for _, length := range []int{1, 2, 3, 5, 10, 20} {
		var sum, plain, n float64
		for _, full := range []Series{fisher.Series, mergeAll(montreal(t))} {
			holed := Series{First: full.First, Days: append([]Day(nil), full.Days...)}
			for start := 30; start+length+30 < len(full.Days); start += 5*length + 37 {
				for i := start; i < start+length; i++ {
					holed.Days[i] = Missing
				}
			}
			normal := dayOfYearMeans(holed, maximum)
			filled := Fill(holed)
			for i, d := range full.Days {
				if !d.Complete() || holed.Days[i].Complete() {
					continue
				}
				off, usual := filled.Days[i].Max-d.Max, normal[yearDay(full.First+civil.Date(i))]-d.Max
				sum, plain, n = sum+off*off, plain+usual*usual, n+1
			}
		}
		off, usual := math.Sqrt(sum/n), math.Sqrt(plain/n)
		t.Logf("gaps of %d days: %.2f C off, the mean of other years %.2f C (%.0f maxima)", length, off, usual, n)
		if off > usual {
			t.Errorf("gaps of %d days: %.2f C off, the mean of other years %.2f C", length, off, usual)
		}
		if length == 1 {
			shortest = off
		} else if length >= 5 && off < shortest+0.5 {
			t.Errorf("gaps of %d days are filled as well as single days: %.2f C and %.2f C", length, off, shortest)
		}
	}
}
