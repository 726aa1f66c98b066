package weather

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"treewhen/phenology/civil"
)

// Source is one series among those that make up a site's.
type Source struct {
	Name   string // as reports call it: the file
	Series Series
	// metres, of the thermometer; nil where it is not known, or Series was already moved to the site's
	Elevation *float64
}

// JoinReport tells what [Join] did with one source.
type JoinReport struct {
	Name     string
	Span     civil.Span // that the source covers
	Used     int        // days of the joined series that have a value from it
	Reversed int        // days not taken, since their minimum is above their maximum
	Dropped  int        // values not taken, since with them a day's minimum would be above its maximum
	Min, Max JoinOffset // of a source after the first
	climb    float64    // metres from the sources before it up to this one, 0 where not known
	first    bool
}

// JoinOffset is how a source differs from those more trusted, for minima or for maxima.
type JoinOffset struct {
	Days   int            // shared days that it rests on; fewer than 20 give none
	Span   civil.Span     // from the first to the last of them
	Added  SeasonalOffset // degrees Celsius, added to the source's values; zero where none was estimated
	Spread float64        // standard deviation of the daily differences that are left, robust; degrees Celsius
	Lag    int            // days by which the source's values look dated late against the others; 0 unless it is clear
	// Mean absolute difference between the day-to-day changes of both if the source's values are dated one day early,
	// right, and one day late; degrees Celsius.
	LagErrors [3]float64
}

// Known reports whether an offset could be estimated.
func (o JoinOffset) Known() bool { return o.Days >= offsetDays }

// Join makes one series of several, which come in order of trust: a value comes from the first source that has one.
// Minima and maxima are taken apart, so that a day can have them from two.
//
// Days whose minimum is above their maximum are not taken: one of the two is wrong, and nothing says which.
//
// A source that shares 20 days or more with the more trusted ones, joined so far, is first moved to their level by the
// difference found on these days, which swings once a year about its mean; its values are then marked [Adjusted]. One
// that shares fewer is taken as it is. Nothing is moved to another day: where a source looks misdated, the difference
// is taken at the dating that fits, and the report says so. See [Correction] for what a user may order.
func Join(sources []Source) (Series, []JoinReport) {
	var joined Series
	reports := make([]JoinReport, len(sources))
	var height *float64 // of the most trusted source
	for i, s := range sources {
		r := &reports[i]
		*r = JoinReport{Name: s.Name, Span: s.Series.Span()}
		s.Series, r.Reversed = usable(s.Series)
		if len(s.Series.Days) == 0 {
			continue
		}
		if len(joined.Days) == 0 {
			joined = s.Series.clone()
			r.first, r.Used, height = true, withValues(joined), s.Elevation
			continue
		}
		if height != nil && s.Elevation != nil {
			r.climb = *s.Elevation - *height
		}
		c := compare(joined, s.Series)
		r.Min, r.Max = c.min.JoinOffset, c.max.JoinOffset
		joined = widen(joined, s.Series.Span())
		r.take(&joined, s.Series)
	}
	return joined, reports
}

// Merge makes one series of the files of one station: a value comes from the first that has it, and nothing is moved.
// Days whose minimum is above their maximum are not taken, here too.
func Merge(parts ...Series) Series {
	var merged Series
	for _, s := range parts {
		s, _ = usable(s)
		switch {
		case len(s.Days) == 0:
		case len(merged.Days) == 0:
			merged = s.clone()
		default:
			merged = widen(merged, s.Span())
			new(JoinReport).take(&merged, s)
		}
	}
	return merged
}

// usable returns s without the days whose minimum is above their maximum, and how many those are. It shares memory
// with s.
func usable(s Series) (Series, int) {
	reversed := 0
	for i := range s.Days {
		if !s.Days[i].Reversed() {
			continue
		}
		if reversed == 0 {
			s.Days = slices.Clone(s.Days)
		}
		s.Days[i].Min, s.Days[i].Max = math.NaN(), math.NaN()
		reversed++
	}
	return s, reversed
}

// take fills what the joined series lacks from s.
func (r *JoinReport) take(joined *Series, s Series) {
	from := int(s.First - joined.First)
	yday := newYearDays(s.First)
	for i := range s.Days {
		today := yday.next()
		day, own := &joined.Days[from+i], s.Days[i]
		lacksMin := math.IsNaN(day.Min) && !math.IsNaN(own.Min)
		lacksMax := math.IsNaN(day.Max) && !math.IsNaN(own.Max)
		if !lacksMin && !lacksMax {
			continue
		}
		low, high := own.Min+r.Min.Added.at(today), own.Max+r.Max.Added.at(today)
		flags := own.Flags
		switch {
		case lacksMin && lacksMax:
			if low > high && own.Min <= own.Max { // small ranges are turned over by offsets that differ
				low = (low + high) / 2
				high = low
			}
			day.Min, day.Max = low, high
		case lacksMin:
			if low > day.Max {
				r.Dropped++
				continue
			}
			day.Min = low
		default:
			if high < day.Min {
				r.Dropped++
				continue
			}
			day.Max = high
		}
		if lacksMin && r.Min.Added != (SeasonalOffset{}) || lacksMax && r.Max.Added != (SeasonalOffset{}) {
			flags |= Adjusted
		}
		day.Flags |= flags
		r.Used++
	}
}

// yearDays walks through the days of the year, from 0 to 364, without asking the calendar each day.
type yearDays struct {
	date  civil.Date
	day   int
	turns civil.Date // the next day on which to ask
}

func newYearDays(first civil.Date) yearDays { return yearDays{date: first, turns: first} }

func (y *yearDays) next() int {
	if y.date >= y.turns {
		y.day = yearDay(y.date)
		_, m, _ := y.date.Date()
		y.turns = civil.Of(y.date.Year(), m+1, 1)
	} else if y.day++; y.day == 59 && y.date.Month() == 2 {
		y.day = 58 // 29 February counts as 28 February
	}
	y.date++
	return y.day
}

func withValues(s Series) int {
	n := 0
	for _, d := range s.Days {
		if !math.IsNaN(d.Min) || !math.IsNaN(d.Max) {
			n++
		}
	}
	return n
}

// widen returns s grown with missing days so that it covers a span.
func widen(s Series, to civil.Span) Series {
	first, last := min(s.First, to.First), max(s.Last(), to.Last)
	if first == s.First && last == s.Last() {
		return s
	}
	wide := missingDays(first, int(last-first)+1)
	copy(wide.Days[s.First-first:], s.Days)
	return wide
}

// String tells what was done in a sentence or two, without the source's name.
func (r JoinReport) String() string {
	var b strings.Builder
	leftOut := func() {
		if r.Reversed > 0 {
			fmt.Fprintf(&b, "; %s not taken, with the minimum above the maximum", plural(r.Reversed, "day"))
		}
	}
	switch {
	case r.Span.Empty():
		return "has no temperatures"
	case r.first:
		fmt.Fprintf(&b, "%s from %v to %v, as measured", plural(r.Used, "day"), r.Span.First, r.Span.Last)
		leftOut()
		return b.String()
	}
	fmt.Fprintf(&b, "%s that the sources before it lack, from %v to %v", plural(r.Used, "day"), r.Span.First,
		r.Span.Last)
	both := []struct {
		what string
		o    *JoinOffset
	}{{"minima", &r.Min}, {"maxima", &r.Max}}
	if !r.Min.Known() && !r.Max.Known() {
		fmt.Fprintf(&b, "; joined without an offset: it shares %s with those, and an offset needs %d",
			plural(max(r.Min.Days, r.Max.Days), "day"), offsetDays)
		both = both[:0]
	}
	for _, e := range both {
		if !e.o.Known() {
			fmt.Fprintf(&b, "; its %s without an offset: they share %s with those, and an offset needs %d", e.what,
				plural(e.o.Days, "day"), offsetDays)
			continue
		}
		low, high := e.o.Added.Range()
		if max(-low, high) < 0.05 {
			fmt.Fprintf(&b, "; its %s agree with those, on %d shared days", e.what, e.o.Days)
			continue
		}
		fmt.Fprintf(&b, "; its %s moved by %s C (%s to %s by month) to the level of those, from %d shared days, %v "+
			"to %v, that then differ by %s",
			e.what, signed(e.o.Added.Mean), signed(low), signed(high), e.o.Days, e.o.Span.First, e.o.Span.Last,
			degrees(e.o.Spread))
	}
	for _, e := range both {
		if e.o.Lag == 0 {
			continue
		}
		when, other := "late", "early"
		if e.o.Lag < 0 {
			when, other = other, when
		}
		fmt.Fprintf(&b, "; its %s are dated one day %s against those, or those one day %s against them; nothing was "+
			"moved to another day, and the offset was taken at the dating that fits",
			e.what, when, other)
	}
	leftOut()
	if r.Dropped > 0 {
		fmt.Fprintf(&b, "; %s not taken that would have put a minimum above a maximum", plural(r.Dropped, "value"))
	}
	if r.climb != 0 && !r.Min.Known() && !r.Max.Known() {
		where := "above"
		if r.climb < 0 {
			where = "below"
		}
		fmt.Fprintf(&b, "; its thermometer stands %.0f m %s the first one, which nothing makes up for",
			math.Abs(r.climb), where)
	}
	return b.String()
}
