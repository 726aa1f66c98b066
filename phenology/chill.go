package phenology

import "math"

// Winter cold that a tree must have had before warmth can wake it is reckoned in several units, and none converts to
// another. All functions here take degrees Celsius and give NaN for NaN.

// The bounds of the temperatures that count as chilling hours, 32 and 45 F.
const (
	chillHourLow  = 0.0 // degrees Celsius
	chillHourHigh = 7.2 // degrees Celsius
)

// ChillHours returns a day's chilling hours, in [0, 24]: the hours that the sine through minimum and maximum spends
// from 0 to 7.2 degrees Celsius, both included. An older form counts every hour below 7.2 and is larger wherever it
// freezes: do not compare the two.
//
// Source: Weinberger (1950), Chilling requirements of peach varieties, Proceedings of the American Society for
// Horticultural Science 56:122-128, who counted hours of a thermograph (from memory); the sine as in [HoursAbove].
func ChillHours(tmin, tmax float64) float64 {
	if tmin == chillHourLow && tmax == chillHourLow { // a day of 0 degrees lies on the bound, which is included
		return 24
	}
	return HoursAbove(tmin, tmax, chillHourLow) - HoursAbove(tmin, tmax, chillHourHigh)
}

// chillUnitBins are the upper ends of the temperatures, in degrees Celsius, that earn a number of chill units an hour.
// Each bin is open below and closed above; hotter than the last earns hottestChillUnits. The paper's Fahrenheit edges
// (34, 36, 48, 54, 60, 65) are up to 0.3 degrees away from these Celsius ones, which later work uses.
var chillUnitBins = [...]struct{ upTo, units float64 }{
	{1.4, 0}, {2.4, 0.5}, {9.1, 1}, {12.4, 0.5}, {15.9, 0}, {18, -0.5},
}

const hottestChillUnits = -1.0

// ChillUnits returns a day's chill units, in [-24, 24]. An hour earns most from 2.5 to 9.1 degrees Celsius, nothing in
// frost, and less than nothing in warmth, which undoes chilling; they are summed along the sine through minimum and
// maximum, in closed form instead of at 24 hours.
//
// Source: Richardson, Seeley & Walker (1974), A model for estimating the completion of rest for 'Redhaven' and
// 'Elberta' peach trees, HortScience 9:331-332 (from memory). Made for peach in Utah; where winters are mild its
// negative units can leave a whole winter at nothing.
func ChillUnits(tmin, tmax float64) float64 {
	// Passing the upper end of a bin changes the rate by the next bin's units less this one's, for as long as the sine
	// stays above it.
	units := 24 * chillUnitBins[0].units
	for i, bin := range chillUnitBins {
		next := hottestChillUnits
		if i+1 < len(chillUnitBins) {
			next = chillUnitBins[i+1].units
		}
		units += (next - bin.units) * HoursAbove(tmin, tmax, bin.upTo)
	}
	return units
}

// IsChillDay reports whether a day counts as a chill day: its mean of minimum and maximum is at or below threshold. A
// day without a mean (NaN) is none; whoever counts must see to the gaps.
//
// Source: Cannell & Smith (1983), Thermal time, chill days and prediction of budburst in Picea sitchensis, Journal of
// Applied Ecology 20:951-963, with a threshold of 5 degrees Celsius and counted from 1 November (seen in its summary).
// For sugar maple over its range Raulier & Bernier (2000), Canadian Journal of Forest Research 30, use 10 degrees from
// 1 December (seen in its summary).
func IsChillDay(mean, threshold float64) bool { return mean <= threshold }

// TriangularChilling is a rate of chilling that rises in a straight line from none at Low to 1 at Optimum and falls to
// none at High, all in degrees Celsius with Low < Optimum < High. Rates are for a day of a mean temperature; their sum
// is compared with a chilling requirement.
type TriangularChilling struct{ Low, Optimum, High float64 }

// SarvasChilling is the triangle that Hänninen drew through Sarvas' measurements on Finnish trees.
//
// Source: Sarvas (1974), Investigations on the annual cycle of development of forest trees II, Communicationes
// Instituti Forestalis Fenniae 84.1; Hänninen (1990), Modelling bud dormancy release in trees from cool and temperate
// regions, Acta Forestalia Fennica 213; Kramer (1994), Plant, Cell and Environment 17:367-377. All from memory, with
// doubt about the optimum: it is also quoted as 5 degrees, and Kramer fitted it to each species.
var SarvasChilling = TriangularChilling{Low: -3.4, Optimum: 3.5, High: 10.4}

// Rate returns the chilling of a day of a mean temperature, in [0, 1].
func (c TriangularChilling) Rate(mean float64) float64 {
	switch {
	case math.IsNaN(mean):
		return math.NaN()
	case mean <= c.Low || mean >= c.High:
		return 0
	case mean <= c.Optimum:
		return (mean - c.Low) / (c.Optimum - c.Low)
	}
	return (c.High - mean) / (c.High - c.Optimum)
}

// SigmoidForcing is a rate of forcing that rises with temperature in an S from nothing to Ceiling; at Midpoint, in
// degrees Celsius, it is half of that, and there it rises by Steepness x Ceiling / 4 for each degree. At 0 degrees and
// below it is nothing by rule, since no bud grows in frost.
type SigmoidForcing struct{ Ceiling, Steepness, Midpoint float64 }

// SarvasForcing is the curve through Sarvas' measurements of forcing on Finnish trees. They were of spring
// temperatures: much above 25 degrees Celsius it is extrapolated.
//
// Source: Sarvas (1972), Investigations on the annual cycle of development of forest trees: active period,
// Communicationes Instituti Forestalis Fenniae 76.3; as a formula in Hänninen (1990) and Kramer (1994), named at
// [SarvasChilling]. From memory.
var SarvasForcing = SigmoidForcing{Ceiling: 28.4, Steepness: 0.185, Midpoint: 18.4}

// Rate returns the forcing of a day of a mean temperature, in [0, Ceiling): forcing units a day.
func (f SigmoidForcing) Rate(mean float64) float64 {
	if mean <= 0 {
		return 0
	}
	return f.Ceiling / (1 + math.Exp(-f.Steepness*(mean-f.Midpoint)))
}
