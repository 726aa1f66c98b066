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

// What is caught is what adding up hole by hole and day by day gives.
func TestCrewSharesByHand(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		n := rapid.IntRange(1, 140).Draw(t, "days of the way")
		y := phenology.SapYear{Days: rapid.SliceOfN(rapid.Float64Range(0, 1), n, n).Draw(t, "runs"),
			Warmth: rapid.SliceOfN(rapid.Float64Range(0, 10), n, n).Draw(t, "warmth")}
		life := drawLife(t)
		from, days := rapid.IntRange(0, 100).Draw(t, "from"), rapid.IntRange(1, 5).Draw(t, "crew")
		c := newCatcher(life, days)
		none := make([]float64, n)
		c.load(&y, y.Days, none)
		c.plain.total = 1 // the days themselves, not shares of them
		got := make([]float64, 60)
		c.shares(got, make([]float64, 60), from)
		for k := range got {
			want := 0.0
			for hole := range days {
				warmth := 0.0
				for i := from + k + hole; i < n; i++ {
					want += y.Days[i] * life.Left(float64(i-from-k-hole), warmth) / float64(days)
					warmth += y.Warmth[i]
				}
			}
			if math.Abs(got[k]-want) > 0.02 {
				t.Fatalf("begun on index %d: %v, want %v", from+k, got[k], want)
			}
		}
	})
}

func drawLife(t *rapid.T) HoleLife {
	return HoleLife{Days: rapid.Float64Range(7, 90).Draw(t, "life"), Warmth: rapid.Float64Range(10, 90).Draw(t, "warmth"),
		Share: rapid.Float64Range(0, 1).Draw(t, "share")}
}

// ownDays is an outcome whose days are all known, so that nothing is averaged.
func ownDays(end phenology.SeasonDay, runs map[phenology.SeasonDay]float64) phenology.SapYear {
	y := phenology.SapYear{First: 1, Known: end, End: end}
	for day := phenology.SeasonDay(1); day < end; day++ {
		y.Days = append(y.Days, runs[day])
	}
	y.Flow = y.Days
	return y
}

func TestTappingDecisionByHand(t *testing.T) {
	runs := map[phenology.SeasonDay]float64{}
	for day := phenology.SeasonDay(60); day < 70; day++ {
		runs[day] = 1
	}
	years := []phenology.SapYear{ownDays(100, runs)}
	left := func(ages ...float64) (share float64) {
		for _, age := range ages {
			share += byAge(42).Left(age, 0) / 10
		}
		return share
	}
	d := Decide(years, Terms{Today: 1, Hole: byAge(42)})
	// Drilled on the first of the ten days a hole catches each at an age of none to nine days. Three days earlier it
	// is within two hundredths of that, four days earlier it is not, and a day later it misses a tenth.
	all := left(0, 1, 2, 3, 4, 5, 6, 7, 8, 9)
	if d.Best != 60 || math.Abs(d.Caught-all) > 1e-9 || d.First != 57 || d.Last != 60 {
		t.Errorf("best %d (%.3f), %d to %d", d.Best, d.Caught, d.First, d.Last)
	}
	// Of what the best day catches, and in hours of a fresh hole: ten whole days are that many whole thaws.
	if got := d.OfBest(60); math.Abs(got-1) > 1e-9 || math.Abs(d.OfBest(65)-left(0, 1, 2, 3, 4)/all) > 1e-9 {
		t.Errorf("of the best day's catch: on day 60 %.3f, on day 65 %.3f", got, d.OfBest(65))
	}
	if got := d.Hours(60); math.Abs(got-all*10*phenology.WholeThaw) > 1e-6 || !math.IsNaN(d.Hours(200)) {
		t.Errorf("hours on day 60: %.1f", got)
	}
	if got := d.Share(65); math.Abs(got-left(0, 1, 2, 3, 4)) > 1e-9 {
		t.Errorf("begun on day 65: %.3f, want half", got)
	}
	// Drilling over four days in equal parts, begun on day 60: holes miss none, one, two and three of ten.
	part := (all + left(0, 1, 2, 3, 4, 5, 6, 7, 8) + left(0, 1, 2, 3, 4, 5, 6, 7) + left(0, 1, 2, 3, 4, 5, 6)) / 4
	d = Decide(years, Terms{Today: 60, Hole: byAge(42), DaysToTap: 4})
	if got := d.Share(60); math.Abs(got-part) > 1e-9 {
		t.Errorf("a job of four days begun on day 60: %.3f, want %.3f", got, part)
	}
	d = Decide(years, Terms{Today: 68, Hole: byAge(42)})
	if d.Late || math.Abs(d.Gone-0.8) > 1e-9 {
		t.Errorf("on day 68: gone %.2f, late %v", d.Gone, d.Late)
	}
	if d = Decide(years, Terms{Today: 69, Hole: byAge(42)}); !d.Late {
		t.Error("with a tenth of the season to come it is not called late")
	}
	if d = Decide(years, Terms{Today: 100, Hole: byAge(42)}); d != nil {
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
	d := Decide(years, Terms{Today: 50, Hole: byAge(12)})
	nine := 0.0
	for age := range 9 {
		nine += byAge(12).Left(float64(age), 0) / 10
	}
	if d.Now() || math.Abs(d.Waiting-nine) > 1e-9 || d.RunFrom == 0 || d.Caught > 0.5 {
		t.Errorf("now %v, waiting catches %.3f from day %d, the best fixed day %.3f",
			d.Now(), d.Waiting, d.RunFrom, d.Caught)
	}
	// Once it has run there is nothing to wait for: nine of the ten are still to come, and the forecast knows them.
	years = years[:1]
	years[0].Known = years[0].End
	if d = Decide(years, Terms{Today: 61, Hole: byAge(12)}); !d.Now() || math.Abs(d.Caught-nine) > 1e-9 {
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
				y.Warmth = append(y.Warmth, rapid.Float64Range(0, 9).Draw(t, "degree-days"))
			}
			y.Flow = y.Days
			years = append(years, y)
		}
		terms := Terms{Today: phenology.SeasonDay(rapid.IntRange(1, 100).Draw(t, "today")),
			Hole: drawLife(t), DaysToTap: rapid.IntRange(1, 10).Draw(t, "days")}
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
		rival := waiting{phenology.SeasonDay(rapid.IntRange(0, 120).Draw(t, "rival")), rapid.Bool().Draw(t, "for a run")}
		if rival.beats(years, terms) && d.Now() {
			t.Fatalf("%v catches more than today, and it is not to wait", rival)
		}
		if w := d.bestWaiting(); len(d.Curve) > 1 && !w.beats(years, terms) && d.Waiting > d.Curve[0]+1e-6 {
			t.Fatalf("%v catches %v, today %v, and does not beat it", w, d.Waiting, d.Curve[0])
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
		longer.Hole.Days, longer.Hole.Warmth = longer.Hole.Days+10, longer.Hole.Warmth+10
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

// What most days are evened by in one go is what the others are day by day.
func TestSmoothed(t *testing.T) {
	y := &phenology.SapYear{First: 1, Known: 20}
	for i := range 60 {
		y.Flow = append(y.Flow, math.Abs(math.Sin(float64(i*i))))
	}
	for i, got := range smoothed(y, y.Flow, nil) {
		reach := max(0, min(drawnSmooth, (i-19)/2))
		sum, weight := 0.0, 0.0
		for k := i - reach; k <= min(i+reach, len(y.Flow)-1); k++ {
			w := float64(reach + 1 - max(k-i, i-k))
			sum, weight = sum+w*y.Flow[k], weight+w
		}
		if want := sum / weight; math.Abs(got-want) > 1e-14 {
			t.Errorf("day %d: %v, want %v", i, got, want)
		}
	}
}

// A decision over thirty years is to take less than 2 ms a site.
func BenchmarkDecideTapping30Years(b *testing.B) {
	p := calendartest.MadePlan(civil.Of(2027, time.March, 1), 30, 0, "sugar maple")
	pl := p.Places[0]
	pl.Outlook.Estimate(pl.Species[0], 2027)
	b.ReportAllocs()
	for b.Loop() {
		years := pl.Outlook.SapYears(pl.Species[0], 2027, FirstRunDay)
		if d := Decide(years, Terms{Today: 60, Hole: byAge(42)}); d == nil {
			b.Fatal("no decision")
		}
	}
}

// Mornings that are past are decided anew where no feed tells what was advised on them.
func BenchmarkPastMornings(b *testing.B) {
	p := calendartest.MadePlan(civil.Of(2027, time.March, 1), 30, 0, "sugar maple")
	b.ReportAllocs()
	for b.Loop() {
		p.Places[0].Outlook.Temps.Forget() // each morning's sums are made once
		if s := SeasonAt(p, p.Places[0], p.Places[0].Species[0], 2027); s == nil {
			b.Fatal("no season")
		}
	}
}
