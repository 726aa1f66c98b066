package phenology

import (
	"fmt"
	"math"

	"treewhen/phenology/weather"
)

// ForcingMethod is how a day's warmth above a base is reckoned from its minimum and maximum.
type ForcingMethod string

// The ways of reckoning a day's warmth.
const (
	SineForcing    ForcingMethod = "sine"    // integrate a sine through minimum and maximum over the base
	AverageForcing ForcingMethod = "average" // mean of minimum and maximum, less the base, not below 0

	TriangleForcing ForcingMethod = "triangle" // straight lines from minimum to maximum and back, over the base
)

// The ways of reckoning what else a model sums up day by day.
const (
	chillDayMethod  ForcingMethod = "chill days"
	chillRateMethod ForcingMethod = "chill rate"
	chillHourMethod ForcingMethod = "chill hours"
	chillUnitMethod ForcingMethod = "chill units" // the one that can fall
	sigmoidMethod   ForcingMethod = "sigmoid"
	coolingMethod   ForcingMethod = "cooling"
	meanMethod      ForcingMethod = "mean"
)

// forcing names a way of turning a day into a number that models sum: its warmth, its cold. Which fields count depends
// on the method.
type forcing struct {
	method   ForcingMethod
	base     float64     // degrees Celsius
	upper    float64     // degrees Celsius, with a cut-off; hours, with cooling
	middle   float64     // the optimum of a chill rate, the steepness of a sigmoid, the power of cooling
	exponent float64     // of day length
	cutoff   UpperCutoff // "" for none
	inverse  bool        // cooling: shorter days count more
	run      runKey      // sap runs: the rule that is summed
}

// byDayLength reports whether the forcing depends on the length of days.
func (f forcing) byDayLength() bool { return f.exponent != 0 || f.method == coolingMethod }

// isPlain reports whether [forcing.sumPlain] can sum the forcing: degree-days by the sine or the average, and nothing
// else.
func (f forcing) isPlain() bool {
	return f.exponent == 0 && f.cutoff == "" && (f.method == SineForcing || f.method == AverageForcing)
}

// sumPlain sums up days as [forcing.of] has them, bit for bit, from sums[0] on. Nearly all that is ever dated is
// dated by such sums, and on most days the base is not between minimum and maximum, which takes an addition instead
// of a call.
func (f forcing) sumPlain(sums []float64, days []weather.Day) {
	sum, base, sine := sums[0], f.base, f.method == SineForcing
	sums = sums[1 : len(days)+1]
	for i := range days {
		d := &days[i]
		switch {
		case d.Min >= base && d.Max >= base:
			sum += (d.Min+d.Max)/2 - base
		case d.Min <= base && d.Max <= base:
		case !d.Complete():
		case sine:
			sum += SineDegreeDays(d.Min, d.Max, base)
		default:
			sum += AverageDegreeDays(d.Min, d.Max, base)
		}
		sums[i] = sum
	}
}

// of returns what a complete day of so many hours of daylight adds.
func (f forcing) of(d weather.Day, daylight float64) float64 {
	switch f.method {
	case SineForcing, AverageForcing, TriangleForcing:
		w := f.degreeDays(d)
		switch f.exponent {
		case 0:
		case 1:
			w *= daylight / 12
		case 2:
			w *= daylight / 12 * (daylight / 12)
		default:
			w *= math.Pow(daylight/12, f.exponent)
		}
		return w
	case chillDayMethod:
		if IsChillDay(d.Mean(), f.base) {
			return 1
		}
		return 0
	case chillRateMethod:
		return TriangularChilling{Low: f.base, Optimum: f.middle, High: f.upper}.Rate(d.Mean())
	case chillHourMethod:
		return ChillHours(d.Min, d.Max)
	case chillUnitMethod:
		return ChillUnits(d.Min, d.Max)
	case sigmoidMethod:
		return SigmoidForcing{Ceiling: f.upper, Steepness: f.middle, Midpoint: f.base}.Rate(d.Mean())
	case coolingMethod:
		return f.cooling(d.Mean(), daylight)
	case meanMethod:
		return d.Mean()
	}
	panic(fmt.Sprintf("phenology: no forcing %q", string(f.method)))
}

func (f forcing) degreeDays(d weather.Day) float64 {
	switch {
	case f.method == AverageForcing && f.cutoff == "":
		return AverageDegreeDays(d.Min, d.Max, f.base)
	case f.method == AverageForcing:
		// The plain practice with averages: extremes above the upper threshold are set to it first.
		return AverageDegreeDays(min(d.Min, f.upper), min(d.Max, f.upper), f.base)
	case f.method == TriangleForcing && f.cutoff == "":
		return TriangleDegreeDays(d.Min, d.Max, f.base)
	case f.method == TriangleForcing:
		return TriangleCutoffDegreeDays(d.Min, d.Max, f.base, f.upper, f.cutoff)
	case f.cutoff != "":
		return CutoffDegreeDays(d.Min, d.Max, f.base, f.upper, f.cutoff)
	}
	return SineDegreeDays(d.Min, d.Max, f.base)
}

// cooling is the daily rate of [AutumnCooling].
func (f forcing) cooling(mean, daylight float64) float64 {
	if daylight >= f.upper || mean >= f.base {
		return 0
	}
	share := daylight / f.upper
	if f.inverse {
		share = 1 - share
	}
	return math.Pow(f.base-mean, f.middle) * math.Pow(share, f.exponent)
}
