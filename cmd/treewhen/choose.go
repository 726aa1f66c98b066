package main

import (
	"fmt"
	"slices"
	"strings"

	"treewhen/calendar"
	"treewhen/calendar/planfile"
	"treewhen/phenology"
	"treewhen/phenology/problem"
)

// choose resolves sites, species and activities: all of the plan's, or those that the options name.
func (in *inputs) choose(o *inputOptions) error {
	only, err := in.namedSpecies(o)
	if err != nil {
		return err
	}
	if err := in.checkNames(o, only); err != nil {
		return err
	}
	var wrong problem.List
	for _, s := range in.plan.Sites {
		in.resolveOptions(s, &wrong)
		if len(o.sites) == 0 || slices.Contains(o.sites, s.ID) {
			in.places = append(in.places, in.choosePlace(s, only, &wrong))
		}
	}
	if err := wrong.Err(); err != nil {
		return err
	}
	if len(only) > 0 && !slices.ContainsFunc(in.places, func(pl *place) bool { return len(pl.species) > 0 }) {
		return problem.Usage{Text: fmt.Sprintf("--species: no site chosen has %s", list(o.species, 10)), Hint: "add it under species: in the plan, or leave the option out"}
	}
	if len(o.activities) > 0 {
		for _, pl := range in.places {
			pl.site.Activities = slices.DeleteFunc(slices.Clone(pl.site.Activities), func(a calendar.Activity) bool {
				return !slices.Contains(o.activities, string(a))
			})
		}
	}
	return nil
}

// namedSpecies returns the species that the options name.
func (in *inputs) namedSpecies(o *inputOptions) (only []*phenology.Species, err error) {
	for _, name := range o.species {
		sp, err := in.library.Find(name)
		if err != nil {
			return nil, problem.Usagef("--species: %v", err)
		}
		only = append(only, sp)
	}
	return only, nil
}

// checkNames checks the sites and activities that the options name, and that they do not ask to tap what is not tapped.
func (in *inputs) checkNames(o *inputOptions, only []*phenology.Species) error {
	for _, id := range o.sites {
		ids := in.siteIDs()
		if !slices.Contains(ids, id) {
			err := problem.Usage{Text: fmt.Sprintf("--site: found %q, want one of %s", id, list(ids, 10))}
			if near := problem.Nearest(id, ids); near != "" {
				err.Hint = fmt.Sprintf("did you mean %s?", near)
			}
			return err
		}
	}
	for _, a := range o.activities {
		if !slices.Contains(calendar.Activities(), calendar.Activity(a)) {
			return problem.Usagef("--activity: found %q, want one of %s", a, joinActivities())
		}
	}
	if len(o.activities) == 1 && o.activities[0] == string(calendar.Tapping) {
		for _, sp := range only {
			if sp.Sap.Tapped == phenology.TappedNever {
				return problem.Usagef("--species: %s", notTapped(sp, in.library.All()))
			}
		}
	}
	return nil
}

// siteIDs returns the identifiers of all of the plan's sites.
func (in *inputs) siteIDs() []string {
	ids := make([]string, len(in.plan.Sites))
	for i, s := range in.plan.Sites {
		ids[i] = s.ID
	}
	return ids
}

// resolveOptions replaces the species that a site's options name by their ids.
func (in *inputs) resolveOptions(s *planfile.Site, wrong *problem.List) {
	for i, name := range s.Options.Seed.Prohibited {
		sp, err := in.library.Find(name)
		if err != nil {
			wrong.Add(in.plan.File, s.Line, "prohibited", "%v", err)
			continue
		}
		s.Options.Seed.Prohibited = slices.Clone(s.Options.Seed.Prohibited)
		s.Options.Seed.Prohibited[i] = sp.ID
	}
	in.resolveSowing(s, wrong)
	in.resolveOutings(s, wrong)
}

// choosePlace finds the species of a site and its stands: those that it names, else the whole library; only those of
// only, if that has any.
func (in *inputs) choosePlace(s *planfile.Site, only []*phenology.Species, wrong *problem.List) *place {
	pl := &place{site: s}
	onlyTapped := len(s.Activities) == 1 && s.Activities[0] == calendar.Tapping
	for _, w := range s.Species {
		sp, err := in.library.Find(w.Text)
		switch {
		case err != nil:
			wrong.Add(in.plan.File, w.Line, "species", "%v", err)
			continue
		case onlyTapped && sp.Sap.Tapped == phenology.TappedNever:
			wrong.Add(in.plan.File, w.Line, "species", "%s", notTapped(sp, in.library.All()))
		}
		if !slices.Contains(pl.species, sp) {
			pl.species = append(pl.species, sp)
		}
	}
	in.chooseStands(pl, only, wrong)
	if len(s.Species) == 0 {
		pl.species = pl.speciesOfStands()
		if len(pl.species) == 0 {
			pl.species = in.library.All()
		}
	}
	if len(only) > 0 {
		pl.species = slices.DeleteFunc(slices.Clone(pl.species), func(sp *phenology.Species) bool { return !slices.Contains(only, sp) })
	}
	slices.SortFunc(pl.species, func(a, b *phenology.Species) int { return strings.Compare(a.ID, b.ID) })
	return pl
}

func joinActivities() string {
	var names []string
	for _, a := range calendar.Activities() {
		names = append(names, string(a))
	}
	return strings.Join(names, ", ")
}
