package tapping

import (
	"treewhen/phenology"
	"treewhen/phenology/civil"
)

// usualReach is over how many days to either side runs are averaged to say what is usual.
const usualReach = 7

// Usual returns how likely sap runs on each of so many days of the season from one on, in the other years of the
// record, a fortnight averaged; zeros where there is no record.
func (s *Season) Usual(first phenology.SeasonDay, days int) []float64 {
	last := first + phenology.SeasonDay(days) - 1
	often := make([]float64, days)
	t := s.Place.Outlook.Temps
	if t == nil {
		return often
	}
	years := 0
	season := phenology.SeasonAt(s.Place.Outlook.Site, t.Series().First)
	for ; season.Anchor() <= t.Last(); season.Year++ {
		span := civil.Span{First: season.Date(first - usualReach), Last: season.Date(last + usualReach)}
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
