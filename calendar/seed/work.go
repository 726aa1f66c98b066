package seed

import (
	"slices"

	"treewhen/calendar"
	"treewhen/phenology"
)

// Work is the seed work at one place.
type Work struct {
	*calendar.Work
	far    []*phenology.Species // that the place is too far away for
	inHand []*hand              // the lots of the place
	crew   Workdays
}

// At begins the seed work at a place.
func At(w *calendar.Work) *Work {
	s := &Work{Work: w}
	if slices.Contains(w.Place.Activities, calendar.SeedCollection) {
		// What began before the span, or is done after it, is put on a working day as well.
		const around = 366
		s.crew = newWorkdays(&w.Place.Options.Seed.Outings, w.Place.Site(), w.Plan.Span.First-around, w.Plan.Span.Last)
	}
	return s
}

// Add keeps an entry if it lies in the plan's span, its best day one on which the crew works.
func (w *Work) Add(e *calendar.Entry) *calendar.Entry {
	w.onWorkday(e)
	return w.Work.Add(e)
}

// Season adds the seed work of the seed of one season.
func (w *Work) Season(season int) {
	for _, sp := range collected(w.Place) {
		w.seed(sp, season)
	}
}

// Close adds the work on lots in hand, of whatever season, and says what is to be said once of all seasons.
func (w *Work) Close() {
	if slices.Contains(w.Place.Activities, calendar.SeedCollection) {
		w.lots()
		w.short()
	}
	if len(w.far) > 0 {
		w.Note(&AllTooFar{w.far})
	}
}
