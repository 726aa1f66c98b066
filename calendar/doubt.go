package calendar

import (
	"math"
	"slices"

	"treewhen/phenology"
	"treewhen/phenology/civil"
	"treewhen/phenology/weather"
)

// What temperatures must be for work to rest on them. All of it is our own choice.
const (
	// for so many days from its first, which is taken for the day it was made on, a forecast is used
	ForecastOldDays = 3
	forecastBegins  = 2 // it begins so many days from today at the latest, else it is of another day than today
	StaleDays       = 3 // days for which a season may go on unmeasured
	// mean difference from the station, over days that both have, that is called a contradiction
	contradictDegrees = 4.0
	// and that no sound forecast has: one in the other unit is off by more, near freezing by 32
	refuseDegrees = 10.
)

// Doubt is what is wrong with the temperatures that work rests on.
type Doubt struct {
	What Flaw `json:"what"`
	// ended: its last; old, begins-late, bridged: its first; incomplete: the first that is so
	Day      civil.Date  `json:"day,omitzero"`
	Observed civil.Maybe `json:"observed,omitzero"` // stale, begins-late, bridged: the last observed day
	// contradicts: by how many degrees Celsius, in the mean of Days days that both have; bridged: Days lie between
	Off     Amount `json:"off,omitzero"`
	Days    int    `json:"days,omitempty"`
	Refused bool   `json:"refused,omitempty"` // contradicts: so much that it is not used
}

// Flaw is a kind of [Doubt].
type Flaw string

// What can be wrong with temperatures. All but the first are of a forecast.
const (
	Stale       Flaw = "stale"       // observed days ended more than [StaleDays] ago in a season in which they matter
	Missing     Flaw = "missing"     // its file is not there: it is left out
	Empty       Flaw = "empty"       // it holds no day: it is left out
	Damaged     Flaw = "damaged"     // it cannot be read: it is left out
	OtherUnit   Flaw = "other-unit"  // no weather could be so in its unit: it is left out
	Ended       Flaw = "ended"       // it says nothing of the days ahead
	Old         Flaw = "old"         // it is more than [ForecastOldDays] old, and left out
	Unserved    Flaw = "unserved"    // its weather service has given none of late: it is left out
	Incomplete  Flaw = "incomplete"  // a day lacks temperatures, and nothing after it is used
	BeginsLate  Flaw = "begins-late" // there is a gap to the last observed day, too long to be bridged: it is left out
	Bridged     Flaw = "bridged"     // there is one that is: its days are guessed, and those after it less sure
	Contradicts Flaw = "contradicts" // it differs from the station where both have days

	// ShortRecord is a record of fewer than [phenology.MinYears] years, Days of them, by which nothing is dated. It is
	// for whoever looks at a plan; its entries say that they rest on the place.
	ShortRecord Flaw = "short-record"
)

// Grave reports whether a doubt is so grave that it is said before all else: what is told rests on less than it seems.
func (d Doubt) Grave() bool {
	switch d.What {
	case Incomplete, Bridged:
		return false
	case Contradicts:
		return d.Refused
	}
	return true
}

// matters are the days of a season in which an activity follows the weather: sap from the first run days on; all else
// from April on, when a week's warmth moves dates by more than they are unsure of, until leaves are down. Our own
// choice.
func matters(a Activity) (first, last phenology.SeasonDay) {
	if a == Tapping {
		return 1, 151
	}
	return 91, 334
}

// StaleAt returns the last observed day of a place's temperatures if they ended more than [StaleDays] before a day on
// which some activity there follows them. A record that comes some days late is none such where a forecast leads on
// from it: days between that nobody forecast are a doubt of their own.
func StaleAt(at phenology.Site, t *phenology.Temperatures, activities []Activity, asOf civil.Date) (Doubt, bool) {
	if t == nil || t.Drawn() || asOf-t.Observed() <= StaleDays {
		return Doubt{}, false
	}
	if t.Last() >= asOf && asOf-t.Observed() <= phenology.MostBridged {
		return Doubt{}, false
	}
	day := phenology.SeasonAt(at, asOf).Day(asOf)
	for _, a := range activities {
		if first, last := matters(a); first <= day && day <= last {
			return Doubt{What: Stale, Observed: civil.Some(t.Observed())}, true
		}
	}
	return Doubt{}, false
}

// Doubts returns what is wrong with the place's temperatures on a day, the gravest first, as it concerns some of its
// activities; with none named, all of them.
func (p *Place) Doubts(asOf civil.Date, activities ...Activity) []Doubt {
	if len(activities) == 0 {
		activities = p.Activities
	}
	list := slices.Clone(p.LeftOut)
	t := p.Outlook.Temps
	if t != nil && len(p.Forecasts) > 0 {
		list = append(list, forecastDoubts(t, p.Forecasts, asOf)...)
	}
	if stale, is := StaleAt(*p.Site(), t, activities, asOf); is {
		list = slices.Insert(list, 0, stale)
	}
	slices.SortStableFunc(list, func(a, b Doubt) int { return trueFirst(a.Grave(), b.Grave()) })
	return list
}

// forecastDoubts returns what is wrong with forecasts. One that is over or old is no news where another is in use.
func forecastDoubts(t *phenology.Temperatures, forecasts []weather.Series, asOf civil.Date) (list []Doubt) {
	observed := t.Series().Until(t.Observed())
	used := slices.ContainsFunc(forecasts, func(f weather.Series) bool { return ForecastOfUse(observed, f, asOf) })
	for _, f := range forecasts {
		span := f.Span()
		switch {
		case span.Empty() || span.First > asOf+forecastBegins:
			continue // none, or one of a later day than the one taken as today
		case span.Last <= asOf || asOf-span.First > ForecastOldDays:
			d := Doubt{What: Old, Day: span.First}
			if span.Last <= asOf {
				d = Doubt{What: Ended, Day: span.Last}
			}
			if !used {
				list = append(list, d)
			}
			continue
		}
		for day := max(span.First, t.Observed()+1); day <= span.Last; day++ {
			if !f.At(day).Complete() {
				list = append(list, Doubt{What: Incomplete, Day: day})
				break
			}
		}
		if gap := unknown(t, span.First); gap > 0 {
			d := Doubt{What: BeginsLate, Day: span.First, Observed: civil.Some(t.Observed())}
			if gap <= phenology.MostBridged {
				d.What, d.Days = Bridged, gap
			}
			list = append(list, d)
		}
		if off, n := forecastOff(observed, f); n > 0 && off > contradictDegrees {
			list = append(list, Doubt{What: Contradicts, Off: Amount(off), Days: n, Refused: off > refuseDegrees})
		}
	}
	return list
}

// unknown counts the days between the last observed one and a forecast's first of which nothing is known: those that
// are missing, or guessed from both sides. Of the others, an earlier forecast told.
func unknown(t *phenology.Temperatures, first civil.Date) (n int) {
	for day := t.Observed() + 1; day < first; day++ {
		if d := t.Series().At(day); !d.Complete() || d.Flags&(weather.Interpolated|weather.Filled) != 0 {
			n++
		}
	}
	return n
}

// ForecastOfUse reports whether a forecast is one for the days from today on, made lately, and not so far from what was
// observed on days that both have that it must be for another place or in another unit: what follows from it would
// mislead.
func ForecastOfUse(observed, forecast weather.Series, asOf civil.Date) bool {
	span := forecast.Span()
	if span.Last <= asOf || span.First > asOf+forecastBegins || asOf-span.First > ForecastOldDays {
		return false
	}
	off, n := forecastOff(observed, forecast)
	return n == 0 || off <= refuseDegrees
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
