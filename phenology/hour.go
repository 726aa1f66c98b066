package phenology

import (
	"math"
	"time"

	"treewhen/phenology/civil"
)

// warmestAfterNoon is by how many hours the day's maximum comes after the middle of its daylight: the lag that Parton &
// Logan give for air 1.5 m above the ground.
const warmestAfterNoon = 1.86

// TemperatureAt returns the temperature, degrees Celsius, that a day of given minimum and maximum can be expected to
// have at a moment between sunrise and sunset: a sine from the minimum at sunrise to the maximum some two hours after
// the middle of the day. Before sunrise and after sunset, where other formulas hold, it returns the value of sunrise or
// sunset. Where the sun does not rise or does not set it returns the mean of the two.
//
// Source: Parton & Logan (1981), A model for diurnal variation in soil and air temperature, Agricultural Meteorology
// 23:205-216, the daytime equation (from memory), with the minimum at sunrise itself.
func TemperatureAt(latitude, longitude float64, d civil.Date, tmin, tmax float64, at time.Time) float64 {
	rise, set, ok := SunTimes(latitude, longitude, d)
	if !ok {
		return (tmin + tmax) / 2
	}
	switch {
	case at.Before(rise):
		at = rise
	case at.After(set):
		at = set
	}
	daylight := set.Sub(rise).Hours()
	return tmin + (tmax-tmin)*math.Sin(math.Pi*at.Sub(rise).Hours()/(daylight+2*warmestAfterNoon))
}

// usualReach is by how many days around a day of the year its usual temperatures are averaged. Our own choice: a
// fortnight of twenty years is enough to make a mean that does not jump from day to day.
const usualReach = 7

// Usual returns the mean minimum and maximum, degrees Celsius, of a day of the year and the week to either side of it
// over all observed years, how many days went in, and false if there are fewer than thirty. Of a record drawn from
// monthly normals it is the mean over the drawn years: see [Temperatures.Drawn].
func (t *Temperatures) Usual(d civil.Date) (tmin, tmax float64, days int, ok bool) {
	if len(t.series.Days) == 0 {
		return math.NaN(), math.NaN(), 0, false
	}
	last := t.observed
	if t.normals {
		last = t.Last()
	}
	_, month, day := d.Date()
	for year := t.series.First.Year(); year <= last.Year(); year++ {
		middle := civil.Of(year, month, day)
		for on := middle - usualReach; on <= middle+usualReach; on++ {
			if on > last {
				break
			}
			if got := t.series.At(on); got.Complete() {
				tmin, tmax, days = tmin+got.Min, tmax+got.Max, days+1
			}
		}
	}
	if days < 30 {
		return math.NaN(), math.NaN(), days, false
	}
	return tmin / float64(days), tmax / float64(days), days, true
}
