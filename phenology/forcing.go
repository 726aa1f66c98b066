package phenology

import (
	"fmt"
	"math"
	"sync/atomic"

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

// sumList keeps what was summed of each forcing. All models of a library ask for some dozens of forcings, and of so
// many a list finds one sooner than a map, which would have to hash a dozen numbers and words first. Several goroutines
// may look at once. Whoever keeps sums holds a lock, and has summed them: from then on they are seen, and stay as they
// are.
type sumList[S any] struct{ list atomic.Pointer[[]summed[S]] }

type summed[S any] struct {
	forcing forcing
	sums    S
}

func (l *sumList[S]) of(f *forcing) (sums S, ok bool) {
	if list := l.list.Load(); list != nil {
		for i := range *list {
			if one := &(*list)[i]; one.forcing == *f {
				return one.sums, true
			}
		}
	}
	return sums, false
}

func (l *sumList[S]) keep(f forcing, sums S) {
	var list []summed[S]
	if kept := l.list.Load(); kept != nil {
		list = *kept
	}
	list = append(list, summed[S]{f, sums})
	l.list.Store(&list)
}

func (l *sumList[S]) forget() { l.list.Store(nil) }

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
	sum, base := sums[0], f.base
	sums = sums[1 : len(days)+1]
	if f.method == AverageForcing {
		for i := range days {
			if over := (days[i].Min+days[i].Max)/2 - base; over > 0 { // not so where a value is missing
				sum += over
			}
			sums[i] = sum
		}
		return
	}
	for i := range days {
		low, high := days[i].Min, days[i].Max
		switch {
		case low >= base && high >= base:
			sum += (low+high)/2 - base
		case low < high && high > base:
			sum += sineAcross(low, high, base)
		case high < low && low > base:
			sum += sineAcross(high, low, base)
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
