package main

import (
	"math"

	"treewhen/phenology"
	"treewhen/phenology/fit"
)

// shifted is a phase's mean date shifted by the warmth of a part of the season, one slope for several series.
type shifted struct {
	DaysPerDegree float64
	Years         int     // of the longest series
	RMSE          float64 // days, root of the mean over series of the mean square error of years left out
	MeanRMSE      float64 // the same of the mean date of the other years
	Worse         []bool  // of each series: years left out are told worse by it than by the mean date
}

// shift fits the mean date of each of several series, and one slope for all of them, to the mean temperature from one
// day of the season to another. A year left out is left out of all series.
func shift(t *phenology.Temperatures, from, to phenology.SeasonDay, series [][]fit.Year) shifted {
	warmth := map[phenology.Season]float64{}
	var seasons []phenology.Season
	var kept [][]fit.Year
	for _, years := range series {
		var use []fit.Year
		for _, y := range years {
			if _, known := warmth[y.Season]; !known {
				w, ok := t.MeanOf(y.Season, from, to)
				if !ok {
					continue
				}
				warmth[y.Season] = w
				seasons = append(seasons, y.Season)
			}
			use = append(use, y)
		}
		kept = append(kept, use)
	}
	var s shifted
	s.DaysPerDegree, _ = slope(kept, warmth, nil)
	errors := make([]float64, len(kept))
	nulls := make([]float64, len(kept))
	counts := make([]float64, len(kept))
	for i := range seasons {
		b, means := slope(kept, warmth, &seasons[i])
		for k, years := range kept {
			for _, y := range years {
				if y.Season == seasons[i] {
					errors[k] += sq(means[k].day + b*(warmth[y.Season]-means[k].warmth) - y.Day)
					nulls[k] += sq(means[k].day - y.Day)
					counts[k]++
				}
			}
		}
	}
	for k, n := range counts {
		s.Worse = append(s.Worse, errors[k] > nulls[k])
		s.RMSE += errors[k] / n / float64(len(kept))
		s.MeanRMSE += nulls[k] / n / float64(len(kept))
		s.Years = max(s.Years, int(n))
	}
	s.RMSE, s.MeanRMSE = math.Sqrt(s.RMSE), math.Sqrt(s.MeanRMSE)
	return s
}

type mean struct{ day, warmth float64 }

// slope is the least-squares slope common to all series, each about its own mean, without a season.
func slope(series [][]fit.Year, warmth map[phenology.Season]float64, without *phenology.Season) (float64, []mean) {
	var xx, xy float64
	means := make([]mean, len(series))
	for k, years := range series {
		n := 0.0
		for _, y := range years {
			if without == nil || y.Season != *without {
				means[k].day += y.Day
				means[k].warmth += warmth[y.Season]
				n++
			}
		}
		means[k].day /= n
		means[k].warmth /= n
		for _, y := range years {
			if without == nil || y.Season != *without {
				dx := warmth[y.Season] - means[k].warmth
				xx += dx * dx
				xy += dx * (y.Day - means[k].day)
			}
		}
	}
	return xy / xx, means
}

func sq(x float64) float64 { return x * x }
