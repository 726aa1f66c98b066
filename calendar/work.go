package calendar

import (
	"slices"

	"treewhen/phenology"
)

// Work is the work at one place, while it is worked out and after.
type Work struct {
	Plan     *Plan
	Place    *Place
	Entries  []*Entry // those that lie in the plan's span
	Notes    []Note
	Problems []Problem

	estimates map[estimateKey]phenology.Estimates
}

type estimateKey struct {
	species string
	season  int
}

// NewWork returns the work at a place, with nothing in it as yet.
func NewWork(p *Plan, place *Place) *Work {
	return &Work{Plan: p, Place: place, estimates: map[estimateKey]phenology.Estimates{}}
}

// In returns a species' estimates in a season. They are worked out once.
func (w *Work) In(sp *phenology.Species, season int) phenology.Estimates {
	key := estimateKey{sp.ID, season}
	if got, ok := w.estimates[key]; ok {
		return got
	}
	got := w.Place.Outlook.Estimate(sp, season)
	w.estimates[key] = got
	return got
}

// LetGo cuts the entries off from the place's outlook, which is a thousand times their size.
func (w *Work) LetGo() {
	site := *w.Place.Site()
	stands := map[*Stand]*Stand{}
	for _, e := range w.Entries {
		e.Site = &site
		if e.Stand == nil {
			continue
		}
		if stands[e.Stand] == nil {
			bare := *e.Stand
			bare.Outlook = nil
			stands[e.Stand] = &bare
		}
		e.Stand = stands[e.Stand]
	}
	for i := range w.Notes {
		w.Notes[i].Site = &site
	}
	w.Place, w.estimates = nil, nil
}

// Add keeps an entry if it lies in the plan's span. It gives it an identifier unless it has one.
func (w *Work) Add(e *Entry) *Entry {
	e.Site = w.Place.Site()
	if e.UID == "" {
		e.UID = UID(w.Plan.FeedID, e.Site.ID, e.Activity, SpeciesIDs(e), e.Task, e.Season, e.Tell...)
	}
	if e.Activity == SeedCollection {
		e.PeopleDays = w.Place.Options.Seed.Work[e.Task]
	}
	if e.Window.Overlaps(w.Plan.Span) {
		w.Entries = append(w.Entries, e)
	}
	return e
}

// SpeciesIDs returns what tells the entry from others of its task: its species, or nothing for a visit to all or a run of
// sap that several share, which stay the same when a species is added to the plan.
func SpeciesIDs(e *Entry) []string {
	if e.Activity == TwigSurvey || e.Activity == FieldTrip || e.Task == TaskRun {
		return nil
	}
	ids := make([]string, len(e.Species))
	for i, s := range e.Species {
		ids[i] = s.ID
	}
	return ids
}

// Note is something that a reader must know of a place, or of all of them: that a phase cannot be dated there, say.
type Note struct {
	Site *phenology.Site // nil: of the whole plan
	Says any             // what, as its craft has it: a comparable type of its own, which package words puts into words
}

// Note keeps what a reader must know of the place, once.
func (w *Work) Note(says any) {
	n := Note{w.Place.Site(), says}
	if !slices.Contains(w.Notes, n) {
		w.Notes = append(w.Notes, n)
	}
}

// Problem is what a plan asks for at a place and cannot have.
type Problem struct {
	Line int    // of the plan
	Site string // its id
	Says any    // what, as its craft has it: a comparable type of its own, which package words puts into words
}

// Problem keeps what is wrong with the plan itself, once.
func (w *Work) Problem(line int, says any) {
	p := Problem{line, w.Place.Site().ID, says}
	if !slices.Contains(w.Problems, p) {
		w.Problems = append(w.Problems, p)
	}
}
