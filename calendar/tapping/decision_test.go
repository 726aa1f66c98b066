package tapping

import (
	"math"
	"slices"
	"testing"
	"time"

	"pgregory.net/rapid"

	"treewhen/calendar/calendartest"
	"treewhen/phenology"
	"treewhen/phenology/civil"
)

func TestHoleYield(t *testing.T) {
	// Growers' experience of buckets (from memory): four to six weeks of good flow, up to eight.
	y := HoleYield(42)
	if len(y) != 56 || y[28] != 1 || y[42] != 0.5 || y[55] > 0.05 {
		t.Errorf("%d days; after 28 %.2f, after 42 %.2f, on the last %.2f", len(y), y[28], y[42], y[len(y)-1])
	}
}

// The running sums must give what adding up day by day gives.
func TestCrewSharesByHand(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		runs := rapid.SliceOfN(rapid.Float64Range(0, 1), 1, 140).Draw(t, "runs")
		life, from := rapid.IntRange(7, 90).Draw(t, "life"), rapid.IntRange(0, 100).Draw(t, "from")
		days := rapid.IntRange(1, 5).Draw(t, "days")
		yield := HoleYield(life)
		c := newCatcher(yield, days)
		total := c.load(runs)
		got := make([]float64, 60)
		c.shares(got, from, 1)
		if math.Abs(total-sumOf(runs)) > 1e-9 {
			t.Fatalf("run days of the way: %v, want %v", total, sumOf(runs))
		}
		for k := range got {
			want := 0.0
			for hole := range days {
				for age, y := range yield {
					if i := from + k + hole + age; i < len(runs) {
						want += y * runs[i] / float64(days)
					}
				}
			}
			if math.Abs(got[k]-want) > 1e-9 {
				t.Fatalf("begun on index %d: %v, want %v", from+k, got[k], want)
			}
		}
	})
}

func sumOf(values []float64) (sum float64) {
	for _, v := range values {
		sum += v
	}
	return sum
}

// ownDays is an outcome whose days are all known, so that nothing is averaged.
func ownDays(end phenology.SeasonDay, runs map[phenology.SeasonDay]float64) phenology.SapYear {
	y := phenology.SapYear{First: 1, Known: end, End: end}
	for day := phenology.SeasonDay(1); day < end; day++ {
		y.Days = append(y.Days, runs[day])
	}
	return y
}

func TestTappingDecisionByHand(t *testing.T) {
	runs := map[phenology.SeasonDay]float64{}
	for day := phenology.SeasonDay(60); day < 70; day++ {
		runs[day] = 1
	}
	years := []phenology.SapYear{ownDays(100, runs)}
	d := Decide(years, Terms{Today: 1, Life: 42})
	// A hole runs full to its 28th day of age: drilled from day 41 on it has all ten, and from day 61 on one fewer a
	// day.
	if d.Best != 41 || math.Abs(d.Caught-1) > 1e-9 || d.First < 38 || d.First > 41 || d.Last != 60 {
		t.Errorf("best %d (%.3f), %d to %d", d.Best, d.Caught, d.First, d.Last)
	}
	if got := d.Share(65); math.Abs(got-0.5) > 1e-9 {
		t.Errorf("begun on day 65: %.3f, want half", got)
	}
	// Drilling over four days in equal parts, begun on day 60: holes miss none, one, two and three of ten.
	d = Decide(years, Terms{Today: 60, Life: 42, DaysToTap: 4})
	if got, want := d.Share(60), (1+0.9+0.8+0.7)/4; math.Abs(got-want) > 1e-9 {
		t.Errorf("a job of four days begun on day 60: %.3f, want %.3f", got, want)
	}
	d = Decide(years, Terms{Today: 68, Life: 42})
	if d.Late || math.Abs(d.Gone-0.8) > 1e-9 {
		t.Errorf("on day 68: gone %.2f, late %v", d.Gone, d.Late)
	}
	if d = Decide(years, Terms{Today: 69, Life: 42}); !d.Late {
		t.Error("with a tenth of the season to come it is not called late")
	}
	if d = Decide(years, Terms{Today: 100, Life: 42}); d != nil {
		t.Errorf("after the end: %+v", d)
	}
}

// Whoever waits can look first: with ten run days either early or late, and holes that do not last from the one to the
// other, no day fixed beforehand catches more than half on average, but who begins on the morning after the first run
// day misses that one of ten, whenever they come.
func TestWaitingLooksFirst(t *testing.T) {
	from := func(first phenology.SeasonDay) phenology.SapYear {
		runs := map[phenology.SeasonDay]float64{}
		for day := first; day < first+10; day++ {
			runs[day] = 1
		}
		y := ownDays(110, runs)
		y.Known, y.Donor = 49, 1900+int(first)
		return y
	}
	years := []phenology.SapYear{from(60), from(90)}
	d := Decide(years, Terms{Today: 50, Life: 12})
	if d.Now() || math.Abs(d.Waiting-0.9) > 1e-9 || d.RunFrom == 0 || d.Caught > 0.5 {
		t.Errorf("now %v, waiting catches %.3f from day %d, the best fixed day %.3f",
			d.Now(), d.Waiting, d.RunFrom, d.Caught)
	}
	// Once it has run there is nothing to wait for: nine of the ten are still to come, and the forecast knows them.
	years = years[:1]
	years[0].Known = years[0].End
	if d = Decide(years, Terms{Today: 61, Life: 12}); !d.Now() || math.Abs(d.Caught-0.9) > 1e-9 {
		t.Errorf("on the morning after the first run day: now %v, catches %.3f", d.Now(), d.Caught)
	}
}

func TestTappingDecisionProperties(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		var years []phenology.SapYear
		for range rapid.IntRange(1, 8).Draw(t, "years") {
			end := phenology.SeasonDay(rapid.IntRange(20, 120).Draw(t, "end"))
			y := phenology.SapYear{First: 1, Known: phenology.SeasonDay(rapid.IntRange(0, int(end)).Draw(t, "known")),
				End: end}
			for day := phenology.SeasonDay(1); day < end; day++ {
				y.Days = append(y.Days, rapid.Float64Range(0, 1).Draw(t, "likelihood"))
			}
			years = append(years, y)
		}
		terms := Terms{Today: phenology.SeasonDay(rapid.IntRange(1, 100).Draw(t, "today")),
			Life: rapid.IntRange(7, 90).Draw(t, "life"), DaysToTap: rapid.IntRange(1, 10).Draw(t, "days")}
		d := Decide(years, terms)
		if d == nil {
			return
		}
		if d.First > d.Best || d.Best > d.Last || d.First < terms.Today {
			t.Fatalf("best %d of %d to %d, from %d", d.Best, d.First, d.Last, terms.Today)
		}
		for _, p := range append([]float64{d.Caught, d.Gone, d.Missed, d.OfHindsight, d.WellTimed}, d.Curve...) {
			if !(p >= -1e-9 && p <= 1+1e-9) {
				t.Fatalf("share %v", p)
			}
		}
		if d.Now() {
			if d.Waiting > d.Curve[0]+1e-9 {
				t.Fatalf("today catches %v, waiting %v, and it is not to wait", d.Curve[0], d.Waiting)
			}
		} else if top := slices.Max(d.Curve[1:]); d.Waiting < max(d.Curve[0], top-1e-9) || math.Abs(d.Caught-top) > 1e-8 {
			t.Fatalf("today catches %v, a fixed day later %v, the best of them %v, waiting %v",
				d.Curve[0], top, d.Caught, d.Waiting)
		}
		if d.Caught > 1-d.Gone+1e-9 {
			t.Fatalf("catches %v of a season of which %v is gone", d.Caught, d.Gone)
		}
		longer := terms
		longer.Life += 10
		if l := Decide(years, longer); slices.Max(l.Curve) < slices.Max(d.Curve)-1e-9 {
			t.Fatalf("holes that last longer catch less: %v, %v", slices.Max(l.Curve), slices.Max(d.Curve))
		}
		quick := terms
		quick.DaysToTap = 1
		if q := Decide(years, quick); slices.Max(q.Curve) < slices.Max(d.Curve)-1e-9 {
			t.Fatalf("a quicker crew catches less: %v, %v", slices.Max(q.Curve), slices.Max(d.Curve))
		}
	})
}

// A decision over thirty years is to take less than 2 ms a site.
func BenchmarkDecideTapping30Years(b *testing.B) {
	p := calendartest.MadePlan(civil.Of(2027, time.March, 1), 30, 0, "sugar maple")
	pl := p.Places[0]
	pl.Outlook.Estimate(pl.Species[0], 2027)
	b.ReportAllocs()
	for b.Loop() {
		years := pl.Outlook.SapYears(pl.Species[0], 2027, FirstRunDay)
		if d := Decide(years, Terms{Today: 60, Life: 42}); d == nil {
			b.Fatal("no decision")
		}
	}
}
