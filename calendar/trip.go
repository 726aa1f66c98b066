package calendar

import (
	"fmt"
	"slices"
	"time"

	"treewhen/phenology"
	"treewhen/phenology/civil"
)

// sight is something that a class can be shown, from one phase until another.
type sight struct {
	task     Task
	what     string
	from, to phenology.Phase
}

// The sights for which field trips are planned. A task's name never changes.
var sights = []sight{
	{"see-flowers", "flowers", phenology.Flowering, phenology.FloweringEnd},
	{"see-leaf-color", "autumn leaf color", phenology.LeafColor, phenology.LeafFall},
}

// fieldTrips schedules, for each sight, the school day on which the most species are likely to show it.
func (w *placeWork) fieldTrips(season int) {
	for _, s := range sights {
		w.fieldTrip(season, s)
	}
}

func (w *placeWork) fieldTrip(season int, s sight) {
	type shown struct {
		sp       *phenology.Species
		from, to phenology.Estimate
	}
	var all []shown
	for _, sp := range w.place.Species {
		est := w.in(sp, season)
		x := shown{sp, est.Get(s.from), est.Get(s.to)}
		if x.from.Dated() && x.to.Dated() {
			all = append(all, x)
		}
	}
	if len(all) == 0 {
		return
	}
	chance := func(x shown, d civil.Date) float64 { return max(0, x.from.By(d)-x.to.By(d)) }
	search := civil.Span{First: all[0].from.P10(), Last: all[0].to.P90()}
	for _, x := range all {
		search = civil.Span{First: min(search.First, x.from.P10()), Last: max(search.Last, x.to.P90())}
	}
	expected := func(d civil.Date) float64 {
		if !w.place.Options.Trip.open(d) {
			return -1
		}
		sum := 0.0
		for _, x := range all {
			sum += chance(x, d)
		}
		return sum
	}
	best, top := search.First, -1.0
	for d := search.First; d <= search.Last; d++ {
		if v := expected(d); v > top+1e-9 {
			best, top = d, v
		}
	}
	if top <= 0 {
		w.note("no trip to see %s in %d: none of its days is a day the plan allows", s.what, season)
		return
	}
	window := civil.Span{First: best, Last: best}
	for window.First > search.First && max(expected(window.First-1), expected(window.First-2), expected(window.First-3)) >= 0.8*top {
		window.First--
	}
	for window.Last < search.Last && max(expected(window.Last+1), expected(window.Last+2), expected(window.Last+3)) >= 0.8*top {
		window.Last++
	}
	e := &Entry{
		Activity: FieldTrip, Task: s.task, Season: season,
		Summary: "Field trip: " + s.what,
		Window:  window, Best: best,
		ProbabilityOf: "that at least one of these shows it",
		Cautions:      slicesOf(tripCautions),
		Reasons:       []string{fmt.Sprintf("On %s, %.1f of %d species are expected to show it.", longDate(best), top, len(all))},
		Reminders:     []Reminder{{Before: 7, On: best, Minute: w.place.Options.Trip.Reminder, Text: "Field trip on " + longDate(best) + ": " + s.what}},
	}
	slices.SortStableFunc(all, func(a, b shown) int {
		switch ca, cb := chance(a, best), chance(b, best); {
		case ca > cb:
			return -1
		case ca < cb:
			return 1
		}
		return 0
	})
	none := 1.0
	var list []phenology.Estimate
	for _, x := range all {
		p := chance(x, best)
		if p < 0.1 && len(e.Species) > 0 {
			continue
		}
		none = min(none, 1-p)
		e.Species = append(e.Species, x.sp)
		list = append(list, x.from, x.to)
		e.LookFor = append(e.LookFor, fmt.Sprintf("%s: %s.", x.sp.Name(), percent(p)))
		e.Cautions = append(e.Cautions, speciesCautions(x.sp, FieldTrip)...)
		for _, src := range sourcesOf(w.in(x.sp, season), s.from, s.to) {
			if !slices.Contains(e.Sources, src) {
				e.Sources = append(e.Sources, src)
			}
		}
	}
	e.Probability = 1 - none
	e.Basis, e.BasisText = basis(list...)
	e.Settled = settled(list...)
	w.add(e)
}

// open reports whether the plan allows a trip on a day.
func (o TripOptions) open(d civil.Date) bool {
	if wd := d.Weekday(); !o.Weekends && (wd == time.Saturday || wd == time.Sunday) {
		return false
	}
	for _, s := range o.Closed {
		if s.Contains(d) {
			return false
		}
	}
	return true
}
