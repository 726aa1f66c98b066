// Package weather answers: what were the temperatures here, day by day, and how far can each be trusted?
//
// Temperatures are degrees Celsius from the moment a file has been read; only the readers know other units. A day's
// values carry what is known of their quality, so that whatever is computed from them can say what it rests on.
package weather

import (
	"math"
	"slices"
	"strings"

	"treewhen/phenology/civil"
)

// Flags say what is known of a day's temperatures. A day with no flag was observed and passed its publisher's checks.
type Flags uint16

// What may be known of a day's temperatures.
const (
	Estimated    Flags = 1 << iota // its publisher estimated a value instead of observing it
	Suspect                        // its publisher doubts it, or a check here does
	Interpolated                   // filled from the days on both sides of a short gap
	Filled                         // filled from another source or from other years
	Adjusted                       // moved by an offset between sources or by a difference in elevation
	Shifted                        // a value moved to another day, since its source dates it a day off
	Forecast                       // not observed: a forecast
	Synthetic                      // not observed: drawn from monthly normals
)

var flagNames = []string{"estimated", "suspect", "interpolated", "filled", "adjusted", "shifted", "forecast",
	"synthetic"}

// String lists the flags in words.
func (f Flags) String() string {
	var names []string
	for i, name := range flagNames {
		if f&(1<<i) != 0 {
			names = append(names, name)
		}
	}
	if len(names) == 0 {
		return "observed"
	}
	return strings.Join(names, ", ")
}

// Invented reports whether no thermometer at all stands behind the day: it was filled, forecast or drawn.
func (f Flags) Invented() bool { return f&(Interpolated|Filled|Forecast|Synthetic) != 0 }

// Day is one day's temperatures.
type Day struct {
	Min, Max float64 // degrees Celsius; NaN where missing
	Flags    Flags
}

// Missing is a day of which nothing is known.
var Missing = Day{Min: math.NaN(), Max: math.NaN()}

// Complete reports whether both values are there.
func (d Day) Complete() bool { return !math.IsNaN(d.Min) && !math.IsNaN(d.Max) }

// Reversed reports whether the minimum is above the maximum: one of the two is wrong, and nothing says which.
func (d Day) Reversed() bool { return d.Min > d.Max }

// Mean is the mean of minimum and maximum, NaN where either is missing.
func (d Day) Mean() float64 { return (d.Min + d.Max) / 2 }

// Series is an unbroken run of days from First on; a day without values is in it as [Missing].
type Series struct {
	First civil.Date
	Days  []Day
}

// Last returns the last day of s; for an empty series, the day before First.
func (s Series) Last() civil.Date { return s.First + civil.Date(len(s.Days)) - 1 }

// Span returns the days s covers.
func (s Series) Span() civil.Span { return civil.Span{First: s.First, Last: s.Last()} }

// At returns the day on d, [Missing] if s does not cover it.
func (s Series) At(d civil.Date) Day {
	if i := int(d - s.First); i >= 0 && i < len(s.Days) {
		return s.Days[i]
	}
	return Missing
}

// Until returns the part of s up to and including d. It shares memory with s.
func (s Series) Until(d civil.Date) Series {
	n := min(max(int(d-s.First)+1, 0), len(s.Days))
	return Series{First: s.First, Days: s.Days[:n:n]}
}

// Put sets the day d, growing s at either end with missing days as needed.
func (s *Series) Put(d civil.Date, day Day) {
	if len(s.Days) == 0 {
		s.First = d
	}
	if d < s.First {
		*s = widen(*s, civil.Span{First: d, Last: d})
	}
	for s.Last() < d {
		s.Days = append(s.Days, Missing)
	}
	s.Days[d-s.First] = day
}

// Rounded returns a series in hundredths of a degree: more digits would claim what no thermometer knows.
func (s Series) Rounded() Series {
	s = s.clone()
	for i := range s.Days {
		d := &s.Days[i]
		d.Min, d.Max = math.Round(d.Min*100)/100, math.Round(d.Max*100)/100
	}
	return s
}

func (s Series) clone() Series { return Series{First: s.First, Days: slices.Clone(s.Days)} }

// missingDays returns a series of so many days of which nothing is known.
func missingDays(first civil.Date, days int) Series {
	return Series{First: first, Days: slices.Repeat([]Day{Missing}, days)}
}
