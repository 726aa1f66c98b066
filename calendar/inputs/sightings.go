package inputs

import (
	"fmt"
	"math"
	"strings"

	"treewhen/calendar"
	"treewhen/calendar/planfile"
	"treewhen/phenology"
	"treewhen/phenology/problem"
)

// readObservations reads what was seen and matches it with the plan's sites and the library's species.
func (r *reader) readObservations() {
	in := r.in
	list, name := readRows(r, in.Plan.Observations, "observations", planfile.ReadObservations)
	known := in.knownSites()
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
				in.crops, crop{site, calendar.CropNote{Date: o.Date, Stand: stand, Species: sp.ID, Crop: o.Crop,
					Note: o.Note}},
			)
		}
		if o.Undated {
			in.Undated++
		} else if o.HasPhase {
			in.Sightings = append(in.Sightings, phenology.Sighting{
				Date: o.Date, Site: o.Site, Species: sp.ID, Phase: o.Phase, Stage: o.Stage, Note: o.Note,
			})
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

// DoubtfulSighting is a sighting that may well be a slip, at a site or a stand of it.
type DoubtfulSighting struct {
	phenology.DoubtfulSighting
	Where string // the site, or site/stand
	Named string // the species' name
}

// DoubtfulSightings returns the sightings of all places that may well be slips: see
// [phenology.Outlook.DoubtfulSightings]. Of those of a site that count for its stands too, the site's own tell.
func (in *Inputs) DoubtfulSightings() (list []DoubtfulSighting) {
	for _, pl := range in.Places {
		told := map[phenology.Sighting]bool{}
		add := func(where string, at *Place) {
			if len(at.Sightings) == 0 {
				return
			}
			for _, d := range in.Outlook(at).DoubtfulSightings() {
				if told[d.Sighting] {
					continue
				}
				told[d.Sighting] = true
				sp, _ := in.Library.Lookup(d.Species)
				list = append(list, DoubtfulSighting{d, where, sp.Name()})
			}
		}
		add(pl.Site.ID, pl)
		for _, s := range pl.Stands {
			at := pl.at(s)
			at.Sightings = in.sightingsAt(pl, s.ID)
			add(pl.Site.ID+"/"+s.ID, at)
		}
	}
	return list
}

// String says what is doubtful about it.
func (d DoubtfulSighting) String() string {
	text := fmt.Sprintf("%s: %s %s seen on %s", d.Where, d.Named, d.Phase, d.Date)
	if !math.IsNaN(d.Late) && math.Abs(d.Late) >= 1 {
		way := "later"
		if d.Late < 0 {
			way = "earlier"
		}
		text += fmt.Sprintf(" is %.0f days %s than anything else makes of that season", math.Abs(d.Late), way)
	}
	if d.Apart > 0 {
		text += fmt.Sprintf(", %.0f days from what else was seen", d.Apart)
	}
	if d.LeftOut {
		return text + "; taken for a slip and left out"
	}
	return text + "; the date between is used, and is that much less sure"
}
