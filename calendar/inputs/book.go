package inputs

import (
	"cmp"
	"fmt"
	"slices"

	"treewhen/calendar"
	"treewhen/calendar/planfile"
	"treewhen/phenology/problem"
)

// readBook reads what was gathered and matches it with the plan's sites.
func (r *reader) readBook() {
	in := r.in
	list, name := readRows(r, in.Plan.Yield, "yield", planfile.ReadBook)
	ids := in.siteIDs()
	in.book = map[string][]calendar.Gathered{}
	for _, row := range list {
		if !slices.Contains(ids, row.Site) {
			text := fmt.Sprintf("found site %q, which the plan does not have", row.Site)
			if near := problem.Nearest(row.Site, ids); near != "" {
				text += fmt.Sprintf("; did you mean %q?", near)
			}
			r.problems.Add(name, row.Line, "site", "%s", text)
			continue
		}
		in.book[row.Site] = append(in.book[row.Site], row.Gathered)
	}
	for _, rows := range in.book {
		slices.SortStableFunc(rows, func(a, b calendar.Gathered) int { return cmp.Compare(a.Date, b.Date) })
	}
}
