package weather

import (
	"math"
	"testing"
	"time"

	"pgregory.net/rapid"
)

// monthMeansOf averages a curve's days by month.
func monthMeansOf(curve []float64) (means [12]float64) {
	year := 2001
	if len(curve) == 366 {
		year = 2000
	}
	at := 0
	for m := range means {
		n := daysIn(year, time.Month(m+1))
		means[m] = mean(curve[at : at+n])
		at += n
	}
	return means
}

func TestDailyCurveKeepsEveryMonth(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		var months [12]float64
		for m := range months {
			months[m] = rapid.Float64Range(-50, 50).Draw(t, "normal")
		}
		leap := rapid.Bool().Draw(t, "leap")
		curve := dailyCurve(months, leap)
		if want := 365 + map[bool]int{true: 1}[leap]; len(curve) != want {
			t.Fatalf("%d days", len(curve))
		}
		for m, got := range monthMeansOf(curve) {
			if math.Abs(got-months[m]) > 1e-9 {
				t.Fatalf("month %d: mean %v, want %v", m+1, got, months[m])
			}
		}
	})
}

// Averaged to months, a sine of one year comes back within a tenth of a degree on every day, also across the year's
// end; a constant comes back as it is.
func TestDailyCurveFindsTheWaveBack(t *testing.T) {
	for _, amplitude := range []float64{0, 14} {
		for _, days := range []int{365, 366} {
			wave := make([]float64, days)
			for i := range wave {
				wave[i] = 8 - amplitude*math.Cos(2*math.Pi*(float64(i)-18)/float64(days))
			}
			worst := 0.0
			for i, v := range dailyCurve(monthMeansOf(wave), days == 366) {
				worst = max(worst, math.Abs(v-wave[i]))
			}
			if limit := 0.1 * amplitude / 14; worst > limit+1e-9 {
				t.Errorf("%d days, amplitude %v: worst %.3f", days, amplitude, worst)
			}
		}
	}
}

func TestDailyCurveHasNoSteps(t *testing.T) {
	// Lebanon Airport, New Hampshire, maxima (U.S. Climate Normals 1991-2020), rounded to degrees Celsius.
	curve := dailyCurve([12]float64{-1, 1, 6, 13, 20, 25, 28, 27, 22, 15, 8, 2}, false)
	for i := range curve {
		if step := math.Abs(curve[(i+1)%365] - curve[i]); step > 0.4 { // the year's steepest month change is 7 in 30 days
			t.Errorf("day %d: a step of %.2f", i+1, step)
		}
	}
}

// The solution is held against the equations themselves.
func TestSolve(t *testing.T) {
	rows := func() [][]float64 { return [][]float64{{3, 1, 0, 9}, {1, 4, 1, 12}, {0, 1, 5, 17}} }
	x := solve(rows())
	for _, r := range rows() {
		if got := r[0]*x[0] + r[1]*x[1] + r[2]*x[2]; math.Abs(got-r[3]) > 1e-12 {
			t.Errorf("%v gives %v", r, got)
		}
	}
}
