package inputs

import (
	"cmp"
	"slices"

	"treewhen/calendar"
	"treewhen/calendar/planfile"
)

// readBook reads what was gathered and matches it with the plan's sites.
func (r *reader) readBook() {
	in := r.in
	list, name := readRows(r, in.Plan.Yield, "yield", planfile.ReadBook)
	known := in.knownSites()
	in.book = map[string][]calendar.Gathered{}
	for _, row := range list {
		if known[row.Site] == nil {
			r.problems.Add(name, row.Line, "site", "%s", in.unknownSite(row.Site))
			continue
		}
		in.book[row.Site] = append(in.book[row.Site], row.Gathered)
	}
	for _, rows := range in.book {
		slices.SortStableFunc(rows, func(a, b calendar.Gathered) int { return cmp.Compare(a.Date, b.Date) })
	}
}
