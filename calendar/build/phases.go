package build

import (
	"treewhen/calendar/inputs"
	"treewhen/phenology"
)

// Phases dates the phases of a site's species in a season; 0 is the one that the as-of day lies in.
func Phases(in *inputs.Inputs, pl *inputs.Place, season int) (list []phenology.Estimates) {
	if season == 0 {
		season = phenology.SeasonAt(pl.Site.Site, in.AsOf).Year
	}
	outlook := in.Outlook(pl)
	for _, sp := range pl.Species {
		list = append(list, outlook.Estimate(sp, season))
	}
	return list
}
