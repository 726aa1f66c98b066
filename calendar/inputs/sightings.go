package inputs

import (
	"fmt"
	"strings"

	"treewhen/calendar"
	"treewhen/calendar/planfile"
	"treewhen/phenology"
	"treewhen/phenology/problem"
)

// readObservations reads what was seen and matches it with the plan's sites and the library's species.
func (r *reader) readObservations() {
	in := r.in
	if in.Plan.Observations == nil {
		return
	}
	f, err := r.open(in.Plan.Observations.Path)
	if err != nil {
		r.problems.Add(in.Plan.File, in.Plan.Observations.Line, "observations", "%v", problem.OfFile(err))
		return
	}
	defer f.Close()
	name := r.name(in.Plan.Observations.Path)
	r.note(name)
	list, err := planfile.ReadObservations(f, name)
	if err != nil {
		r.add(name, err)
		return
	}
	known := map[string]bool{}
	for _, s := range in.Plan.Sites {
		known[s.ID] = true
	}
	for _, o := range list {
		site, stand, text := in.whereSeen(o, known)
		if text != "" {
			r.problems.Add(name, o.Line, "site", "%s", text)
			continue
		}
		sp, err := in.Library.Find(o.Species)
		if err != nil {
			r.problems.Add(name, o.Line, "species", "%v", err)
			continue
		}
		if o.Crop != "" && o.Date <= in.AsOf {
			in.crops = append(
				in.crops, crop{site, calendar.CropNote{Date: o.Date, Stand: stand, Species: sp.ID, Crop: o.Crop, Note: o.Note}},
			)
		}
		if o.HasPhase {
			in.Sightings = append(
				in.Sightings, phenology.Sighting{Date: o.Date, Site: o.Site, Species: sp.ID, Phase: o.Phase, Note: o.Note},
			)
		}
	}
	in.Sightings = in.Sightings.Until(in.AsOf)
}

// whereSeen returns the site of an observation and its stand, "" for the site as a whole; or what is wrong with them.
func (in *Inputs) whereSeen(o planfile.Observation, known map[string]bool) (site, stand, wrong string) {
	site, stand, _ = strings.Cut(o.Site, "/")
	switch {
	case known[site] && stand != "" && !in.hasStand(site, stand):
		return "", "", fmt.Sprintf("found stand %q, which the plan's site %s does not have", stand, site)
	case !known[site] || o.Site != site && stand == "":
		wrong = fmt.Sprintf("found site %q, which the plan does not have", o.Site)
		if near := problem.Nearest(o.Site, in.siteIDs()); near != "" {
			wrong += fmt.Sprintf("; did you mean %q?", near)
		}
		return "", "", wrong
	}
	return site, stand, ""
}
