package weather

import (
	"fmt"
	"math"
	"slices"

	"treewhen/phenology/civil"
)

// Bounds of a spike; which records are the clean ones stands beside the bounds in quality.go.
const (
	// A spike counts in standard deviations of the season's day-to-day changes. Clean records reach 3.3; the manual
	// station of Harvard Forest has three beyond 3.8, all absurd: -13 C between nights of 1 and 2 C in May is the
	// mildest.
	spikeBound  = 3.8
	spikeChange = 5.0 // degrees Celsius; smaller ones do no harm, and a steady climate would have many
)

// checkSpikes looks for single values far off those of the days on both sides. What the day's other value shares is
// taken off first: a front moves both. Days whose unit is in doubt are left alone.
func checkSpikes(s Series, doubted []civil.Span) []Finding {
	var found []Finding
	at := func(v values, i int) float64 {
		if i < 0 || i >= len(s.Days) || s.Days[i].Flags.Invented() {
			return math.NaN()
		}
		return *v.of(&s.Days[i])
	}
	for which, v := range bothValues {
		other := bothValues[1-which]
		var dates []civil.Date
		worst, worstShare := 0, 0.0
		scale := seasonalChange(s, v)
		yday := newYearDays(s.First)
		for i := range s.Days {
			usual := scale[monthOf[yday.next()]]
			size := spike(at(v, i-1), at(v, i), at(v, i+1))
			if !(math.Abs(size) > spikeChange) { // also where it is NaN
				continue
			}
			if shared := spike(at(other, i-1), at(other, i), at(other, i+1)); shared*size > 0 {
				size = math.Copysign(max(math.Abs(size)-math.Abs(shared), 0), size)
			}
			if share := math.Abs(size) / usual; share > spikeBound && math.Abs(size) > spikeChange &&
				!within(doubted, s.First+civil.Date(i)) {
				dates = append(dates, s.First+civil.Date(i))
				if share > worstShare {
					worst, worstShare = i, share
				}
			}
		}
		if dates == nil {
			continue
		}
		f := finding(FindingSpike, dates)
		f.Text = fmt.Sprintf("%s of %s far off the days on both sides: %s; the worst, %s on %v between %s and %s, is "+
			"%.1f times the season's usual change from day to day off",
			plural(len(dates), "value"), v.name, some(dates), degrees(at(v, worst)), s.First+civil.Date(worst),
			degrees(at(v, worst-1)), degrees(at(v, worst+1)), worstShare)
		f.suggest(v.leaveOut(dates))
		found = append(found, f)
	}
	return found
}

func within(spans []civil.Span, d civil.Date) bool {
	return slices.ContainsFunc(spans, func(s civil.Span) bool { return s.Contains(d) })
}

// spike returns how far v is above both its neighbours, or, negative, below both; 0 if it is between them.
func spike(before, v, after float64) float64 {
	a, b := v-before, v-after
	switch {
	case a > 0 && b > 0:
		return min(a, b)
	case a < 0 && b < 0:
		return max(a, b)
	case math.IsNaN(a + b):
		return math.NaN()
	}
	return 0
}

// seasonalChange returns the standard deviation of a value's change from day to day about each month of the year,
// robust and not below a degree.
func seasonalChange(s Series, v values) (scale [12]float64) {
	var byMonth [12][]float64
	yday := newYearDays(s.First)
	for _, c := range changes(s, v.of) {
		if m := monthOf[yday.next()]; !math.IsNaN(c) {
			byMonth[m] = append(byMonth[m], c)
		}
	}
	for m := range scale {
		around := slices.Concat(byMonth[(m+11)%12], byMonth[m], byMonth[(m+1)%12])
		scale[m] = 1
		if len(around) > 0 {
			scale[m] = max(spreadOf(around), 1)
		}
	}
	return scale
}
