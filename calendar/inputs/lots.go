package inputs

import (
	"slices"

	"treewhen/calendar"
	"treewhen/calendar/planfile"
)

// lotNote is a line of a nursery's book, of a site.
type lotNote struct {
	site *planfile.Site
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
		site, stand, text := in.where(where, known)
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

// targets returns how many seedlings a site wants, each with the lots of such seed at all sites that share the target.
func (in *Inputs) targets(s *planfile.Site) []calendar.Target {
	list := slices.Clone(s.Options.Seed.Targets)
	for i := range list {
		t := &list[i]
		for _, l := range in.lots {
			n := l.LotNote
			if n.SeedZone == "" {
				n.SeedZone = l.site.ZoneOf(n.Stand)
			}
			shared := func(o calendar.Target) bool { return o.Line == t.Line }
			if n.Species.ID == t.Species && (t.SeedZone == "" || t.SeedZone == n.SeedZone) &&
				slices.ContainsFunc(l.site.Options.Seed.Targets, shared) {
				t.Lots = append(t.Lots, n)
			}
		}
	}
	return list
}

// Lots returns what was done with the lots of a site up to the as-of day, by day.
func (in *Inputs) Lots(pl *Place) (notes []calendar.LotNote) {
	for _, l := range in.lots {
		if l.site == pl.Site {
			notes = append(notes, l.LotNote)
		}
	}
	return notes
}
