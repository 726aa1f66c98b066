package tapping

import (
	"fmt"
	"math"

	"treewhen/calendar"
	"treewhen/calendar/phrase"
	"treewhen/phenology/civil"
	"treewhen/phenology/weather"
)

const (
	forecastBegins    = 2   // a forecast begins so many days from today at the latest
	forecastOldDays   = 3   // a forecast that began longer ago than this is called old
	contradictDegrees = 4.0 // mean difference from the station, over days that both have, that is called a contradiction
	refuseDegrees     = 10. // and that no sound forecast has: one in the other unit is off by more, near freezing by 32
)

// ForecastContradicts reports whether a forecast is so far from what was observed on days that both have that it must be
// for another place or in another unit: what follows from it would mislead.
func ForecastContradicts(observed, forecast weather.Series) bool {
	off, n := forecastOff(observed, forecast)
	return n > 0 && off > refuseDegrees
}

// forecastOff returns the mean difference of minima and maxima, without sign, of a forecast from what was observed, over
// days that both have, and how many these are.
func forecastOff(observed, forecast weather.Series) (degrees float64, days int) {
	sum := 0.0
	for i, d := range forecast.Days {
		if o := observed.At(forecast.First + civil.Date(i)); o.Complete() && d.Complete() && !o.Flags.Invented() {
			sum += math.Abs(o.Min-d.Min)/2 + math.Abs(o.Max-d.Max)/2
			days++
		}
	}
	return sum / float64(max(1, days)), days
}

// forecastDoubts says what is wrong with a place's forecast: each a sentence.
func forecastDoubts(pl *calendar.Place, asOf civil.Date) []string {
	var doubts []string
	t := pl.Outlook.Temps
	if t == nil || len(pl.Forecasts) == 0 {
		return nil
	}
	observed := t.Series().Until(t.Observed())
	for _, f := range pl.Forecasts {
		span := f.Span()
		if span.Empty() || span.First > asOf+forecastBegins {
			continue // none, or one of a later day than the one taken as today
		}
		switch {
		case span.Last <= asOf:
			doubts = append(doubts, fmt.Sprintf("The forecast ends on %s and says nothing of the days ahead.", phrase.ShortDate(span.Last)))
			continue
		case asOf-span.First > forecastOldDays:
			doubts = append(doubts, fmt.Sprintf("The forecast begins on %s and is more than %d days old: fetch a newer one.", phrase.ShortDate(span.First), forecastOldDays))
		}
		for day := max(span.First, t.Observed()+1); day <= span.Last; day++ {
			if !f.At(day).Complete() {
				doubts = append(doubts, fmt.Sprintf("The forecast has no complete temperatures for %s; nothing after that day is used.", phrase.ShortDate(day)))
				break
			}
		}
		if t.Observed()+1 < span.First {
			doubts = append(doubts, fmt.Sprintf("Between the last observed day, %s, and the forecast's first, %s, there is a gap, so that the forecast cannot be used.", phrase.ShortDate(t.Observed()), phrase.ShortDate(span.First)))
		}
		if off, n := forecastOff(observed, f); n > 0 && off > contradictDegrees {
			text := fmt.Sprintf("On %s that both have, the forecast differs from the station by %.0f °C on average: it may be for another place or in another unit", phrase.Count(n, "day"), off)
			if off > refuseDegrees {
				text += ", and is not used"
			}
			doubts = append(doubts, text+".")
		}
	}
	return doubts
}
