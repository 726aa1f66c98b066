package phenology

import (
	"math"
	"testing"

	"pgregory.net/rapid"
)

// wantNear fails a test, or a property's draw, unless got is within tol of want.
func wantNear(t interface {
	Helper()
	Errorf(format string, args ...any)
}, what string, got, want, tol float64) {
	t.Helper()
	if !(math.Abs(got-want) <= tol) {
		t.Errorf("%s = %v, want %v within %v", what, got, want, tol)
	}
}

// The rows are worked out by hand or by an independent program from the formulas that the functions cite; they are no
// published table. They are printed to four decimals, hence the tolerance. 5/pi is the mean of the upper half of a
// sine of amplitude 5.
const fourDecimals = 0.00006

func TestDegreeDaysWorkedRows(t *testing.T) {
	none := math.NaN()
	for _, row := range []struct{ tmin, tmax, base, average, triangle, sine float64 }{
		{0, 10, 5, 0, 1.25, 5 / math.Pi},
		{-5, 5, 0, 0, 1.25, 5 / math.Pi},
		{5, 15, 10, 0, 1.25, 5 / math.Pi},
		{2, 14, 5, 3, 3.375, 3.6540},
		{-2, 12, 0, 5, none, 5.3256},
		{-8, 4, 0, 0, none, 1.0170},
		{-5, 12, 0, 3.5, 4.2353, 4.6884},
		{2, 18, 5, 5, 5.2812, 5.5623},
		{-3, 3, 4, 0, 0, 0},
		{4, 4, 5, 0, 0, 0},
		{-10, 4, 5, 0, 0, 0},
		{5, 15, 5, 5, 5, 5},
		{6, 16, 5, 6, 6, 6},
		{10, 30, 10, 10, 10, 10},
		// Degrees Fahrenheit: the formulas hold in any unit.
		{40, 70, 50, 5, 6.6667, 7.5424},
		{60, 80, 50, 20, 20, 20},
		{30, 45, 50, 0, 0, 0},
		{42, 80, 50, 11, 11.8421, 12.5931},
		{45, 95, 50, 20, 20.25, 20.678},
		{72, 90, 50, 31, 31, 31},
		// University of California, degree-day pages: a mean of 64 F over a base of 53 F makes 11.
		{54, 74, 53, 11, 11, 11},
	} {
		wantNear(t, "average", AverageDegreeDays(row.tmin, row.tmax, row.base), row.average, fourDecimals)
		wantNear(t, "sine", SineDegreeDays(row.tmin, row.tmax, row.base), row.sine, fourDecimals)
		if !math.IsNaN(row.triangle) {
			wantNear(t, "triangle", TriangleDegreeDays(row.tmin, row.tmax, row.base), row.triangle, fourDecimals)
		}
		if t.Failed() {
			t.Fatalf("in row %+v", row)
		}
	}
}

func TestCutoffDegreeDaysWorkedRows(t *testing.T) {
	for _, row := range []struct {
		tmin, tmax, base, upper float64
		cutoff                  UpperCutoff
		want, tol               float64
	}{
		{10, 40, 10, 30, HorizontalCutoff, 12.4576, fourDecimals},
		{10, 40, 10, 30, IntermediateCutoff, 9.9151, fourDecimals},
		{5, 35, 10, 30, HorizontalCutoff, 10, fourDecimals}, // by symmetry: the sine's middle is the band's middle
		{2, 18, 5, 30, HorizontalCutoff, 5.5623, fourDecimals},
		{50, 90, 50, 86, HorizontalCutoff, 19.4576, fourDecimals}, // this and the next four: degrees Fahrenheit
		{45, 95, 50, 86, HorizontalCutoff, 19.0264, fourDecimals},
		{72, 90, 50, 86, HorizontalCutoff, 30.1805, fourDecimals},
		{42, 80, 50, 86, HorizontalCutoff, 12.5931, fourDecimals},
		{50, 100, 54, 88, HorizontalCutoff, 18.924, 0.0006}, // printed to three decimals
		{31, 40, 10, 30, HorizontalCutoff, 20, 0},           // above the band all day
		{31, 40, 10, 30, VerticalCutoff, 0, 0},
		{51, 60, 10, 30, IntermediateCutoff, 0, 0}, // as far above upper as upper is above base: never below 0
		{-9, 3, 10, 30, VerticalCutoff, 0, 0},
		{12, 28, 10, 30, VerticalCutoff, 10, 0}, // within the band all day: the mean less the base
		{12, 28, 10, 30, IntermediateCutoff, 10, 0},
	} {
		wantNear(t, "cut off", CutoffDegreeDays(row.tmin, row.tmax, row.base, row.upper, row.cutoff), row.want, row.tol)
		if t.Failed() {
			t.Fatalf("in row %+v", row)
		}
	}
}

// Under straight lines; degrees Fahrenheit in the first four rows. The values come from an independent implementation
// of the same geometry; the vertical rows are areas of triangles and rectangles worked out by hand.
func TestTriangleCutoffDegreeDaysWorkedRows(t *testing.T) {
	for _, row := range []struct {
		tmin, tmax, base, upper float64
		cutoff                  UpperCutoff
		want                    float64
	}{
		{50, 90, 50, 86, HorizontalCutoff, 19.8},
		{45, 95, 50, 86, HorizontalCutoff, 19.44},
		{72, 90, 50, 86, HorizontalCutoff, 30.5556},
		{42, 80, 50, 86, HorizontalCutoff, 11.8421},
		{10, 40, 10, 30, HorizontalCutoff, 13.3333},
		{2, 18, 5, 30, HorizontalCutoff, 5.2812},
		// The line is above 30 for a third of the day, on the mean by 5: 15 above 10, less 5/3 twice, or less 5/3 and
		// 20/3.
		{10, 40, 10, 30, IntermediateCutoff, 15 - 2*5./3},
		{10, 40, 10, 30, VerticalCutoff, 15 - 5./3 - 20./3},
		{40, 10, 10, 30, VerticalCutoff, 15 - 5./3 - 20./3}, // written the other way round
		{31, 40, 10, 30, VerticalCutoff, 0},
		{12, 28, 10, 30, VerticalCutoff, 10},
		{30, 30, 10, 30, VerticalCutoff, 0},
	} {
		wantNear(t, "cut off", TriangleCutoffDegreeDays(row.tmin, row.tmax, row.base, row.upper, row.cutoff), row.want,
			fourDecimals)
		if t.Failed() {
			t.Fatalf("in row %+v", row)
		}
	}
}

func TestCutoffDegreeDaysRefusesMisuse(t *testing.T) {
	for name, call := range map[string]func(){
		"upper below base": func() { CutoffDegreeDays(0, 20, 10, 5, HorizontalCutoff) },
		"no such cut-off":  func() { CutoffDegreeDays(0, 20, 5, 10, "diagonal") },
	} {
		func() {
			defer func() {
				if recover() == nil {
					t.Errorf("%s: no panic", name)
				}
			}()
			call()
		}()
	}
}

func TestHoursAboveWorkedRows(t *testing.T) {
	for _, row := range []struct{ tmin, tmax, threshold, want float64 }{
		{-5, 5, 0, 12},   // half the day
		{0, 10, 2.5, 16}, // sine above -1/2: from -30 to 210 degrees, two thirds of the day
		{0, 10, 7.5, 8},  // sine above 1/2: from 30 to 150 degrees, a third
		{0, 10, 10, 0},
		{0, 10, 0, 24},
		{3, 3, 3, 0},
		{3, 3, 2.9, 24},
		{-9, -1, 0, 0},
		{1, 9, 0, 24},
	} {
		wantNear(t, "hours", HoursAbove(row.tmin, row.tmax, row.threshold), row.want, 1e-12)
		if t.Failed() {
			t.Fatalf("in row %+v", row)
		}
	}
}

// daySine is one cycle of a sine at the middles of equal steps, for integrating by the midpoint rule. At the kink
// where the curve crosses a threshold that rule is off by at most slope x step^2 / 8: for amplitudes to 30, below 1e-7.
var daySine = func() []float64 {
	steps := make([]float64, 20000)
	for i := range steps {
		steps[i] = math.Sin(2 * math.Pi * (float64(i) + 0.5) / float64(len(steps)))
	}
	return steps
}()

func integrateDay(tmin, tmax float64, rate func(temperature float64) float64) float64 {
	mean, amplitude, sum := (tmin+tmax)/2, (tmax-tmin)/2, 0.0
	for _, s := range daySine {
		sum += rate(mean + amplitude*s)
	}
	return sum / float64(len(daySine))
}

func drawDay(t *rapid.T) (tmin, tmax float64) {
	tmin = rapid.Float64Range(-40, 30).Draw(t, "tmin")
	return tmin, tmin + rapid.Float64Range(0, 40).Draw(t, "range")
}

func TestSineAgreesWithNumericalIntegration(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		tmin, tmax := drawDay(t)
		base := rapid.Float64Range(-10, 15).Draw(t, "base")
		upper := base + rapid.Float64Range(0.5, 25).Draw(t, "band")

		wantNear(t, "sine", SineDegreeDays(tmin, tmax, base),
			integrateDay(tmin, tmax, func(c float64) float64 { return max(c-base, 0) }), 1e-6)
		wantNear(t, "horizontal", CutoffDegreeDays(tmin, tmax, base, upper, HorizontalCutoff),
			integrateDay(tmin, tmax, func(c float64) float64 { return max(min(c, upper)-base, 0) }), 1e-6)
		// The intermediate cut-off mirrors the curve down from upper; only the day's sum is kept from falling below 0.
		wantNear(t, "intermediate", CutoffDegreeDays(tmin, tmax, base, upper, IntermediateCutoff),
			max(0, integrateDay(tmin, tmax, func(c float64) float64 {
				if c > upper {
					return upper - base - (c - upper)
				}
				return max(c-base, 0)
			})), 1e-6)

		// A jump instead of a kink: the midpoint rule can put each of the two crossings into the wrong step, and does
		// no better than two steps of the day times the jump.
		step := 2 / float64(len(daySine))
		wantNear(t, "vertical", CutoffDegreeDays(tmin, tmax, base, upper, VerticalCutoff),
			integrateDay(tmin, tmax, func(c float64) float64 {
				if c > upper {
					return 0
				}
				return max(c-base, 0)
			}), step*(upper-base)+1e-6)
		wantNear(t, "hours", HoursAbove(tmin, tmax, base),
			integrateDay(tmin, tmax, func(c float64) float64 {
				if c > base {
					return 24
				}
				return 0
			}), step*24+1e-9)
	})
}

func TestDegreeDayInvariants(t *testing.T) {
	const rounding = 1e-11
	rapid.Check(t, func(t *rapid.T) {
		tmin, tmax := drawDay(t)
		base := rapid.Float64Range(-15, 20).Draw(t, "base")
		sine, average := SineDegreeDays(tmin, tmax, base), AverageDegreeDays(tmin, tmax, base)
		triangle := TriangleDegreeDays(tmin, tmax, base)

		if sine < average-rounding || triangle < average-rounding || triangle > sine+rounding {
			t.Errorf("average %v, triangle %v, sine %v, want them in this order", average, triangle, sine)
		}
		if tmin >= base && (sine != average || triangle != average) {
			t.Errorf("above base all day: average %v, triangle %v, sine %v, want them equal", average, triangle, sine)
		}
		if tmax <= base && (sine != 0 || triangle != 0 || average != 0) {
			t.Errorf("below base all day: average %v, triangle %v, sine %v, want 0", average, triangle, sine)
		}

		warmer := rapid.Float64Range(0, 5).Draw(t, "warmer")
		if got := SineDegreeDays(tmin, tmax+warmer, base); got < sine-rounding {
			t.Errorf("a maximum %v higher makes %v of %v degree-days", warmer, got, sine)
		}
		if got := SineDegreeDays(tmin-warmer, tmax, base); got > sine+rounding {
			t.Errorf("a minimum %v lower makes %v of %v degree-days", warmer, got, sine)
		}
		if got := SineDegreeDays(tmin, tmax, base+warmer); got > sine+rounding {
			t.Errorf("a base %v higher makes %v of %v degree-days", warmer, got, sine)
		}

		inF := func(c float64) float64 { return c*1.8 + 32 }
		wantNear(t, "Fahrenheit sine", SineDegreeDays(inF(tmin), inF(tmax), inF(base)), 1.8*sine, 1e-9)
		wantNear(t, "Fahrenheit average", AverageDegreeDays(inF(tmin), inF(tmax), inF(base)), 1.8*average, 1e-9)

		if SineDegreeDays(tmax, tmin, base) != sine || TriangleDegreeDays(tmax, tmin, base) != triangle ||
			HoursAbove(tmax, tmin, base) != HoursAbove(tmin, tmax, base) {
			t.Errorf("minimum and maximum swapped give another result")
		}

		upper := base + rapid.Float64Range(0, 25).Draw(t, "band")
		horizontal := CutoffDegreeDays(tmin, tmax, base, upper, HorizontalCutoff)
		intermediate := CutoffDegreeDays(tmin, tmax, base, upper, IntermediateCutoff)
		if vertical := CutoffDegreeDays(tmin, tmax, base, upper, VerticalCutoff); horizontal > sine+rounding ||
			intermediate > horizontal+rounding || vertical > horizontal+rounding || vertical < 0 || intermediate < 0 {
			t.Errorf("sine %v, horizontal %v, intermediate %v, vertical %v", sine, horizontal, intermediate, vertical)
		}
		if tmax <= upper && (horizontal != sine || intermediate != sine) {
			t.Errorf("never above upper: sine %v, horizontal %v, intermediate %v", sine, horizontal, intermediate)
		}
		if h := HoursAbove(tmin, tmax, base); h < 0 || h > 24 || HoursAbove(tmin, tmax, upper) > h {
			t.Errorf("hours above base %v, above upper %v", h, HoursAbove(tmin, tmax, upper))
		}
	})
}

func TestDegreeDaysPassNaNOn(t *testing.T) {
	n := math.NaN()
	for _, row := range [][3]float64{{n, 3, 5}, {n, 9, 5}, {3, n, 5}, {9, n, 5}, {n, n, 5}, {3, 9, n}, {1, 2, n}} {
		a, b, c := row[0], row[1], row[2]
		for name, got := range map[string]float64{
			"SineDegreeDays": SineDegreeDays(a, b, c), "AverageDegreeDays": AverageDegreeDays(a, b, c),
			"TriangleDegreeDays": TriangleDegreeDays(a, b, c), "HoursAbove": HoursAbove(a, b, c),
			"CutoffDegreeDays": CutoffDegreeDays(a, b, c, 30, HorizontalCutoff),
			"vertical":         CutoffDegreeDays(a, b, c, 30, VerticalCutoff),
			"intermediate":     CutoffDegreeDays(a, b, c, 30, IntermediateCutoff),
		} {
			if !math.IsNaN(got) {
				t.Errorf("%s(%v, %v, %v) = %v, want NaN", name, a, b, c, got)
			}
		}
	}
	if got := CutoffDegreeDays(3, 9, 5, n, HorizontalCutoff); !math.IsNaN(got) {
		t.Errorf("without an upper threshold: %v, want NaN", got)
	}
}

func TestDegreeDaysDoNotAllocate(t *testing.T) {
	if n := testing.AllocsPerRun(100, func() {
		benchmarkSink = SineDegreeDays(-2, 12, 5) + HoursAbove(-2, 12, 5) + CutoffDegreeDays(-2, 12, 5, 10,
			VerticalCutoff)
	}); n != 0 {
		t.Errorf("%v allocations, want none", n)
	}
}

var benchmarkSink float64 // keeps the compiler from dropping what is measured

func BenchmarkSineDegreeDays(b *testing.B) {
	b.ReportAllocs()
	i := 0
	for b.Loop() {
		benchmarkSink += SineDegreeDays(-8+float64(i&7), 4+float64(i&15), 4.5)
		i++
	}
}

func BenchmarkAverageDegreeDays(b *testing.B) {
	i := 0
	for b.Loop() {
		benchmarkSink += AverageDegreeDays(-8+float64(i&7), 4+float64(i&15), 4.5)
		i++
	}
}

func BenchmarkHoursAbove(b *testing.B) {
	i := 0
	for b.Loop() {
		benchmarkSink += HoursAbove(-8+float64(i&7), 4+float64(i&15), 0)
		i++
	}
}
