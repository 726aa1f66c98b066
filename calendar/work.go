package calendar

import (
	"context"
	"slices"

	"treewhen/phenology"
	"treewhen/phenology/civil"
	"treewhen/phenology/parallel"
)

// Work is the work at one place, while it is worked out and after.
type Work struct {
	Plan    *Plan
	Place   *Place
	Entries []*Entry // those that lie in the plan's span
	Notes   []Note
	// Accounts are what the crafts tell of the place beside its pieces of work, each of a type of its own: how a season
	// of sap stands. They keep nothing of the place's outlook.
	Accounts []any

	estimates map[estimateKey]phenology.Estimates
	doubts    map[Activity][]Doubt // of the place's temperatures
}

type estimateKey struct {
	species string
	season  int
}

// NewWork returns the work at a place, with nothing in it as yet.
func NewWork(p *Plan, place *Place) *Work {
	w := &Work{
		Plan: p, Place: place, estimates: map[estimateKey]phenology.Estimates{}, doubts: map[Activity][]Doubt{},
	}
	for _, a := range place.Activities {
		w.doubts[a] = place.Doubts(p.AsOf, a)
	}
	for _, d := range place.Doubts(p.AsOf) {
		if d.Grave() {
			w.Note(d)
		}
	}
	return w
}

// Ready works out what [Work.In] is going to be asked, on all cores: some species in seasons from a first to a last.
func (w *Work) Ready(species []*phenology.Species, first, last int) {
	var keys []estimateKey
	var of []*phenology.Species
	for _, sp := range species {
		for season := first; season <= last; season++ {
			key := estimateKey{sp.ID, season}
			if _, known := w.estimates[key]; !known {
				keys, of = append(keys, key), append(of, sp)
			}
		}
	}
	date := func(i int) phenology.Estimates { return w.Place.Outlook.Estimate(of[i], keys[i].season) }
	n := 0
	// Nothing ends it early.
	_ = parallel.InOrder(context.Background(), len(keys), date, func(got phenology.Estimates) error {
		w.estimates[keys[n]] = got
		n++
		return nil
	})
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
	w.Place, w.estimates, w.doubts = nil, nil, nil
}

// Add keeps an entry if it lies in the plan's span. It gives it an identifier unless it has one.
func (w *Work) Add(e *Entry) *Entry {
	e.Site, e.Speech = w.Place.Site(), w.Plan.Speech
	if e.UID == "" {
		e.UID = UID(w.Plan.FeedID, e.Site.ID, e.Activity, SpeciesIDs(e), e.Task, e.Season, e.Tell...)
	}
	e.Moved = w.Place.Memory[e.UID].Moved
	if t := w.Place.Outlook.Temps; e.Rests.Forecast && t != nil && t.Last() > t.Observed() && !t.Drawn() {
		e.Rests.Until = civil.Some(t.Last())
	}
	if e.Activity == SeedCollection {
		e.PeopleDays = w.Place.Options.Seed.Work[e.Task]
	}
	if this := phenology.SeasonAt(*e.Site, w.Plan.AsOf).Year; e.Season <= this && !e.Settled && !e.State.Over() {
		e.Doubts = w.doubts[e.Activity]
		if e.Window.First > w.Plan.AsOf+doubtDays {
			e.Doubts = slices.DeleteFunc(slices.Clone(e.Doubts), func(d Doubt) bool { return !d.Grave() })
		}
	}
	if e.Window.Overlaps(w.Plan.Span) {
		w.Entries = append(w.Entries, e)
	}
	return e
}

// doubtDays is how near work must be for a doubt that is not grave to be of interest.
const doubtDays = 14

// SpeciesIDs returns what tells the entry from others of its task: its species, or nothing for a visit to all or a run
// of sap that several share, which stay the same when a species is added to the plan.
func SpeciesIDs(e *Entry) []string {
	if e.Activity == TwigSurvey || e.Activity == FieldTrip || e.Task.OfSite() {
		return nil
	}
	return speciesIDs(e)
}

func speciesIDs(e *Entry) []string {
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
