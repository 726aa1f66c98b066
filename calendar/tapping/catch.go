package tapping

import (
	"math"

	"treewhen/phenology"
)

// OfBest returns what holes catch that are begun on a day, as a share of what those begun on the best day would have
// caught: the mean over the ways in which the season may go, each with its own best day of those from today on. It says
// what a choice is worth where a share of the season's run days counts thaws that no hole could have caught. NaN for a
// day that was not looked at.
func (d *Decision) OfBest(day phenology.SeasonDay) float64 {
	return d.meanOver(day, func(_ *phenology.SapYear, share, top float64) float64 {
		if top <= 0 {
			return 0
		}
		return share / top
	})
}

// Hours returns for how long sap can be expected to run into holes begun on a day, as hours of a fresh hole above
// freezing; NaN for a day that was not looked at.
func (d *Decision) Hours(day phenology.SeasonDay) float64 {
	return d.meanOver(day, func(y *phenology.SapYear, share, _ float64) float64 {
		return share * sum(y.Flow) * phenology.WholeThaw
	})
}

// meanOver is the mean over the ways of what is made of a way, of its share caught on a day, and of its best.
func (d *Decision) meanOver(
	day phenology.SeasonDay, of func(y *phenology.SapYear, share, top float64) float64,
) float64 {
	n, k := len(d.Curve), int(day-d.Terms.Today)
	if k < 0 || k >= n {
		return math.NaN()
	}
	sum := 0.0
	for i := range d.years {
		sum += of(&d.years[i], d.shares[i*n+k], d.tops[i])
	}
	return sum / float64(len(d.years))
}
