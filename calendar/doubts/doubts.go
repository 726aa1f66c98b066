// Package doubts answers: what in a plan may well be a slip, though it can be worked out? What is doubtful about the
// values in files of temperatures, [treewhen/phenology/weather.Check] finds.
package doubts

import (
	"slices"

	"treewhen/calendar"
	"treewhen/calendar/build"
	"treewhen/calendar/gazetteer"
	"treewhen/calendar/inputs"
	"treewhen/calendar/law"
	"treewhen/calendar/seed"
	"treewhen/phenology"
	"treewhen/phenology/civil"
)

// Species is something to look at with a species at a site: either a rule on collecting its seed, or a distance.
type Species struct {
	Place      *inputs.Place
	Species    *phenology.Species
	Rule       *phenology.Regulation // by which collecting can be forbidden there; nil: the species is far from home
	Town       *gazetteer.Town       // by which the rule's state was judged
	Kilometres float64               // that the site lies outside the species' range
}

// OfTemperatures returns what is doubtful about a site's temperatures, the gravest first, as it stands on the as-of
// day.
func OfTemperatures(in *inputs.Inputs, pl *inputs.Place) []calendar.Doubt {
	at := in.Ready(pl)
	list := at.Doubts(in.AsOf)
	if t := at.Outlook.Temps; t != nil && !t.Drawn() {
		days := 0
		for _, d := range t.Series().Until(t.Observed()).Days {
			if d.Complete() && !d.Flags.Invented() {
				days++
			}
		}
		const year = 365
		if days < phenology.MinYears*year {
			list = append(list, calendar.Doubt{What: calendar.ShortRecord, Days: days})
		}
	}
	return list
}

// SameColors returns the sites, some together, whose events have one color in calendars, so that only their names tell
// them apart: more than one of each.
func SameColors(in *inputs.Inputs) (list [][]*inputs.Place) {
	by := map[string][]*inputs.Place{}
	for _, pl := range in.Places {
		by[pl.Site.Color] = append(by[pl.Site.Color], pl)
	}
	for _, pl := range in.Places { // in the plan's order
		if same := by[pl.Site.Color]; len(same) > 1 && same[0] == pl {
			list = append(list, same)
		}
	}
	return list
}

// Undated returns which species that the plan names have no dates to collect seed by, site by site, each with why.
func Undated(in *inputs.Inputs) (notes []calendar.Note) {
	for _, pl := range in.Places {
		if !pl.Chosen() || !slices.Contains(pl.Site.Activities, calendar.SeedCollection) {
			continue
		}
		outlook := in.Ready(pl).Outlook
		season := phenology.SeasonAt(outlook.Site, in.AsOf).Year
		for _, sp := range pl.AllSpecies() {
			if sp.Seed == nil {
				continue
			}
			if why := seed.WhyUndated(outlook, sp, season); why != nil {
				notes = append(notes, calendar.Note{Site: &outlook.Site, Says: why})
			}
		}
	}
	return notes
}

// TooEarly returns which sowing dates of the plan's leave no time for what a species that it names needs before.
func TooEarly(in *inputs.Inputs) (notes []calendar.Note) {
	plan := in.Schedule(civil.Span{First: in.AsOf, Last: in.AsOf + 365})
	for _, pl := range in.Places {
		if opt := pl.Site.Options.Seed; !pl.Chosen() || !opt.SowingSet && len(opt.SowingOf) == 0 ||
			!slices.Contains(pl.Site.Activities, calendar.SeedCollection) {
			continue
		}
		place := *in.Ready(pl)
		place.Activities = []calendar.Activity{calendar.SeedCollection}
		for _, n := range build.At(plan, &place).Notes {
			if _, is := n.Says.(seed.Shortfall); is {
				notes = append(notes, n)
			}
		}
	}
	return notes
}

// OfSpecies returns what is doubtful about species that the plan names, site by site. A library's species are left out,
// and those that the plan says may not be collected.
func OfSpecies(in *inputs.Inputs) (list []Species) {
	for _, pl := range in.Places {
		if !pl.Chosen() {
			continue
		}
		collects := slices.Contains(pl.Site.Activities, calendar.SeedCollection)
		for _, sp := range pl.AllSpecies() {
			if collects && !slices.Contains(pl.Site.Options.Seed.Prohibited, sp.ID) {
				if r, j := law.Forbidding(sp, pl.Site.Latitude, pl.Site.Longitude, pl.Site.Zone.String()); r != nil {
					list = append(list, Species{Place: pl, Species: sp, Rule: r, Town: j.Town})
				}
			}
			if km := sp.KilometresOutside(pl.Site.Site); km > 0 {
				list = append(list, Species{Place: pl, Species: sp, Kilometres: km})
			}
		}
	}
	return list
}
