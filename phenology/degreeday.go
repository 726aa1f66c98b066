package phenology

import (
	"fmt"
	"math"
)

// The functions of this file turn a day's minimum and maximum into warmth. They share four habits: temperatures are
// degrees Celsius and results degree-days Celsius (a result in degrees Fahrenheit is 1.8 times as large); a NaN
// anywhere gives NaN, even where the other values would settle the answer; a minimum above its maximum is read as if
// the two had been written the other way round, since only the two extremes of the curve matter; nothing allocates.

// SineDegreeDays returns a day's degree-days above base: the area between base and a sine through the day's minimum
// and maximum, one cycle a day, in [0, +Inf).
//
// Source: Baskerville & Emin (1969), Rapid estimation of heat accumulation from maximum and minimum temperatures,
// Ecology 50:514-517; the closed form is from memory, and the test integrates the sine numerically beside it. The
// arcsine in it is taken by its series: see [sineAcross].
func SineDegreeDays(tmin, tmax, base float64) float64 {
	if tmin > tmax {
		tmin, tmax = tmax, tmin
	}
	mean := (tmin + tmax) / 2
	switch {
	case math.IsNaN(mean): // before the comparisons: a maximum below base would hide a missing minimum
		return math.NaN()
	case tmin >= base:
		return mean - base
	case tmax <= base:
		return 0
	}
	return sineAcross(tmin, tmax, base)
}

// AverageDegreeDays returns a day's degree-days above base as the mean of minimum and maximum less the base, not below
// 0: averaged first, then cut. It misses the warmth of an afternoon whose day is on average below base.
//
// Source: McMaster & Wilhelm (1997), Growing degree-days: one equation, two interpretations, Agricultural and Forest
// Meteorology 87:291-300, the first of the two interpretations (from memory).
func AverageDegreeDays(tmin, tmax, base float64) float64 {
	return max((tmin+tmax)/2-base, 0) // the builtin max passes NaN on
}

// TriangleDegreeDays returns a day's degree-days above base under straight lines from minimum to maximum and back. On
// a day whose minimum is below base it stays under the sine, which is broader at the top.
//
// Source: the single triangle, common practice; plane geometry.
func TriangleDegreeDays(tmin, tmax, base float64) float64 {
	if tmin > tmax {
		tmin, tmax = tmax, tmin
	}
	mean := (tmin + tmax) / 2
	switch {
	case math.IsNaN(mean):
		return math.NaN()
	case tmin >= base:
		return mean - base
	case tmax <= base:
		return 0
	}
	return (tmax - base) * (tmax - base) / (2 * (tmax - tmin))
}

// UpperCutoff is what becomes of a day's warmth while the temperature is above an upper threshold.
type UpperCutoff string

// The upper cut-offs, in the words of the degree-day handbooks.
const (
	HorizontalCutoff   UpperCutoff = "horizontal"   // development goes on at the upper threshold's rate
	IntermediateCutoff UpperCutoff = "intermediate" // development slows by as much as the temperature is above it
	VerticalCutoff     UpperCutoff = "vertical"     // development stops
)

// CutoffDegreeDays returns a day's degree-days above base by the sine of [SineDegreeDays], cut off above upper. It is
// never below 0. It panics if upper is below base or the cut-off is none of the three.
//
// Source: the three cut-offs as the University of California's integrated pest management pages on degree-days define
// them; their closed forms from memory. With S(x) the degree-days above x: horizontal S(base) - S(upper); intermediate
// S(base) - 2 S(upper), not below 0; vertical S(base) - S(upper) - (upper - base) x the part of the day above upper.
func CutoffDegreeDays(tmin, tmax, base, upper float64, cutoff UpperCutoff) float64 {
	under, over := SineDegreeDays(tmin, tmax, base), SineDegreeDays(tmin, tmax, upper)
	return cutOff(under, over, base, upper, HoursAbove(tmin, tmax, upper)/24, cutoff)
}

// TriangleCutoffDegreeDays is [CutoffDegreeDays] with the straight lines of [TriangleDegreeDays] in place of the sine.
func TriangleCutoffDegreeDays(tmin, tmax, base, upper float64, cutoff UpperCutoff) float64 {
	if tmin > tmax {
		tmin, tmax = tmax, tmin
	}
	hot := 0.0 // part of the day above the upper threshold
	switch {
	case tmin >= upper:
		hot = 1
	case tmax > upper:
		hot = (tmax - upper) / (tmax - tmin)
	}
	under, over := TriangleDegreeDays(tmin, tmax, base), TriangleDegreeDays(tmin, tmax, upper)
	return cutOff(under, over, base, upper, hot, cutoff)
}

// cutOff takes from the degree-days above base what a cut-off takes, given those above upper and the part of the day
// spent there.
func cutOff(under, over, base, upper, hot float64, cutoff UpperCutoff) float64 {
	if upper < base {
		panic(fmt.Sprintf("phenology: upper threshold %v below base %v", upper, base))
	}
	switch cutoff {
	case HorizontalCutoff:
		return max(under-over, 0)
	case IntermediateCutoff:
		return max(under-2*over, 0)
	case VerticalCutoff:
		return max(under-over-(upper-base)*hot, 0)
	}
	panic(fmt.Sprintf("phenology: unknown upper cut-off %q", string(cutoff)))
}

// HoursAbove returns for how many hours of the day the sine through minimum and maximum is above threshold, in
// [0, 24]. A day of one temperature is above only thresholds lower than it.
//
// Source: the sine of Baskerville & Emin (1969), as in [SineDegreeDays]; it is above the threshold between the two
// angles at which it crosses it.
func HoursAbove(tmin, tmax, threshold float64) float64 {
	if tmin > tmax {
		tmin, tmax = tmax, tmin
	}
	mean := (tmin + tmax) / 2
	switch {
	case math.IsNaN(mean):
		return math.NaN()
	case tmax <= threshold:
		return 0
	case tmin >= threshold:
		return 24
	}
	return 24 / math.Pi * math.Acos((threshold-mean)/((tmax-tmin)/2))
}
