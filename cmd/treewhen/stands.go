package main

import (
	"fmt"
	"maps"
	"slices"

	"treewhen/calendar"
	"treewhen/calendar/planfile"
	"treewhen/phenology"
	"treewhen/phenology/problem"
)

// stand is a stand of the plan with its species found.
type stand struct {
	*planfile.Stand
	species []*phenology.Species // empty: the site's
}

// crop is a scouting note of a site.
type crop struct {
	site string
	calendar.CropNote
}

// chooseStands resolves the species of a site's stands.
func (in *inputs) chooseStands(pl *place, only []*phenology.Species, wrong *problem.List) {
	for _, s := range pl.site.Stands {
		st := &stand{Stand: s}
		for _, w := range s.Species {
			sp, err := in.library.Find(w.Text)
			switch {
			case err != nil:
				wrong.Add(in.plan.File, w.Line, "species", "%v", err)
			case (len(only) == 0 || slices.Contains(only, sp)) && !slices.Contains(st.species, sp):
				st.species = append(st.species, sp)
			}
		}
		pl.stands = append(pl.stands, st)
	}
}

// speciesOfStands returns every species that a site's stands name.
func (pl *place) speciesOfStands() (all []*phenology.Species) {
	for _, s := range pl.stands {
		for _, sp := range s.species {
			if !slices.Contains(all, sp) {
				all = append(all, sp)
			}
		}
	}
	return all
}

// resolveSowing finds the species that a site's sowing dates are of.
func (in *inputs) resolveSowing(s *planfile.Site, wrong *problem.List) {
	if len(s.Options.Seed.SowingOf) == 0 {
		return
	}
	found := map[string]calendar.SowingRule{}
	for _, name := range slices.Sorted(maps.Keys(s.Options.Seed.SowingOf)) {
		sp, err := in.library.Find(name)
		if err != nil {
			one := problem.Problem{File: in.plan.File, Line: s.Options.Seed.SowingOf[name].Line, Field: "sowing_of", Text: err.Error()}
			if !slices.Contains(*wrong, one) { // sites share the plan's options
				*wrong = append(*wrong, one)
			}
			continue
		}
		found[sp.ID] = s.Options.Seed.SowingOf[name]
	}
	s.Options.Seed.SowingOf = found
}

// hasStand reports whether a site of the plan has a stand.
func (in *inputs) hasStand(site, id string) bool {
	return slices.ContainsFunc(in.plan.Sites, func(s *planfile.Site) bool {
		return s.ID == site && slices.ContainsFunc(s.Stands, func(st *planfile.Stand) bool { return st.ID == id })
	})
}

// cropsAt returns the scouting notes of a site.
func (in *inputs) cropsAt(pl *place) (notes []calendar.CropNote) {
	for _, c := range in.crops {
		if c.site == pl.site.ID {
			notes = append(notes, c.CropNote)
		}
	}
	return notes
}

// calendarStands makes the stands of a site ready, each with an outlook of its own height and of what was seen there.
func (in *inputs) calendarStands(pl *place) []*calendar.Stand {
	if !slices.Contains(pl.site.Activities, calendar.SeedCollection) {
		return nil
	}
	var list []*calendar.Stand
	for _, s := range pl.stands {
		species := s.species
		if len(s.Species) == 0 {
			species = pl.species
		}
		site := *pl.site
		height := site.Elevation
		if s.Elevation != nil {
			site.Elevation = *s.Elevation
		}
		at := &place{site: &site, records: pl.records, forecasts: pl.forecasts, sightings: in.sightingsAt(pl, s.ID)}
		if site.Elevation != height {
			at.heightOf = &height
		}
		list = append(list, &calendar.Stand{
			ID: s.ID, Name: s.Name, Outlook: in.outlook(at), Species: species,
			Offset: s.Offset, SeedZone: s.SeedZone, Permit: s.Permit, Owner: s.Landowner,
		})
	}
	return list
}

// sightingsAt returns what was seen at a stand, and, of species and phases of which nothing was seen there in a year,
// what was seen at its site as a whole.
func (in *inputs) sightingsAt(pl *place, id string) (list phenology.Sightings) {
	type key struct {
		species string
		phase   phenology.Phase
		year    int
	}
	keyOf := func(s phenology.Sighting) key {
		return key{s.Species, s.Phase, phenology.SeasonAt(pl.site.Site, s.Date).Year} // in the south a season passes New Year
	}
	own := map[key]bool{}
	for _, s := range in.sightings {
		if s.Site == pl.site.ID+"/"+id {
			own[keyOf(s)] = true
			s.Site = pl.site.ID
			list = append(list, s)
		}
	}
	for _, s := range pl.sightings {
		if !own[keyOf(s)] {
			list = append(list, s)
		}
	}
	return list
}

// reportStands writes what was read of a site's stands and crops.
func (in *inputs) reportStands(w *reportWriter, pl *place) {
	for _, s := range pl.stands {
		height := pl.site.Elevation
		if s.Elevation != nil {
			height = *s.Elevation
		}
		species := s.species
		if len(s.Species) == 0 {
			species = pl.species
		}
		text := fmt.Sprintf("stand %s (%s): %.0f m, %d species", s.ID, s.Name, height, len(species))
		if s.Offset != 0 {
			text += fmt.Sprintf(", spring %+g days", s.Offset)
		}
		w.line(2, "%s", text)
	}
	if n := len(in.cropsAt(pl)); n > 0 {
		w.line(2, "crops scouted: %s up to the as-of day", plural(n, "note"))
	}
}

// allSpecies returns the species of a site and of its stands.
func (pl *place) allSpecies() []*phenology.Species {
	all := slices.Clone(pl.species)
	for _, sp := range pl.speciesOfStands() {
		if !slices.Contains(all, sp) {
			all = append(all, sp)
		}
	}
	return all
}
