package tapping

import (
	"math"

	"treewhen/calendar"
	"treewhen/phenology/civil"
	"treewhen/phenology/weather"
)

// ForecastOldDays is for how many days from its first a forecast is not called old.
const ForecastOldDays = 3

const (
	forecastBegins = 2 // a forecast begins so many days from today at the latest
	// mean difference from the station, over days that both have, that is called a contradiction
	contradictDegrees = 4.0
	// and that no sound forecast has: one in the other unit is off by more, near freezing by 32
	refuseDegrees = 10.
)

// ForecastContradicts reports whether a forecast is so far from what was observed on days that both have that it must
// be for another place or in another unit: what follows from it would mislead.
func ForecastContradicts(observed, forecast weather.Series) bool {
	off, n := forecastOff(observed, forecast)
	return n > 0 && off > refuseDegrees
}

// forecastOff returns the mean difference of minima and maxima, without sign, of a forecast from what was observed,
// over days that both have, and how many these are.
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

// Doubt is what is wrong with a forecast.
type Doubt struct {
	What Flaw `json:"what"`
	// ended: its last; old, begins-late: its first; incomplete: the first that is so
	Day      civil.Date  `json:"day,omitzero"`
	Observed civil.Maybe `json:"observed,omitzero"` // begins-late: the last observed day
	// contradicts: by how much, in the mean of Days days that both have
	Off     Celsius `json:"off,omitzero"`
	Days    int     `json:"days,omitempty"`
	Refused bool    `json:"refused,omitempty"` // contradicts: so much that it is not used
}

// Flaw is a kind of [Doubt].
type Flaw string

// What can be wrong with a forecast.
const (
	Ended       Flaw = "ended"       // it says nothing of the days ahead
	Old         Flaw = "old"         // it is more than [ForecastOldDays] old
	Incomplete  Flaw = "incomplete"  // a day lacks temperatures, and nothing after it is used
	BeginsLate  Flaw = "begins-late" // there is a gap to the last observed day, so that it cannot be used
	Contradicts Flaw = "contradicts" // it differs from the station where both have days
)

// forecastDoubts returns what is wrong with a place's forecasts.
func forecastDoubts(pl *calendar.Place, asOf civil.Date) []Doubt {
	var doubts []Doubt
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
			doubts = append(doubts, Doubt{What: Ended, Day: span.Last})
			continue
		case asOf-span.First > ForecastOldDays:
			doubts = append(doubts, Doubt{What: Old, Day: span.First})
		}
		for day := max(span.First, t.Observed()+1); day <= span.Last; day++ {
			if !f.At(day).Complete() {
				doubts = append(doubts, Doubt{What: Incomplete, Day: day})
				break
			}
		}
		if t.Observed()+1 < span.First {
			doubts = append(doubts, Doubt{What: BeginsLate, Day: span.First, Observed: civil.Some(t.Observed())})
		}
		if off, n := forecastOff(observed, f); n > 0 && off > contradictDegrees {
			doubts = append(doubts, Doubt{What: Contradicts, Off: Celsius(off), Days: n, Refused: off > refuseDegrees})
		}
	}
	return doubts
}
