package inputs

import (
	"slices"

	"treewhen/calendar"
	"treewhen/calendar/planfile"
)

// lotNote is a line of a nursery's book, of a site.
type lotNote struct {
	site string
	calendar.LotNote
}

// readLots reads what was done with lots of seed and matches it with the plan's sites, their stands and the library's
// species.
func (r *reader) readLots() {
	in := r.in
	list, name := readRows(r, in.Plan.Lots, "lots", planfile.ReadLots)
	known := in.knownSites()
	for _, row := range list {
		where := row.Site
		if row.Stand != "" {
			where += "/" + row.Stand
		}
		site, stand, text := in.whereSeen(planfile.Observation{Site: where}, known)
		if text != "" {
			r.problems.Add(name, row.Line, "site", "%s", text)
			continue
		}
		sp, err := in.Library.Find(row.Species)
		switch {
		case err != nil:
			r.problems.Add(name, row.Line, "species", "%v", err)
		case sp.Seed == nil:
			r.problems.Add(name, row.Line, "species", "found %s, of whose seed the library knows nothing", row.Species)
		case row.Date <= in.AsOf && (len(in.only) == 0 || slices.Contains(in.only, sp)):
			n := row.LotNote
			n.Species, n.Stand = sp, stand
			in.lots = append(in.lots, lotNote{site, n})
		}
	}
	slices.SortStableFunc(in.lots, func(a, b lotNote) int { return int(a.Date - b.Date) })
}

// Lots returns what was done with the lots of a site up to the as-of day, by day.
func (in *Inputs) Lots(pl *Place) (notes []calendar.LotNote) {
	for _, l := range in.lots {
		if l.site == pl.Site.ID {
			notes = append(notes, l.LotNote)
		}
	}
	return notes
}
