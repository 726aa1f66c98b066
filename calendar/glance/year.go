// Package glance is a place's year at a glance: what a page and a chart for terminals both draw.
package glance

import (
	"cmp"
	"slices"
	"time"

	"treewhen/calendar"
	"treewhen/phenology"
	"treewhen/phenology/civil"
)

// View is a place's year at a glance: twelve months from the month before the as-of day's, so that what has just
// been is seen beside what comes. The page and the chart for terminals are two drawings of it.
type View struct {
	Span   civil.Span
	AsOf   civil.Date
	Months []civil.Span // whole months
	Rows   []Row
}

// Row is one species' year.
type Row struct {
	Species *phenology.Species
	Marks   []Mark // by middle date
	Undated []phenology.Estimate
	Leaf    []LeafSpan
}

// Mark is one phase in a year's view.
type Mark struct {
	phenology.Estimate
	Early, Middle, Late civil.Date // p10, p50 and p90
	Lane                int        // from 0; marks on one lane leave each other room
}

// LeafSpan is a part of the year by what the crown looks like.
type LeafSpan struct {
	civil.Span
	State string // "opening", "leaf" or "color"
}

// PhaseLetter is the sign of a phase in both drawings, and PhaseWords what it is called in their keys.
func PhaseLetter(p phenology.Phase) string { return string(rune('a' + int(p))) }

var PhaseWords = map[phenology.Phase]string{
	phenology.SapStart: "sap starts", phenology.SapEnd: "last good sap", phenology.BudSwell: "buds swell",
	phenology.Flowering: "in flower", phenology.BudBreak: "buds break", phenology.LeafOut: "leaves out",
	phenology.FloweringEnd: "flowers over", phenology.FruitRipe: "seed ripe", phenology.SeedFall: "seed begins to fall",
	phenology.SeedFallEnd: "most seed down", phenology.LeafColor: "leaves colored", phenology.LeafFall: "half the leaves down",
	phenology.Dormant: "bare, at rest",
}

// NewView works out a place's view. Lanes are assigned so that two phases on one lane are at least gap days apart,
// each taken as no narrower than wide days.
func NewView(pl *calendar.Place, asOf civil.Date, gap, wide int) View {
	v := View{AsOf: asOf}
	y, m, _ := asOf.Date()
	v.Span.First = civil.Of(y, m-1, 1)
	for i := range 12 {
		n := m - 1 + time.Month(i) // months outside the year are counted into the next
		v.Months = append(v.Months, civil.Span{First: civil.Of(y, n, 1), Last: civil.Of(y, n+1, 1) - 1})
	}
	v.Span.Last = v.Months[11].Last
	site := *pl.Site()
	from, to := phenology.SeasonAt(site, v.Span.First).Year-1, phenology.SeasonAt(site, v.Span.Last).Year
	for _, sp := range pl.Species {
		row := Row{Species: sp}
		undated := map[phenology.Phase]phenology.Estimate{}
		dated := map[phenology.Phase]bool{}
		for season := from; season <= to; season++ {
			est := pl.Outlook.Estimate(sp, season)
			row.Leaf = append(row.Leaf, leafSpans(est, v.Span)...)
			for _, e := range est.List {
				if !e.HasDate() {
					undated[e.Phase] = e
					continue
				}
				dated[e.Phase] = true
				k := Mark{Estimate: e, Early: e.P10(), Middle: e.P50(), Late: e.P90()}
				if v.Span.Contains(k.Middle) && shows(pl, e.Phase) {
					row.Marks = append(row.Marks, k)
				}
			}
		}
		for _, p := range phenology.Phases() {
			if e, ok := undated[p]; ok && !dated[p] {
				row.Undated = append(row.Undated, e)
			}
		}
		slices.SortStableFunc(row.Marks, func(a, b Mark) int {
			return cmp.Or(cmp.Compare(a.Middle, b.Middle), cmp.Compare(a.Phase, b.Phase))
		})
		row.assignLanes(civil.Date(gap), civil.Date(wide))
		v.Rows = append(v.Rows, row)
	}
	return v
}

// shows reports whether a phase has to do with what is done at a place: where trees are only tapped, that of sap and of
// the buds that end it.
func shows(pl *calendar.Place, p phenology.Phase) bool {
	return len(pl.Activities) != 1 || pl.Activities[0] != calendar.Tapping || slices.Contains(tappers, p)
}

var tappers = []phenology.Phase{phenology.SapStart, phenology.SapEnd, phenology.BudSwell, phenology.BudBreak}

// assignLanes puts each mark on the first lane with room.
func (r *Row) assignLanes(gap, wide civil.Date) {
	order := make([]int, len(r.Marks))
	for i := range order {
		order[i] = i
	}
	left := func(m Mark) civil.Date { return min(m.Early, m.Middle-wide/2) }
	slices.SortStableFunc(order, func(a, b int) int { return cmp.Compare(left(r.Marks[a]), left(r.Marks[b])) })
	var ends []civil.Date
	for _, i := range order {
		m := &r.Marks[i]
		m.Lane = 0
		for m.Lane < len(ends) && left(*m) < ends[m.Lane]+gap {
			m.Lane++
		}
		end := max(m.Late, m.Middle+wide/2)
		if m.Lane == len(ends) {
			ends = append(ends, end)
		} else {
			ends[m.Lane] = end
		}
	}
}

// Lanes is how many lanes the marks take, at least one.
func (r *Row) Lanes() int {
	n := 1
	for _, m := range r.Marks {
		n = max(n, m.Lane+1)
	}
	return n
}

// leafSpans says by middle dates when a crown opens, is in leaf and turns, as far as these can be dated.
func leafSpans(est phenology.Estimates, within civil.Span) []LeafSpan {
	var list []LeafSpan
	add := func(from, to phenology.Phase, state string) {
		a, b := est.Get(from), est.Get(to)
		if !a.HasDate() || !b.HasDate() {
			return
		}
		if s := (civil.Span{First: a.P50(), Last: b.P50() - 1}).Intersect(within); !s.Empty() {
			list = append(list, LeafSpan{s, state})
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
