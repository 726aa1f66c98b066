package tapping

import (
	"treewhen/phenology"
	"treewhen/phenology/civil"
)

// usualReach is over how many days to either side runs are averaged to say what is usual.
const usualReach = 7

// Usual returns how likely sap runs on each day of the season from one to another in the other years of the record, a
// fortnight averaged; zeros where there is no record.
func (s *SapSeason) Usual(first, last int) []float64 {
	often := make([]float64, last-first+1)
	t := s.Place.Outlook.Temps
	if t == nil {
		return often
	}
	years := 0
	for season := phenology.SeasonAt(s.Place.Outlook.Site, t.Series().First); season.Anchor() <= t.Last(); season.Year++ {
		span := civil.Span{First: season.Date(float64(first - usualReach)), Last: season.Date(float64(last + usualReach))}
		if season.Year == s.Season.Year {
			continue
		}
		runs, ok := t.Runs(*s.Species.Sap.Run, span)
		if !ok {
			continue
		}
		years++
		for i := range often {
			for _, r := range runs[i : i+2*usualReach+1] {
				often[i] += r.Likelihood
			}
		}
	}
	for i := range often {
		often[i] /= float64(max(1, years) * (2*usualReach + 1))
	}
	return often
}
