package inputs

import (
	"maps"
	"slices"

	"treewhen/calendar"
	"treewhen/calendar/planfile"
	"treewhen/phenology"
	"treewhen/phenology/problem"
)

// Stand is a stand of the plan with its species found.
type Stand struct {
	*planfile.Stand
	Found []*phenology.Species // of those that are wanted; the plan may name none: see [Place.SpeciesOf]
}

// SpeciesOf returns the species of a stand: those that the plan names, else the site's.
func (pl *Place) SpeciesOf(s *Stand) []*phenology.Species {
	if len(s.Stand.Species) == 0 {
		return pl.Species
	}
	return s.Found
}

// Height returns the height of a stand in metres: its own, else the site's.
func (pl *Place) Height(s *Stand) float64 {
	if s.Elevation != nil {
		return *s.Elevation
	}
	return pl.Site.Elevation
}

// at is a stand as a site of its own, but for what was seen there.
func (pl *Place) at(s *Stand) *Place {
	site := *pl.Site
	site.Elevation = pl.Height(s)
	at := &Place{Site: &site, Records: pl.Records, Forecasts: pl.Forecasts}
	if site.Elevation != pl.Site.Elevation {
		at.usualHeight = &pl.Site.Elevation
	}
	return at
}

// chooseStands resolves the species of a site's stands.
func (in *Inputs) chooseStands(pl *Place, only []*phenology.Species, wrong *problem.List) {
	for _, s := range pl.Site.Stands {
		st := &Stand{Stand: s}
		for _, w := range s.Species {
			sp, err := in.Library.Find(w.Text)
			switch {
			case err != nil:
				wrong.Add(in.Plan.File, w.Line, "species", "%v", err)
			case (len(only) == 0 || slices.Contains(only, sp)) && !slices.Contains(st.Found, sp):
				st.Found = append(st.Found, sp)
			}
		}
		pl.Stands = append(pl.Stands, st)
	}
}

// withStands adds to some species every other that a site's stands name.
func (pl *Place) withStands(all []*phenology.Species) []*phenology.Species {
	for _, s := range pl.Stands {
		for _, sp := range s.Found {
			if !slices.Contains(all, sp) {
				all = append(all, sp)
			}
		}
	}
	return all
}

// resolveSowing finds the species that a site's sowing dates are of.
func (in *Inputs) resolveSowing(s *planfile.Site, wrong *problem.List) {
	if len(s.Options.Seed.SowingOf) == 0 {
		return
	}
	found := map[string]calendar.SowingRule{}
	for _, name := range slices.Sorted(maps.Keys(s.Options.Seed.SowingOf)) {
		sp, err := in.Library.Find(name)
		if err != nil {
			in.addOnce(wrong, s.Options.Seed.SowingOf[name].Line, "sowing_of", err)
			continue
		}
		found[sp.ID] = s.Options.Seed.SowingOf[name]
	}
	s.Options.Seed.SowingOf = found
}

// resolveTargets finds the species of which a site wants seedlings.
func (in *Inputs) resolveTargets(s *planfile.Site, wrong *problem.List) {
	s.Options.Seed.Targets = slices.Clone(s.Options.Seed.Targets) // the plan's own, shared by its sites
	for i := range s.Options.Seed.Targets {
		t := &s.Options.Seed.Targets[i]
		sp, err := in.Library.Find(t.Species)
		if err != nil {
			in.addOnce(wrong, t.Line, "targets.species", err)
			continue
		}
		t.Species = sp.ID
	}
}

// addOnce notes what is wrong with an option of the plan, which its sites share.
func (in *Inputs) addOnce(wrong *problem.List, line int, field string, err error) {
	one := problem.Problem{File: in.Plan.File, Line: line, Field: field, Text: err.Error()}
	if !slices.Contains(*wrong, one) {
		*wrong = append(*wrong, one)
	}
}

// Crops returns the scouting notes of a site.
func (in *Inputs) Crops(pl *Place) []calendar.CropNote { return in.crops[pl.Site.ID] }

// readyStands makes the stands of a site ready, each with an outlook of its own height and of what was seen there.
func (in *Inputs) readyStands(pl *Place) []*calendar.Stand {
	if !slices.Contains(pl.Site.Activities, calendar.SeedCollection) {
		return nil
	}
	var list []*calendar.Stand
	for _, s := range pl.Stands {
		at := pl.at(s)
		at.Sightings = in.sightingsAt(pl, s.ID)
		list = append(list, &calendar.Stand{
			ID: s.ID, Name: s.Name, Outlook: in.Outlook(at), Species: pl.SpeciesOf(s),
			Offset: s.Offset, SeedZone: s.SeedZone, Permit: s.Permit, Owner: s.Landowner,
		})
	}
	return list
}

// sightingsAt returns what was seen at a stand, and, of species and phases of which nothing was seen there in a year,
// what was seen at its site as a whole.
func (in *Inputs) sightingsAt(pl *Place, id string) (list phenology.Sightings) {
	type key struct {
		species string
		phase   phenology.Phase
		year    int
	}
	keyOf := func(s phenology.Sighting) key {
		// in the south a season passes New Year
		return key{s.Species, s.Phase, phenology.SeasonAt(pl.Site.Site, s.Date).Year}
	}
	own := map[key]bool{}
	for _, s := range in.Sightings {
		if s.Site == pl.Site.ID+"/"+id {
			own[keyOf(s)] = true
			s.Site = pl.Site.ID
			list = append(list, s)
		}
	}
	for _, s := range pl.Sightings {
		if !own[keyOf(s)] {
			list = append(list, s)
		}
	}
	return list
}

// AllSpecies returns the species of a site and of its stands.
func (pl *Place) AllSpecies() []*phenology.Species { return pl.withStands(slices.Clone(pl.Species)) }
