package phenology

import (
	"fmt"
	"math"
	"testing"

	"pgregory.net/rapid"
)

// Weinberger (1950): hours from 0 to 7.2 degrees Celsius, both included. The rows are worked out by hand: the middle
// between the bounds is 3.6, so that a day's sine around it crosses both at the same angle on either side.
func TestChillHoursRows(t *testing.T) {
	for _, row := range []struct{ tmin, tmax, want float64 }{
		{0, 7.2, 24},
		{1, 6, 24},
		{0, 0, 24},
		{7.2, 7.2, 24},
		{7.3, 7.3, 0},
		{-0.1, -0.1, 0},
		{-9, -1, 0}, // the older form would count 24
		{8, 20, 0},
		{-5, 5, 12},   // half the day above 0, all of it below 7.2
		{0, 14.4, 12}, // half the day below 7.2, all of it above 0
		{3.6 - 7.2, 3.6 + 7.2, 8},
		{3.6 - 14.4, 3.6 + 14.4, 24 * 2 * math.Asin(0.25) / math.Pi},
	} {
		wantNear(t, fmt.Sprint(row.tmin, " to ", row.tmax), ChillHours(row.tmin, row.tmax), row.want, 1e-9)
	}
}

// Richardson, Seeley & Walker (1974), in degrees Celsius as later work states the bins (from memory).
func TestChillUnitRows(t *testing.T) {
	for _, row := range []struct{ temperature, perHour float64 }{
		{-20, 0}, {0, 0}, {1.4, 0}, {1.5, 0.5}, {2.4, 0.5}, {2.5, 1}, {9.1, 1}, {9.2, 0.5}, {12.4, 0.5}, {12.5, 0},
		{15.9, 0}, {16, -0.5}, {18, -0.5}, {18.1, -1}, {40, -1},
		{5, 1}, {14, 0}, {17, -0.5}, {20, -1}, // a day at these makes +24, 0, -12 and -24
	} {
		wantNear(t, fmt.Sprint(row.temperature, " C for a day"), ChillUnits(row.temperature, row.temperature),
			24*row.perHour, 1e-12)
	}
	// The paper's own edges are whole degrees Fahrenheit. Away from the edges both statements agree.
	for _, row := range []struct{ fahrenheit, perHour float64 }{
		{33, 0}, {35, 0.5}, {42, 1}, {51, 0.5}, {57, 0}, {63, -0.5}, {70, -1},
	} {
		celsius := (row.fahrenheit - 32) / 1.8
		wantNear(t, fmt.Sprint(row.fahrenheit, " F for a day"), ChillUnits(celsius, celsius), 24*row.perHour, 1e-12)
	}
}

// chillUnitsPerHour has the bins of Richardson, Seeley & Walker (1974) once more, as a table is looked up.
func chillUnitsPerHour(celsius float64) float64 {
	switch {
	case celsius <= 1.4:
		return 0
	case celsius <= 2.4:
		return 0.5
	case celsius <= 9.1:
		return 1
	case celsius <= 12.4:
		return 0.5
	case celsius <= 15.9:
		return 0
	case celsius <= 18:
		return -0.5
	}
	return -1
}

func TestChillAgreesWithNumericalIntegration(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		tmin, tmax := drawDay(t)
		// At each crossing of a bin's edge the midpoint rule can take the wrong bin for one step; the seven edges are
		// crossed twice, and none changes the rate by more than a unit.
		step := 24 / float64(len(daySine))
		wantNear(t, "chill units", ChillUnits(tmin, tmax), 24*integrateDay(tmin, tmax, chillUnitsPerHour), 14*step)
		wantNear(t, "chill hours", ChillHours(tmin, tmax), 24*integrateDay(tmin, tmax, func(c float64) float64 {
			if c >= 0 && c <= 7.2 {
				return 1
			}
			return 0
		}), 4*step)
		if h, u := ChillHours(tmin, tmax), ChillUnits(tmin, tmax); h < 0 || h > 24 || u < -24-1e-9 || u > 24+1e-9 {
			t.Errorf("%v to %v: %v chill hours, %v chill units", tmin, tmax, h, u)
		}
	})
}

// Cannell & Smith (1983): a chill day's mean is at or below the threshold.
func TestIsChillDay(t *testing.T) {
	for _, row := range []struct {
		mean, threshold float64
		want            bool
	}{{5, 5, true}, {5.01, 5, false}, {-30, 5, true}, {9.9, 10, true}, {math.NaN(), 5, false}} {
		if got := IsChillDay(row.mean, row.threshold); got != row.want {
			t.Errorf("mean %v, threshold %v: %v, want %v", row.mean, row.threshold, got, row.want)
		}
	}
}

// Sarvas (1974), Hänninen (1990), Kramer (1994), from memory; the rates are worked out from the formulas by hand and
// printed to three decimals.
func TestRatesOfChillingAndForcing(t *testing.T) {
	const threeDecimals = 0.0006
	for _, row := range []struct{ temperature, want float64 }{
		{-20, 0}, {-3.4, 0}, {-3, 0.058}, {0, 0.493}, {3.5, 1}, {5, 0.783}, {8, 0.348}, {10.4, 0}, {25, 0},
	} {
		wantNear(t, fmt.Sprint("chilling at ", row.temperature), SarvasChilling.Rate(row.temperature), row.want,
			threeDecimals)
	}
	for _, row := range []struct{ temperature, want float64 }{
		{-5, 0}, {0, 0}, {5, 2.197}, {10, 4.956}, {15, 9.876}, {18.4, 14.2}, {20, 16.286}, {25, 21.932},
	} {
		wantNear(t, fmt.Sprint("forcing at ", row.temperature), SarvasForcing.Rate(row.temperature), row.want,
			threeDecimals)
	}
	wantNear(t, "forcing just above 0", SarvasForcing.Rate(1e-9), 0.914, threeDecimals) // the rule at 0 is a step
}

// What the documentation says of the two curves' parameters.
func TestRatesMeanWhatTheirParametersSay(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		low := rapid.Float64Range(-10, 0).Draw(t, "low")
		c := TriangularChilling{low, low + rapid.Float64Range(0.5, 8).Draw(t, "rise"), 0}
		c.High = c.Optimum + rapid.Float64Range(0.5, 8).Draw(t, "fall")
		at := rapid.Float64Range(-30, 30).Draw(t, "temperature")
		if r := c.Rate(at); r < 0 || r > 1 || (r > 0) != (at > c.Low && at < c.High) {
			t.Errorf("%+v at %v: %v", c, at, r)
		}
		wantNear(t, "at the optimum", c.Rate(c.Optimum), 1, 1e-12)
		wantNear(t, "half way up", c.Rate((c.Low+c.Optimum)/2), 0.5, 1e-9)
		wantNear(t, "half way down", c.Rate((c.High+c.Optimum)/2), 0.5, 1e-9)

		f := SigmoidForcing{rapid.Float64Range(1, 40).Draw(t, "ceiling"),
			rapid.Float64Range(0.05, 1).Draw(t, "steepness"), rapid.Float64Range(5, 25).Draw(t, "midpoint")}
		wantNear(t, "at the midpoint", f.Rate(f.Midpoint), f.Ceiling/2, 1e-9)
		const h = 1e-4
		wantNear(t, "slope at the midpoint", (f.Rate(f.Midpoint+h)-f.Rate(f.Midpoint-h))/(2*h), f.Steepness*f.Ceiling/4,
			1e-4)
		if a, b := f.Rate(at), f.Rate(at+1); a > b || a < 0 || b > f.Ceiling {
			t.Errorf("%+v: %v at %v, %v a degree warmer", f, a, at, b)
		}
	})
}

func TestChillPassesNaNOn(t *testing.T) {
	n := math.NaN()
	for name, got := range map[string]float64{
		"chill hours without a minimum": ChillHours(n, 3), "chill hours without a maximum": ChillHours(3, n),
		"chill units without a minimum": ChillUnits(n, -3), "chill units without a maximum": ChillUnits(30, n),
		"chilling": SarvasChilling.Rate(n), "forcing": SarvasForcing.Rate(n),
	} {
		if !math.IsNaN(got) {
			t.Errorf("%s = %v, want NaN", name, got)
		}
	}
}

func BenchmarkChillUnits(b *testing.B) {
	i := 0
	for b.Loop() {
		benchmarkSink += ChillUnits(-8+float64(i&7), 4+float64(i&15))
		i++
	}
}
