package calendar

import (
	"cmp"
	"slices"
	"time"

	"treewhen/phenology"
	"treewhen/phenology/civil"
)

// yearView is a place's year at a glance: twelve months from the month before the as-of day's, so that what has just
// been is seen beside what comes. The page and the chart for terminals are two drawings of it.
type yearView struct {
	span   civil.Span
	asOf   civil.Date
	months []civil.Span // whole months
	rows   []yearRow
}

// yearRow is one species' year.
type yearRow struct {
	species *phenology.Species
	marks   []yearMark // by middle date
	undated []phenology.Estimate
	leaf    []leafSpan
}

// yearMark is one phase in a year's view.
type yearMark struct {
	phenology.Estimate
	p10, p50, p90 civil.Date
	lane          int
}

// leafSpan is a part of the year by what the crown looks like.
type leafSpan struct {
	civil.Span
	state string // "opening", "leaf" or "color"
}

// phaseLetter is the sign of a phase in both drawings, and phaseWords what it is called in their keys.
func phaseLetter(p phenology.Phase) string { return string(rune('a' + int(p))) }

var phaseWords = map[phenology.Phase]string{
	phenology.SapStart: "sap starts", phenology.SapEnd: "last good sap", phenology.BudSwell: "buds swell",
	phenology.Flowering: "in flower", phenology.BudBreak: "buds break", phenology.LeafOut: "leaves out",
	phenology.FloweringEnd: "flowers over", phenology.FruitRipe: "seed ripe", phenology.SeedFall: "seed begins to fall",
	phenology.SeedFallEnd: "most seed down", phenology.LeafColor: "leaves colored", phenology.LeafFall: "half the leaves down",
	phenology.Dormant: "bare, at rest",
}

// newYearView works out a place's view. Lanes are assigned so that two phases on one lane are at least gap days apart,
// each taken as no narrower than wide days.
func newYearView(pl *Place, asOf civil.Date, gap, wide int) yearView {
	v := yearView{asOf: asOf}
	y, m, _ := asOf.Date()
	v.span.First = civil.Of(y, m-1, 1)
	for i := range 12 {
		n := m - 1 + time.Month(i) // months outside the year are counted into the next
		v.months = append(v.months, civil.Span{First: civil.Of(y, n, 1), Last: civil.Of(y, n+1, 1) - 1})
	}
	v.span.Last = v.months[11].Last
	site := *pl.Site()
	from, to := phenology.SeasonAt(site, v.span.First).Year-1, phenology.SeasonAt(site, v.span.Last).Year
	for _, sp := range pl.Species {
		row := yearRow{species: sp}
		undated := map[phenology.Phase]phenology.Estimate{}
		dated := map[phenology.Phase]bool{}
		for season := from; season <= to; season++ {
			est := pl.Outlook.Estimate(sp, season)
			row.leaf = append(row.leaf, leafSpans(est, v.span)...)
			for _, e := range est.List {
				if !e.HasDate() {
					undated[e.Phase] = e
					continue
				}
				dated[e.Phase] = true
				k := yearMark{Estimate: e, p10: e.P10(), p50: e.P50(), p90: e.P90()}
				if v.span.Contains(k.p50) {
					row.marks = append(row.marks, k)
				}
			}
		}
		for _, p := range phenology.Phases() {
			if e, ok := undated[p]; ok && !dated[p] {
				row.undated = append(row.undated, e)
			}
		}
		slices.SortStableFunc(row.marks, func(a, b yearMark) int {
			return cmp.Or(cmp.Compare(a.p50, b.p50), cmp.Compare(a.Phase, b.Phase))
		})
		row.assignLanes(civil.Date(gap), civil.Date(wide))
		v.rows = append(v.rows, row)
	}
	return v
}

// assignLanes puts each mark on the first lane with room.
func (r *yearRow) assignLanes(gap, wide civil.Date) {
	order := make([]int, len(r.marks))
	for i := range order {
		order[i] = i
	}
	left := func(m yearMark) civil.Date { return min(m.p10, m.p50-wide/2) }
	slices.SortStableFunc(order, func(a, b int) int { return cmp.Compare(left(r.marks[a]), left(r.marks[b])) })
	var ends []civil.Date
	for _, i := range order {
		m := &r.marks[i]
		m.lane = 0
		for m.lane < len(ends) && left(*m) < ends[m.lane]+gap {
			m.lane++
		}
		end := max(m.p90, m.p50+wide/2)
		if m.lane == len(ends) {
			ends = append(ends, end)
		} else {
			ends[m.lane] = end
		}
	}
}

func (r *yearRow) lanes() int {
	n := 1
	for _, m := range r.marks {
		n = max(n, m.lane+1)
	}
	return n
}

// leafSpans says by middle dates when a crown opens, is in leaf and turns, as far as these can be dated.
func leafSpans(est phenology.Estimates, within civil.Span) []leafSpan {
	var list []leafSpan
	add := func(from, to phenology.Phase, state string) {
		a, b := est.Get(from), est.Get(to)
		if !a.HasDate() || !b.HasDate() {
			return
		}
		if s := (civil.Span{First: a.P50(), Last: b.P50() - 1}).Intersect(within); !s.Empty() {
			list = append(list, leafSpan{s, state})
		}
	}
	add(phenology.BudBreak, phenology.LeafOut, "opening")
	turn := phenology.LeafFall
	if est.Get(phenology.LeafColor).HasDate() {
		turn = phenology.LeafColor
	}
	if est.Get(phenology.LeafOut).HasDate() {
		add(phenology.LeafOut, turn, "leaf")
	} else {
		add(phenology.BudBreak, turn, "leaf")
	}
	add(phenology.LeafColor, phenology.LeafFall, "color")
	return list
}
