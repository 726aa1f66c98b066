package tapping

import (
	"treewhen/phenology"
	"treewhen/phenology/civil"
)

// Buds is how far the buds are: the warmth so far, as a share of what it takes to swell them, 1 and more once that is
// met.
type Buds struct {
	By    civil.Date `json:"by"` // the last observed day
	Share Share      `json:"share"`
	// by the same day in one, five and nine past years of ten
	P10   Share `json:"p10"`
	P50   Share `json:"p50"`
	P90   Share `json:"p90"`
	Years int   `json:"years"` // past years that tell
}

// budsFrom is the day of the season from which on buds are spoken of: before mid-February warmth does nothing to them.
const budsFrom = 46

// hardlyAny is a share of what swells buds that is not worth a word. Our own choice.
const hardlyAny = 0.015

// Buds says how far the buds are; nil where they are not dated by warmth, before mid-February and
// while there is no warmth yet, once sap is over, and where too few past years tell.
func (s *Season) Buds() *Buds {
	o := s.Place.Outlook
	if o.Temps == nil || s.Start.Basis == phenology.BasisNormals || s.IsOver() {
		return nil
	}
	by := min(o.Temps.Observed(), s.AsOf)
	day := s.Season.Day(by)
	if day < budsFrom || day > lastRunDay {
		return nil
	}
	share, ok := o.Progress(s.Species, s.Spoiler(), s.Season.Year, by)
	if !ok {
		return nil
	}
	var past []float64
	for year := phenology.SeasonAt(o.Site, o.Temps.Series().First).Year; year < s.Season.Year; year++ {
		if p, ok := o.Progress(s.Species, s.Spoiler(), year, o.Site.Season(year).Date(day)); ok {
			past = append(past, p)
		}
	}
	if len(past) < phenology.MinYears {
		return nil
	}
	if share < hardlyAny && phenology.QuantileOf(past, 0.9) < hardlyAny {
		return nil // as in every year by then
	}
	at := func(p float64) Share { return Share(phenology.QuantileOf(past, p)) }
	return &Buds{By: by, Share: Share(share), P10: at(0.1), P50: at(0.5), P90: at(0.9), Years: len(past)}
}
