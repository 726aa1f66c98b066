// Package build answers: what work follows from these inputs? It is the one driver: every command and the server have
// sites worked out by it, each by every craft that its owner asked for, in the plan's order, on all cores, in no more
// memory than a few sites take and what is kept of each.
package build

import (
	"slices"

	"treewhen/calendar"
	"treewhen/calendar/outing"
	"treewhen/calendar/seed"
	"treewhen/calendar/tapping"
	"treewhen/phenology"
)

// At works out the work at a place, which need not be one of the plan's Places: a plan of thousands is worked out place
// by place, each made ready when its turn comes. It may be called by several goroutines. What it returns keeps nothing
// of the place's outlook alive but its species.
func At(p *calendar.Plan, place *calendar.Place) *calendar.Work {
	w := calendar.NewWork(p, place)
	run(w)
	w.LetGo()
	slices.SortStableFunc(w.Entries, calendar.CompareEntries)
	return w
}

func run(w *calendar.Work) {
	site := *w.Place.Site()
	// A season's work runs from its own days into the winter after, so the season before the span is looked at too.
	// Seed that is sown in the second spring takes the season before that.
	first := phenology.SeasonAt(site, w.Plan.Span.First).Year - 2
	last := phenology.SeasonAt(site, w.Plan.Span.Last).Year
	seeds, outings := seed.At(w), outing.At(w)
	for season := first; season <= last; season++ {
		for _, a := range w.Place.Activities {
			switch {
			case a == calendar.SeedCollection:
				seeds.Season(season)
			case season == first:
			case a == calendar.Tapping:
				tapping.Schedule(w, season)
			case a == calendar.TwigSurvey:
				outings.Survey(season)
			}
		}
	}
	if slices.Contains(w.Place.Activities, calendar.FieldTrip) {
		outings.Trips() // of school years, which are not growing years
	}
	seeds.Close()
}
