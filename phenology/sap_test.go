package phenology_test

import (
	"math"
	"testing"
	"time"

	"pgregory.net/rapid"

	"treewhen/phenology"
	"treewhen/phenology/civil"
	"treewhen/phenology/weather"
)

// maples is the rule of the maples' profiles.
var maples = phenology.RunRule{
	// Skinner and others 2010 (from memory), and either side of freezing
	// either side of freezing, and older field studies (Houle and others 2015)
	Night: phenology.Threshold{Low: -1.1, High: 0}, Day: phenology.Threshold{Low: 0, High: 4},
}

var birches = phenology.RunRule{Drive: phenology.RootPressure, Night: phenology.Threshold{},
	Day: phenology.Threshold{Low: 10, High: 10}}

// days makes a series of minima and maxima.
func days(minmax ...float64) weather.Series {
	s := weather.Series{First: civil.Of(2027, time.March, 1)}
	for i := 0; i < len(minmax); i += 2 {
		s.Days = append(s.Days, weather.Day{Min: minmax[i], Max: minmax[i+1]})
	}
	return s
}

func lastDay(r phenology.RunRule, s weather.Series) phenology.RunDay {
	runs := r.Likelihoods(s)
	return runs[len(runs)-1]
}

func TestRunLikelihood(t *testing.T) {
	for _, c := range []struct {
		name      string
		days      weather.Series
		low, high float64
	}{
		// Mathews and others 2024, HortTechnology 34(1):52: the best day has a minimum of about -5 and a maximum of
		// about 6.
		{"the best day in Utah", days(-4, 5, -5, 6), 0.9, 1},
		// Extension's rule of thumb: nights of -7 to -4, days of 4 to 10; all four corners.
		{"cold night, cool day", days(-5, 5, -7, 4), 0.8, 1},
		{"cold night, mild day", days(-5, 5, -7, 10), 0.9, 1},
		{"cool night, cool day", days(-5, 5, -4, 4), 0.8, 1},
		{"cool night, mild day", days(-5, 5, -4, 10), 0.9, 1},
		// Skinner and others 2010: from 30 F and 36 F on a day counts (from memory).
		{"at both of the stricter thresholds", days(-3, 4, -1.1, 2.2), 0.35, 0.7},
		{"no thaw", days(-5, 5, -9, -1), 0, 0.05},
		{"no freeze these four days", days(2, 9, 3, 9, 2, 8, 3, 9), 0, 0.05},
		// A new freeze is needed within a day or two (extension sheets).
		{"a freeze the night before", days(-5, 5, 2, 8), 0.6, 0.8},
		{"a freeze two nights before", days(-5, 5, 2, 8, 2, 8), 0.2, 0.4},
		{"a long thaw has run dry", days(-5, 5, 2, 8, 3, 9, 4, 10, 4, 11), 0, 0.05},
		{"a missing day before", weather.Series{First: 0, Days: []weather.Day{weather.Missing, {Min: -5, Max: 6}}}, 0.9,
			1},
		{"a missing day", weather.Series{First: 0, Days: []weather.Day{{Min: -5, Max: 6}, {Min: math.NaN(), Max: 6}}},
			0, 0},
	} {
		t.Run(c.name, func(t *testing.T) {
			got := lastDay(maples, c.days)
			if got.Likelihood < c.low || got.Likelihood > c.high {
				t.Errorf("likelihood %.2f, want %.2f to %.2f", got.Likelihood, c.low, c.high)
			}
		})
	}
}

func TestDeepColdDelaysTheThaw(t *testing.T) {
	mild, cold := lastDay(maples, days(-6, 1, -14, 3)), lastDay(maples, days(-24, -14, -14, 3))
	if cold.Likelihood > mild.Likelihood-0.2 {
		t.Errorf("after a day of -24 to -14 °C %.2f, after one of -6 to 1 °C %.2f: want it clearly less",
			cold.Likelihood, mild.Likelihood)
	}
	if warm := lastDay(maples, days(-24, -14, -8, 9)); warm.Likelihood < 0.8 {
		t.Errorf("a long thaw after deep cold: %.2f, want it to run", warm.Likelihood)
	}
}

func TestForecastsCountForLess(t *testing.T) {
	observed := days(-5, 6, -5, 6, -5, 6, -5, 6, -5, 6, -5, 6, -5, 6)
	forecast := days(-5, 6, -5, 6, -5, 6, -5, 6, -5, 6, -5, 6, -5, 6)
	for i := 1; i < len(forecast.Days); i++ {
		forecast.Days[i].Flags = weather.Forecast
	}
	a, b := maples.Likelihoods(observed), maples.Likelihoods(forecast)
	for i := 1; i < len(a); i++ {
		if b[i].Likelihood >= a[i].Likelihood || i > 1 && b[i].Likelihood >= b[i-1].Likelihood {
			t.Errorf("day %d: forecast %.3f, the day before %.3f, observed %.3f", i, b[i].Likelihood, b[i-1].Likelihood,
				a[i].Likelihood)
		}
	}
}

func TestRootPressureNeedsNoFreeze(t *testing.T) {
	if p := lastDay(birches, days(2, 13, 3, 14, 2, 13, 3, 15, 4, 15)); p.Likelihood < 0.9 {
		t.Errorf("five mild days and nights: %.2f", p.Likelihood)
	}
	if p := lastDay(birches, days(-5, 6, -5, 6, -5, 6, -5, 6, -5, 6)); p.Likelihood > 0.02 {
		t.Errorf("freeze and thaw: %.2f", p.Likelihood)
	}
	if p := lastDay(birches, days(2, 13, 3, 14, 2, 13, 3, 15)); p.Likelihood != 0 {
		t.Errorf("four days: %.2f, want nothing said before the fifth", p.Likelihood)
	}
}

func TestRunLikelihoodProperties(t *testing.T) {
	temperature := rapid.Float64Range(-30, 25)
	rapid.Check(t, func(t *rapid.T) {
		var s weather.Series
		for range rapid.IntRange(1, 12).Draw(t, "days") {
			a, b := temperature.Draw(t, "a"), temperature.Draw(t, "b")
			s.Days = append(s.Days, weather.Day{Min: min(a, b), Max: max(a, b)})
		}
		for _, rule := range []phenology.RunRule{maples, birches} {
			runs := rule.Likelihoods(s)
			for i, r := range runs {
				if !(r.Likelihood >= 0 && r.Likelihood <= 1) || !(r.Hours >= 0 && r.Hours <= 24) {
					t.Fatalf("day %d: %+v", i, r)
				}
			}
			// A warmer afternoon never makes a run less likely.
			last := len(s.Days) - 1
			warmer := weather.Series{First: s.First, Days: append([]weather.Day(nil), s.Days...)}
			warmer.Days[last].Max += rapid.Float64Range(0, 10).Draw(t, "warmer by")
			if after := rule.Likelihoods(warmer)[last]; after.Likelihood < runs[last].Likelihood-1e-12 {
				t.Fatalf("likelihood %.3f, and %.3f with a warmer afternoon", runs[last].Likelihood, after.Likelihood)
			}
		}
	})
}

func TestForecastBehindAGapIsLeftOut(t *testing.T) {
	s := days(-5, 5, -5, 5, -4, 4, -3, 3, -3, 3)
	for i := 2; i < 5; i++ {
		s.Days[i].Flags = weather.Forecast
	}
	s.Days[3] = weather.Missing
	temps := phenology.NewTemperatures(phenology.Site{}, s)
	if want := s.First + 2; temps.Last() != want {
		t.Errorf("last day %s, want %s, the day before the gap", temps.Last(), want)
	}
	if temps.Observed() != s.First+1 {
		t.Errorf("last observed day %s", temps.Observed())
	}
}
