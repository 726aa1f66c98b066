package weather

import (
	"fmt"
	"math"
)

// wideScale decides what the numbers of GHCN-Daily's form with a row for each day are, since the form does not say.
//
// Tenths of a degree give themselves away by their size: 150 is a mild day in tenths of a degree Celsius and no
// temperature in whole degrees. Near freezing the daily range tells: minimum and maximum are some 5 to 15 degrees
// Celsius apart on average, 50 to 150 in tenths, 10 to 30 in Fahrenheit (common practice, no source).
func (f *file) wideScale(point bool) scale {
	e := f.days.weigh(math.Inf(-1), math.Inf(1))
	if e.values == 0 {
		return celsius
	}
	coldestF, hottestF := fahrenheit.bounds()
	const enough = 10   // days for a mean daily range
	const apart = 40.0  // in a mean daily range: above, tenths; well below, whole degrees
	const surely = 25.0 // below this, whole degrees
	run := number(e.coldest) + " to " + number(e.hottest)
	decide := func(s scale, why string, args ...any) scale {
		f.notes.add(NoteUnit, 0, "TMAX and TMIN are read as %s: %s", s, fmt.Sprintf(why, args...))
		return s
	}
	isTenths := !point && (e.hottest > hottestF || e.coldest < coldestF)
	byRange := !point && e.days >= enough && e.meanRange >= apart
	wholeByRange := e.days >= enough && e.meanRange <= surely
	if f.opts.Unit == Fahrenheit {
		if isTenths {
			f.problems.add(e.hottestLine, "TMAX", "leave the unit out", "found values from %s, which are tenths of a "+
				"degree Celsius, but degrees Fahrenheit were asked for", run)
			return scale{}
		}
		return decide(fahrenheit, "asked for")
	}
	switch {
	case isTenths:
		return decide(tenths, "values from %s are too large for whole degrees", run)
	case byRange:
		return decide(tenths, "the maximum is %.0f above the minimum on average, too much for whole degrees",
			e.meanRange)
	case f.opts.Unit == Celsius && point:
		return decide(celsius, "asked for, and written with decimals")
	case f.opts.Unit == Celsius && e.hottest > hottestAir:
		return decide(tenths, "degrees Celsius were asked for, and values from %s are too large for whole ones", run)
	case f.opts.Unit == Celsius && wholeByRange:
		return decide(celsius, "asked for, and the maximum is %.0f above the minimum on average", e.meanRange)
	case f.opts.Unit == Celsius:
		f.problems.add(0, "", "read more days of this station", "the file has too few days to tell whole degrees "+
			"Celsius from tenths: %s, with values from %s", plural(e.days, "complete day"), run)
		return scale{}
	case e.hottest > hottestAir && (point || wholeByRange):
		return decide(fahrenheit, "values from %s are too hot for degrees Celsius and too small for tenths", run)
	case point && e.hottest <= likelyHottest && wholeByRange && e.meanRange < 16:
		return decide(celsius, "values from %s are written with decimals, as orders in metric units are", run)
	}
	f.problems.add(0, "", "give the file's unit: F or C", "the file does not say whether its values, from %s, are "+
		"degrees Fahrenheit or Celsius, and they fit both, want F or C", run)
	return scale{}
}
