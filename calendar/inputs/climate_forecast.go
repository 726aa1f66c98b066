package inputs

import (
	"math"

	"treewhen/phenology/civil"
	"treewhen/phenology/climate"
	"treewhen/phenology/weather"
)

// How a forecast's few days are judged. Days that follow each other are alike, so that their mean is less sure than
// of as many that are not: with a correlation of 0.7 from one daily mean to the next, as is usual in middle latitudes
// (common practice, no source), ten of them tell as much as two. What bounds a sound one is in standard errors, as
// for records.
const (
	dayToDay      = 0.7
	forecastBound = 4.0
	withinMonth   = 3.0 // degrees Celsius by which a day's normal may be off its month's, in the middle of spring
	undoneGain    = 0.5 // of the difference, that an undone slip may leave
)

// forecastVerdict holds the days of a forecast against the climate at its height: for their unit alone, and only
// where no weather could be so.
func forecastVerdict(cell climate.Cell, s weather.Series) weather.Verdict {
	v := weather.Verdict{Kind: weather.Unjudged, Span: s.Span()}
	daily := cell.DailySD()
	rms, _ := cell.Error()
	var n, low, high, normalLow, normalHigh, square float64
	for i, d := range s.Days {
		if !d.Complete() {
			continue
		}
		m := (s.First + civil.Date(i)).Month() - 1
		n++
		low, high, square = low+d.Min, high+d.Max, square+daily[m]*daily[m]
		normalLow, normalHigh = normalLow+cell.Min[m], normalHigh+cell.Max[m]
	}
	if n == 0 {
		return v
	}
	v.Kind = weather.Agrees
	v.Min, v.Max = (low-normalLow)/n, (high-normalHigh)/n
	alone := max(n*(1-dayToDay)/(1+dayToDay), 1) // as many days, were they independent
	v.Limit = withinMonth + forecastBound*math.Hypot(rms, math.Sqrt(square/n/alone))
	mean, normal := (low+high)/2/n, (normalLow+normalHigh)/2/n
	explains := func(undone float64) bool {
		return math.Abs(undone-normal) <= min(v.Limit, undoneGain*math.Abs(v.Off()))
	}
	switch {
	case v.Off() > v.Limit && explains((mean-32)/1.8):
		v.Kind = weather.FahrenheitRead
	case v.Off() < -v.Limit && explains(mean*1.8+32):
		v.Kind = weather.CelsiusConverted
	}
	return v
}
