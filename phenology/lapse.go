package phenology

import (
	"fmt"
	"math"
	"slices"
	"strings"
	"time"

	"treewhen/phenology/weather"
)

// LapseRate is how much colder it gets with height, month by month, minima and maxima apart: degrees Celsius for each
// kilometre up. Positive is colder above.
//
// Minima need rates of their own. On clear calm nights cold air drains into the valleys, and the slope above can be
// warmer than the floor: the sign of the minimum's rate turns over. A monthly rate is the middle of such nights and
// windy ones; it dates a season's warmth well and a single night's frost badly.
type LapseRate struct {
	Min, Max [12]float64 // degrees Celsius per kilometre, January first
	Source   Source
}

// DefaultLapseRate returns rates for where no two stations tell better: maxima 7.0 from March to October and 6.0 from
// November to February, minima 4.0 all year; in the southern hemisphere half a year later.
//
// The round figures are our choice between published ones: 7 for maxima and 3 for minima in the southern Appalachians
// (Bolstad and others 1998, Agricultural and Forest Meteorology 91:161-176, seen in its summary); 3.9 to 5.2 for the
// year's means, 6.5 to 7.5 for maxima in spring and 2.5 to 3.5 for minima in late summer on the windward Cascades
// (Minder, Mote & Lundquist 2010, Journal of Geophysical Research 115:D14122, figures seen); and
// 6.5, the standard atmosphere's below 11 km, a mean of free air at all hours, which taken for minima makes high sites
// too cold at night and invents freezes (ISO 2533:1975, Standard Atmosphere, and ICAO Doc 7488, from memory).
func DefaultLapseRate(southern bool) LapseRate {
	rate := LapseRate{Source: Source{
		Key: "lapse-default",
		Citation: "round figures between Bolstad and others (1998), Agricultural and Forest Meteorology 91:161, " +
			"Minder and others (2010), Journal of Geophysical Research 115:D14122, and the standard atmosphere",
		Mark: MarkComputed,
	}}
	for i := range 12 {
		rate.Min[i], rate.Max[i] = 4, 7
		month := time.Month(i + 1)
		if southern {
			month = time.Month((i+6)%12 + 1)
		}
		if month >= time.November || month <= time.February {
			rate.Max[i] = 6
		}
	}
	return rate
}

// Adjust returns day, measured at one height, as it would have been metres higher (lower, if negative) in a month. A
// value that is missing stays missing. A day that has any value is marked [weather.Adjusted].
//
// Going up, maxima usually lose more than minima, and a day of small range can be left with its minimum above its
// maximum; both then become their mean, so that the day's mean is kept. It panics if month is no month.
func (r LapseRate) Adjust(day weather.Day, month time.Month, metres float64) weather.Day {
	if month < time.January || month > time.December {
		panic(fmt.Sprintf("phenology: no month %d", int(month)))
	}
	if metres == 0 || (math.IsNaN(day.Min) && math.IsNaN(day.Max)) {
		return day
	}
	moved := weather.Day{
		Min:   day.Min - r.Min[month-1]*metres/1000,
		Max:   day.Max - r.Max[month-1]*metres/1000,
		Flags: day.Flags | weather.Adjusted,
	}
	if moved.Min > moved.Max && day.Min <= day.Max {
		moved.Min, moved.Max = moved.Mean(), moved.Mean()
	}
	return moved
}

// What [LapseFromStations] asks of its stations. Common practice, no source; the reasons stand beside each.
const (
	// A thermometer's own offset, half a degree and more between good stations, counts as 5 degrees per kilometre over
	// 100 m. Below that height the offset is all one sees, and 300 m are better.
	leastHeightDifference = 100.0 // metres
	// The median of 20 daily differences with a spread of 3 degrees is known to about 0.8 degrees.
	leastDaysAMonth = 20
	// Dry air cannot stay steeper than 9.8 degrees per kilometre (the dry adiabat); inversions seldom outlast a month.
	// Rates outside these bounds come from stations that differ by more than height.
	steepestLapseRate, leastLapseRate = 12.0, -12.0 // degrees Celsius per kilometre
)

// LapseFromStations estimates lapse rates from two stations' daily series at different elevations, in metres, and tells
// on how many shared days they rest. Only days count that both stations observed and nobody doubts or has altered
// (a value moved to its right date counts). Each month's rate is the median of the daily differences, so that single
// inversions and slips do not pull it; the twelve are smoothed by their mean and first harmonic, the year's one wave.
//
// It refuses, saying why, if high is not at least 100 m above low, if any month of the year has fewer than 20 shared
// days, or if a rate comes out that height alone cannot make (beyond 12 degrees per kilometre either way).
func LapseFromStations(low, high weather.Series, lowElevation, highElevation float64) (
	rate LapseRate, n int, err error) {
	climb := highElevation - lowElevation
	if !(climb >= leastHeightDifference) || math.IsInf(climb, 0) {
		return LapseRate{}, 0, fmt.Errorf("lapse rate: found stations at %.0f m and %.0f m, want the second at least "+
			"%.0f m above the first", lowElevation, highElevation, leastHeightDifference)
	}

	var minima, maxima [12][]float64 // degrees Celsius per kilometre, day by day
	shared := low.Span().Intersect(high.Span())
	for d := shared.First; d <= shared.Last; d++ {
		below, above := low.At(d), high.At(d)
		if !observed(below) || !observed(above) {
			continue
		}
		month := d.Month() - 1
		minima[month] = append(minima[month], (below.Min-above.Min)/climb*1000)
		maxima[month] = append(maxima[month], (below.Max-above.Max)/climb*1000)
		n++
	}
	var short []string
	for i := range minima {
		if days := len(minima[i]); days < leastDaysAMonth {
			short = append(short, fmt.Sprintf("%s %d", time.Month(i+1), days))
		}
	}
	if short != nil {
		return LapseRate{}, n, fmt.Errorf("lapse rate: found too few days that both stations observed (%s), want at "+
			"least %d in every month of the year", strings.Join(short, ", "), leastDaysAMonth)
	}

	rate.Min, rate.Max = smoothYear(medians(minima)), smoothYear(medians(maxima))
	for _, of := range []struct {
		what  string
		rates [12]float64
	}{{"minima", rate.Min}, {"maxima", rate.Max}} {
		for i, r := range of.rates {
			if !(r >= leastLapseRate && r <= steepestLapseRate) {
				return LapseRate{}, n, fmt.Errorf("lapse rate: found %.1f C per km for the %s of %s, want %.0f to "+
					"%.0f: the stations differ by more than their height", r, of.what, time.Month(i+1), leastLapseRate,
					steepestLapseRate)
			}
		}
	}
	rate.Source = Source{
		Key:      "lapse-stations",
		Citation: fmt.Sprintf("two stations %.0f m apart in height, %d shared days", climb, n),
		Mark:     MarkFitted,
	}
	return rate, n, nil
}

// observed reports whether both values of a day were read off a thermometer and stand as they were read.
func observed(d weather.Day) bool { return d.Complete() && d.Flags&^weather.Shifted == 0 }

func medians(months [12][]float64) (middle [12]float64) {
	for i, values := range months {
		slices.Sort(values)
		h := len(values) / 2
		middle[i] = values[h]
		if len(values)%2 == 0 {
			middle[i] = (values[h-1] + values[h]) / 2
		}
	}
	return middle
}

// smoothYear keeps of twelve monthly values their mean and first harmonic, which over equal steps are least-squares
// fits and need no solving.
func smoothYear(months [12]float64) (smooth [12]float64) {
	var mean, cosine, sine float64
	for i, v := range months {
		s, c := math.Sincos(2 * math.Pi * float64(i) / 12)
		mean, cosine, sine = mean+v/12, cosine+v*c/6, sine+v*s/6
	}
	for i := range smooth {
		s, c := math.Sincos(2 * math.Pi * float64(i) / 12)
		smooth[i] = mean + cosine*c + sine*s
	}
	return smooth
}
