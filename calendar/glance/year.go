// Package glance is a place at a glance: its year as a strip of days, what is next, this spring against past ones, and
// where places lie on a map. It is what a page and a chart for terminals draw; how it is drawn is theirs.
package glance

import (
	"cmp"
	"slices"
	"time"

	"treewhen/calendar"
	"treewhen/calendar/outing"
	"treewhen/phenology"
	"treewhen/phenology/civil"
	"treewhen/phenology/traits"
)

// Year is a place's year as a strip of days: twelve months from the month before the as-of day's, so that what has just
// been is seen beside what comes.
type Year struct {
	Span   civil.Span
	AsOf   civil.Date
	Months []civil.Span // whole months
	Shut   []civil.Span // days on which nobody goes out, by the plan's terms, closings and calendars
	Work   []WorkRow
	Trees  []TreeRow
}

// WorkRow is work that stands in one row.
type WorkRow struct {
	Activity calendar.Activity
	Task     calendar.Task      // "" where all of the activity's stand in the row
	Species  *phenology.Species // nil where the work is with several
	Entries  []*calendar.Entry  // by first day
}

// TreeRow is one species' year.
type TreeRow struct {
	Species *phenology.Species
	Spells  []Spell // by first day
	Dated   []phenology.Estimate
	Undated []phenology.Estimate
}

// Spell is what can be seen of a species, with the chance of every day that it can be.
type Spell struct {
	See    calendar.Sight
	Days   civil.Span // from the first to the last on which the chance is [leastChance] or more
	Chance []float64  // in [0, 1], of each of Days
	Known  bool       // its beginning was seen or reached
	Lane   int        // from 0; spells on one lane leave each other room
}

// leastChance is the chance from which on a day is drawn.
const leastChance = 0.02

// Likeliest returns the day on which the spell is likeliest on, and how likely.
func (s *Spell) Likeliest() (civil.Date, float64) {
	return s.Days.Likeliest(func(d civil.Date) float64 { return s.Chance[d-s.Days.First] })
}

// sightsFor are what those who do some work wait for.
var sightsFor = map[calendar.Activity][]calendar.Wish{
	calendar.Tapping:        wishes(phenology.SapStart, phenology.BudSwell),
	calendar.SeedCollection: wishes(phenology.Flowering, phenology.FruitRipe),
	calendar.TwigSurvey:     wishes(phenology.LeafFall),
	calendar.FieldTrip:      calendar.DefaultWishes,
}

func wishes(from ...phenology.Phase) (list []calendar.Wish) {
	for _, p := range from {
		list = append(list, calendar.Wish{See: calendar.Sight{Phase: p}})
	}
	return list
}

// NewYear works out a place's year with its work. Room is how many days a spell's name takes beside it.
func NewYear(pl *calendar.Place, entries []*calendar.Entry, asOf civil.Date, room func(calendar.Sight) int) *Year {
	v := &Year{AsOf: asOf}
	y, m, _ := asOf.Date()
	v.Span.First = civil.Of(y, m-1, 1)
	for i := range 12 {
		n := m - 1 + time.Month(i) // months outside the year are counted into the next
		v.Months = append(v.Months, civil.Span{First: civil.Of(y, n, 1), Last: civil.Of(y, n+1, 1) - 1})
	}
	v.Span.Last = v.Months[11].Last
	switch {
	case slices.Contains(pl.Activities, calendar.FieldTrip):
		v.Shut = outing.ShutDays(&pl.Options.Trip.Outings, pl.Site(), v.Span)
	case slices.Contains(pl.Activities, calendar.TwigSurvey):
		v.Shut = outing.ShutDays(&pl.Options.Twig.Outings, pl.Site(), v.Span)
	}
	v.addWork(entries)
	sights := sightsOf(pl)
	for _, sp := range pl.Species {
		v.Trees = append(v.Trees, v.tree(pl, sp, sights, room))
	}
	return v
}

// addWork puts entries into rows: seed work a row a species, outings a row an activity, tapping a row a task.
func (v *Year) addWork(entries []*calendar.Entry) {
	for _, e := range entries {
		if !e.Window.Overlaps(v.Span) {
			continue
		}
		row := WorkRow{Activity: e.Activity}
		switch e.Activity {
		case calendar.Tapping:
			row.Task = e.Task
			if !e.Task.OfSite() {
				row.Species = e.Species[0]
			}
		case calendar.SeedCollection:
			row.Species = e.Species[0]
		}
		i := slices.IndexFunc(v.Work, func(w WorkRow) bool {
			return w.Activity == row.Activity && w.Task == row.Task && w.Species == row.Species
		})
		if i < 0 {
			i = len(v.Work)
			v.Work = append(v.Work, row)
		}
		v.Work[i].Entries = append(v.Work[i].Entries, e)
	}
	tasks := []calendar.Task{
		calendar.TaskTap, calendar.TaskRun, calendar.TaskWarmSpell, calendar.TaskFreezeUp, calendar.TaskGather,
		calendar.TaskLast, calendar.TaskPull,
	}
	all := calendar.Activities()
	slices.SortStableFunc(v.Work, func(a, b WorkRow) int {
		return cmp.Or(
			cmp.Compare(slices.Index(all, a.Activity), slices.Index(all, b.Activity)),
			cmp.Compare(slices.Index(tasks, a.Task), slices.Index(tasks, b.Task)),
		)
	})
}

// sightsOf returns what is looked for at a place, in the order of the year.
func sightsOf(pl *calendar.Place) []calendar.Sight {
	var list []calendar.Sight
	for _, a := range pl.Activities {
		wishes := sightsFor[a]
		if own := pl.Options.Trip.Wishes; a == calendar.FieldTrip && len(own) > 0 {
			wishes = own
		}
		for _, w := range wishes {
			if !w.See.IsTrait() && !slices.Contains(list, w.See) {
				list = append(list, w.See)
			}
		}
	}
	slices.SortFunc(list, func(a, b calendar.Sight) int { return cmp.Compare(a.Phase, b.Phase) })
	return list
}

// tree works out one species' year.
func (v *Year) tree(
	pl *calendar.Place, sp *phenology.Species, sights []calendar.Sight, room func(calendar.Sight) int,
) TreeRow {
	site := *pl.Site()
	known := map[int]phenology.Estimates{}
	in := func(season int) phenology.Estimates {
		if _, ok := known[season]; !ok {
			known[season] = pl.Outlook.Estimate(sp, season)
		}
		return known[season]
	}
	row := TreeRow{Species: sp}
	from, to := phenology.SeasonAt(site, v.Span.First).Year-1, phenology.SeasonAt(site, v.Span.Last).Year
	row.addDates(v.Span, from, to, in)
	watch := traits.NewWatch(site, sp, in)
	for _, see := range sights {
		first, last, always, ok := see.Spell(sp)
		if !ok || always {
			continue
		}
		for season := from; season <= to; season++ {
			if s, ok := watch.Spell(first, last, season); ok {
				row.addSpell(see, s, v.Span)
			}
		}
	}
	slices.SortStableFunc(row.Spells, func(a, b Spell) int { return cmp.Compare(a.Days.First, b.Days.First) })
	row.assignLanes(v.Span, room)
	return row
}

// addDates lists the phases with a middle date in a span, by date, and those that can never be dated.
func (r *TreeRow) addDates(span civil.Span, from, to int, in func(int) phenology.Estimates) {
	undated, dated := map[phenology.Phase]phenology.Estimate{}, map[phenology.Phase]bool{}
	for season := from; season <= to; season++ {
		for _, e := range in(season).List {
			if !e.HasDate() {
				undated[e.Phase] = e
				continue
			}
			dated[e.Phase] = true
			if span.Contains(e.P50()) {
				r.Dated = append(r.Dated, e)
			}
		}
	}
	for _, p := range phenology.Phases() {
		if e, ok := undated[p]; ok && !dated[p] {
			r.Undated = append(r.Undated, e)
		}
	}
	slices.SortStableFunc(r.Dated, func(a, b phenology.Estimate) int {
		return cmp.Or(cmp.Compare(a.P50(), b.P50()), cmp.Compare(a.Phase, b.Phase))
	})
}

// addSpell adds a spell's days that lie in a span, if there are any.
func (r *TreeRow) addSpell(see calendar.Sight, s *traits.Spell, span civil.Span) {
	spell := Spell{See: see, Known: s.From.Basis <= phenology.BasisReached}
	for d := span.First; d <= span.Last; d++ {
		p := s.On(d)
		if p < leastChance {
			if len(spell.Chance) > 0 {
				break
			}
			continue
		}
		if len(spell.Chance) == 0 {
			spell.Days.First = d
		}
		spell.Days.Last = d
		spell.Chance = append(spell.Chance, p)
	}
	if len(spell.Chance) > 0 {
		r.Spells = append(r.Spells, spell)
	}
}

// Side is where the name of a spell stands: behind it, before it, or where neither has room over its own first or last
// days, whichever is the less filled.
type Side int

// The sides.
const (
	Behind Side = iota
	Before
	OnFirst
	OnLast
)

// NameAt returns where a spell's name of so many days stands in a span.
func (s *Spell) NameAt(span civil.Span, room int) Side {
	switch days := civil.Date(room); {
	case s.Days.Last+days <= span.Last:
		return Behind
	case s.Days.First-days >= span.First:
		return Before
	}
	if n := min(room, len(s.Chance)); slices.Max(s.Chance[:n]) < slices.Max(s.Chance[len(s.Chance)-n:]) {
		return OnFirst
	}
	return OnLast
}

// assignLanes puts each spell, with its name, on the first lane with room.
func (r *TreeRow) assignLanes(span civil.Span, room func(calendar.Sight) int) {
	var ends []civil.Date
	for i := range r.Spells {
		s := &r.Spells[i]
		n := room(s.See)
		takes := s.Days
		switch s.NameAt(span, n) {
		case Behind:
			takes.Last += civil.Date(n)
		case Before:
			takes.First -= civil.Date(n)
		}
		for s.Lane = 0; s.Lane < len(ends) && takes.First <= ends[s.Lane]; s.Lane++ {
		}
		if s.Lane == len(ends) {
			ends = append(ends, 0)
		}
		ends[s.Lane] = takes.Last
	}
}

// Lanes is how many lanes the spells take.
func (r *TreeRow) Lanes() int {
	n := 0
	for i := range r.Spells {
		n = max(n, r.Spells[i].Lane+1)
	}
	return n
}
