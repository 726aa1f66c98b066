package glance

import (
	"cmp"
	"slices"

	"treewhen/calendar"
	"treewhen/calendar/tapping"
	"treewhen/phenology/civil"
)

// Ahead returns the work that is still to be done, that which is to be done first before the rest: see [ActOn].
func Ahead(entries []*calendar.Entry, asOf civil.Date) []*calendar.Entry {
	var list []*calendar.Entry
	for _, e := range entries {
		if toDo(e) && e.Window.Last >= asOf {
			list = append(list, e)
		}
	}
	slices.SortStableFunc(list, func(a, b *calendar.Entry) int {
		return cmp.Or(
			cmp.Compare(ActOn(a, asOf), ActOn(b, asOf)), cmp.Compare(late(a, asOf), late(b, asOf)),
			cmp.Compare(a.Window.Last, b.Window.Last), calendar.CompareEntries(a, b),
		)
	})
	return list
}

// toDo reports whether there is something to do: it is not done, and no run of sap that comes by itself, nor the
// gathering, which goes on as long as sap runs.
func toDo(e *calendar.Entry) bool {
	if e.State.Over() {
		return false
	}
	switch e.Task {
	case calendar.TaskRun, calendar.TaskGather, calendar.TaskRainDate:
		return false
	}
	if f, ok := e.Facts.(*tapping.TapFacts); ok {
		switch f.Advice {
		case tapping.Tapped, tapping.TakenDone, tapping.Over, tapping.TooLate:
			return false
		}
	}
	return true
}

// ActOn returns the day on which work is to be done: its best day or, once that is past, the as-of day.
func ActOn(e *calendar.Entry, asOf civil.Date) civil.Date { return max(e.Best, asOf) }

// late tells work whose best day is past, 0, from other work, 1.
func late(e *calendar.Entry, asOf civil.Date) int {
	if e.Best < asOf {
		return 0
	}
	return 1
}

// NextRun returns the run of sap that is under way or comes next; nil if none is known of.
func NextRun(entries []*calendar.Entry, asOf civil.Date) *calendar.Entry {
	for _, e := range entries {
		if e.Task == calendar.TaskRun && !e.State.Over() && e.Window.Last >= asOf {
			return e
		}
	}
	return nil
}
