package calendar

import (
	"cmp"
	"slices"
	"strings"

	"treewhen/phenology"
)

// NewSchedule returns the schedule of a plan, with no work in it as yet: see [Schedule.Add].
func NewSchedule(p *Plan) *Schedule {
	s := &Schedule{Title: p.Title, AsOf: p.AsOf, Span: p.Span, Speech: p.Speech}
	for _, n := range p.Notes {
		s.Notes = append(s.Notes, Note{Says: n})
	}
	return s
}

// Add adds the work at a place. Places come in the plan's order, since notes stand in it; when all are in,
// [Schedule.Sort] puts the entries in order.
func (s *Schedule) Add(w *Work) {
	s.Entries = append(s.Entries, w.Entries...)
	s.Notes = append(s.Notes, w.Notes...)
	s.Accounts = append(s.Accounts, w.Accounts...)
}

// IsOpen reports whether work can be done on the as-of day.
func (s *Schedule) IsOpen(e *Entry) bool { return e.Window.Contains(s.AsOf) }

// Sort puts the entries in order: by first day, then by site and whatever else they have. Of the notes, doubts come
// first.
func (s *Schedule) Sort() {
	slices.SortStableFunc(s.Entries, CompareEntries)
	doubts := func(n Note) bool { _, is := n.Says.(Doubt); return is }
	slices.SortStableFunc(s.Notes, func(a, b Note) int { return trueFirst(doubts(a), doubts(b)) })
}

// trueFirst compares what is true of two things, so that those of which it is come first.
func trueFirst(a, b bool) int {
	switch {
	case a == b:
		return 0
	case a:
		return -1
	}
	return 1
}

// CompareEntries orders entries: by first day, then by site and whatever else they have.
func CompareEntries(a, b *Entry) int {
	return cmp.Or(
		cmp.Compare(a.Window.First, b.Window.First),
		cmp.Compare(a.Site.ID, b.Site.ID),
		cmp.Compare(a.Activity, b.Activity),
		cmp.Compare(strings.Join(speciesIDs(a), "+"), strings.Join(speciesIDs(b), "+")),
		cmp.Compare(a.Task, b.Task),
		cmp.Compare(a.Season, b.Season),
		slices.Compare(a.Tell, b.Tell),
	)
}

// Settled reports whether nothing still to come can move any of the estimates.
func Settled(list ...phenology.Estimate) bool {
	return !slices.ContainsFunc(list, func(e phenology.Estimate) bool { return e.Basis > phenology.BasisReached })
}
