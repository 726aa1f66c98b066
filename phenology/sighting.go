package phenology

import (
	"math"

	"treewhen/phenology/civil"
)

// Sighting is a phase that the user saw.
type Sighting struct {
	Date    civil.Date
	Site    string // Site.ID
	Species string // Species.ID
	Phase   Phase
	Note    string
}

// Sightings are what the user saw, at any number of sites.
type Sightings []Sighting

// Until returns the sightings up to and including a day.
func (s Sightings) Until(d civil.Date) Sightings {
	var kept Sightings
	for _, one := range s {
		if one.Date <= d {
			kept = append(kept, one)
		}
	}
	return kept
}

// seasonOf returns the season to which a phase seen on a date belongs: the one whose usual day of that phase is
// nearest, since seed that falls in March is last year's.
func seasonOf(site Site, r *PhaseRecord, d civil.Date) Season {
	season := SeasonAt(site, d)
	usual := 182.0
	if len(r.References) > 0 {
		usual = r.References[0].Day
	} else if r.Months != nil {
		first, last := r.Months.days()
		usual = (first + last) / 2
	} else {
		return season
	}
	season.Year += int(math.Round((season.Day(d).End() - usual) / 365))
	return season
}
