package inputs

import (
	"fmt"
	"slices"
	"strings"

	"treewhen/calendar"
	"treewhen/calendar/planfile"
	"treewhen/calendar/tapping"
	"treewhen/phenology"
	"treewhen/phenology/problem"
)

// choose resolves sites, species and activities: all of the plan's, or those that the options name.
func (in *Inputs) choose(o *Options) error {
	only, err := in.namedSpecies(o)
	if err != nil {
		return err
	}
	if err := in.checkNames(o, only); err != nil {
		return err
	}
	in.only = only
	var wrong problem.List
	for _, s := range in.Plan.Sites {
		in.resolveOptions(s, &wrong)
		if len(o.Sites) == 0 || slices.Contains(o.Sites, s.ID) {
			in.Places = append(in.Places, in.choosePlace(s, only, &wrong))
		}
	}
	if err := wrong.Err(); err != nil {
		return err
	}
	if len(only) > 0 && !slices.ContainsFunc(in.Places, func(pl *Place) bool { return len(pl.Species) > 0 }) {
		return problem.Usage{
			Text: fmt.Sprintf("--species: no site chosen has %s", problem.Names(o.Species, 10)),
			Hint: "add it under species: in the plan, or leave the option out",
		}
	}
	if len(o.Activities) > 0 {
		for _, pl := range in.Places {
			pl.Site.Activities = slices.DeleteFunc(slices.Clone(pl.Site.Activities), func(a calendar.Activity) bool {
				return !slices.Contains(o.Activities, string(a))
			})
		}
	}
	return nil
}

// namedSpecies returns the species that the options name.
func (in *Inputs) namedSpecies(o *Options) (only []*phenology.Species, err error) {
	for _, name := range o.Species {
		sp, err := in.Library.Find(name)
		if err != nil {
			return nil, problem.Usagef("--species: %v", err)
		}
		only = append(only, sp)
	}
	return only, nil
}

// checkNames checks the sites and activities that the options name, and that they do not ask to tap what is not tapped.
func (in *Inputs) checkNames(o *Options, only []*phenology.Species) error {
	for _, id := range o.Sites {
		ids := in.siteIDs()
		if !slices.Contains(ids, id) {
			err := problem.Usage{Text: fmt.Sprintf("--site: found %q, want one of %s", id, problem.Names(ids, 10))}
			if near := problem.Nearest(id, ids); near != "" {
				err.Hint = fmt.Sprintf("did you mean %s?", near)
			}
			return err
		}
	}
	for _, a := range o.Activities {
		if !slices.Contains(calendar.Activities(), calendar.Activity(a)) {
			return problem.Usagef("--activity: found %q, want one of %s", a, planfile.ActivityNames())
		}
	}
	if len(o.Activities) == 1 && o.Activities[0] == string(calendar.Tapping) {
		for _, sp := range only {
			if sp.Sap.Tapped == phenology.TappedNever {
				return problem.Usagef("--species: %s", notTapped(sp, in.Library.All()))
			}
		}
	}
	return nil
}

// siteIDs returns the identifiers of all of the plan's sites.
func (in *Inputs) siteIDs() []string {
	ids := make([]string, len(in.Plan.Sites))
	for i, s := range in.Plan.Sites {
		ids[i] = s.ID
	}
	return ids
}

// resolveOptions replaces the species that a site's options name by their ids.
func (in *Inputs) resolveOptions(s *planfile.Site, wrong *problem.List) {
	s.Options.Seed.Prohibited = in.resolve(s.Options.Seed.Prohibited, s.Line, "prohibited", wrong)
	in.resolveSowing(s, wrong)
	in.resolveTargets(s, wrong)
	in.resolveOutings(s, wrong)
}

// resolve returns the ids of species that are named; a name of none stays, and is wrong.
func (in *Inputs) resolve(names []string, line int, field string, wrong *problem.List) []string {
	ids := slices.Clone(names) // the plan's own, shared by its sites
	for i, name := range names {
		sp, err := in.Library.Find(name)
		if err != nil {
			wrong.Add(in.Plan.File, line, field, "%v", err)
			continue
		}
		ids[i] = sp.ID
	}
	return ids
}

// choosePlace finds the species of a site and its stands: those that it names, else the whole library; only those of
// only, if that has any.
func (in *Inputs) choosePlace(s *planfile.Site, only []*phenology.Species, wrong *problem.List) *Place {
	pl := &Place{Site: s}
	onlyTapped := len(s.Activities) == 1 && s.Activities[0] == calendar.Tapping
	for _, w := range s.Species {
		sp, err := in.Library.Find(w.Text)
		switch {
		case err != nil:
			wrong.Add(in.Plan.File, w.Line, "species", "%v", err)
			continue
		case onlyTapped && sp.Sap.Tapped == phenology.TappedNever:
			wrong.Add(in.Plan.File, w.Line, "species", "%s", notTapped(sp, in.Library.All()))
		}
		if !slices.Contains(pl.Species, sp) {
			pl.Species = append(pl.Species, sp)
		}
	}
	in.chooseStands(pl, only, wrong)
	if len(s.Species) == 0 {
		pl.Species = pl.withStands(nil)
		if len(pl.Species) == 0 {
			pl.Species = in.Library.All()
		}
	}
	if len(only) > 0 {
		pl.Species = slices.DeleteFunc(
			slices.Clone(pl.Species), func(sp *phenology.Species) bool { return !slices.Contains(only, sp) },
		)
	}
	slices.SortFunc(pl.Species, func(a, b *phenology.Species) int { return strings.Compare(a.ID, b.ID) })
	return pl
}

// notTapped is the error for a species that somebody asked to tap.
func notTapped(sp *phenology.Species, all []*phenology.Species) string {
	var names []string
	for _, tapped := range tapping.TappedOf(all) {
		names = append(names, tapped.Name())
	}
	slices.Sort(names)
	return fmt.Sprintf("found %s, which is not tapped; want one of those that are: %s", sp.Name(),
		strings.Join(names, ", "))
}
