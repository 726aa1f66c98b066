package phenology

import (
	"math"
	"testing"
	"time"

	"treewhen/phenology/civil"
	"treewhen/phenology/weather"
)

// The shape that Parton & Logan (1981) give for the day: the minimum at sunrise, the maximum 1.86 hours after the
// middle of the daylight, rising before it and falling after it.
func TestTemperatureAt(t *testing.T) {
	d := civil.Of(2027, 2, 15)
	const lat, lon = 43.2, -71.5
	rise, set, _ := SunTimes(lat, lon, d)
	noon := rise.Add(set.Sub(rise) / 2)
	at := func(when time.Time) float64 { return TemperatureAt(lat, lon, d, -9, 3, when) }
	if got := at(rise); math.Abs(got+9) > 1e-9 {
		t.Errorf("sunrise: found %v, want the minimum", got)
	}
	warmest := noon.Add(time.Duration(1.86 * float64(time.Hour)))
	if got := at(warmest); math.Abs(got-3) > 1e-6 {
		t.Errorf("1.86 hours after noon: found %v, want the maximum", got)
	}
	if at(warmest.Add(-time.Hour)) >= 3 || at(warmest.Add(time.Hour)) >= 3 || at(noon) >= 3 {
		t.Error("want the maximum nowhere else")
	}
	if at(rise.Add(-5*time.Hour)) != at(rise) || at(set.Add(5*time.Hour)) != at(set) {
		t.Error("want the night to keep to its ends")
	}
	if got := TemperatureAt(78, 15, civil.Of(2027, 12, 21), -20, -10, rise); got != -15 {
		t.Errorf("polar night: found %v, want the mean", got)
	}
}

func TestUsual(t *testing.T) {
	s := weather.Series{First: civil.Of(2020, 1, 1)}
	for d := s.First; d <= civil.Of(2024, 12, 31); d++ {
		mean := -12 * math.Cos(2*math.Pi*float64(d.YearDay()-15)/365.25)
		s.Days = append(s.Days, weather.Day{Min: mean - 5, Max: mean + 5})
	}
	temps := NewTemperatures(Site{Latitude: 45}, s)
	tmin, tmax, days, ok := temps.Usual(civil.Of(2027, 1, 15))
	// The mean of a cosine over a week to either side of its trough is within 1.1 % of the trough.
	if !ok || days != 75 || math.Abs(tmin+17) > 0.15 || math.Abs(tmax+7) > 0.15 {
		t.Errorf("found %v to %v over %d days, want -17 to -7 over five years of 15 days", tmin, tmax, days)
	}
	if _, _, days, ok := NewTemperatures(Site{}, s.Until(civil.Of(2020, 1, 20))).Usual(civil.Of(2027, 1, 15)); ok {
		t.Errorf("found an answer from %d days, want none", days)
	}
	// Monthly normals say how warm it usually is as well: the drawn years come out at them.
	var n weather.Normals
	for m := range 12 {
		mean := -12 * math.Cos(2*math.Pi*(float64(m)*30.4)/365.25)
		n.Min[m], n.Max[m] = mean-5, mean+5
	}
	drawn := NewTemperatures(Site{Latitude: 45}, weather.Synthesize(n, civil.Of(1991, 1, 1), 30, 1))
	tmin, tmax, _, ok = drawn.Usual(civil.Of(2027, 1, 15))
	if !ok || !drawn.Drawn() || math.Abs(tmin+17) > 1.5 || math.Abs(tmax+7) > 1.5 {
		t.Errorf("drawn from normals: found %v to %v, want about -17 to -7", tmin, tmax)
	}
	if temps.Drawn() {
		t.Error("found a record drawn from normals, want a measured one")
	}
}
