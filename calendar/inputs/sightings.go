package inputs

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"treewhen/calendar"
	"treewhen/calendar/planfile"
	"treewhen/phenology"
)

// readObservations reads what was seen and matches it with the plan's sites and the library's species.
func (r *reader) readObservations() {
	in := r.in
	list, name := readRows(r, in.Plan.Observations, "observations", planfile.ReadObservations)
	known := in.knownSites()
	in.crops = map[string][]calendar.CropNote{}
	for _, o := range list {
		site, stand, text := in.where(o.Site, known)
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
			in.crops[site.ID] = append(in.crops[site.ID], calendar.CropNote{
				Date: o.Date, Stand: stand, Species: sp.ID, Crop: o.Crop, Note: o.Note,
			})
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

// where returns a site, or one of its stands, that is written site/stand; or what is wrong with it.
func (in *Inputs) where(text string, known map[string]*planfile.Site) (site *planfile.Site, stand, wrong string) {
	id, stand, cut := strings.Cut(text, "/")
	site = known[id]
	switch {
	case site == nil || cut && stand == "":
		return nil, "", in.unknownSite(text)
	case cut && !slices.ContainsFunc(site.Stands, func(s *planfile.Stand) bool { return s.ID == stand }):
		return nil, "", fmt.Sprintf("found stand %q, which the plan's site %s does not have", stand, id)
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
