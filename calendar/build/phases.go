package build

import (
	"treewhen/calendar/inputs"
	"treewhen/calendar/seed"
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

// StandPhases dates the phases of a site's stands, each of its own species, at its own height and with its own offset.
// Its site's id is that of site and stand, as observations write it.
func StandPhases(in *inputs.Inputs, pl *inputs.Place, season int) (list []phenology.Estimates) {
	if len(pl.Stands) == 0 {
		return nil
	}
	if season == 0 {
		season = phenology.SeasonAt(pl.Site.Site, in.AsOf).Year
	}
	for _, s := range in.Ready(pl).Stands {
		for _, sp := range s.Species {
			est := seed.Moved(s.Outlook.Estimate(sp, season), s.Offset)
			est.Site.ID, est.Site.Name = pl.Site.ID+"/"+s.ID, pl.Site.Name+", "+s.Name
			list = append(list, est)
		}
	}
	return list
}
