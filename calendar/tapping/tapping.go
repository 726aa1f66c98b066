// Package tapping decides when to tap, from what a hole drilled then would catch, and what follows: runs of sap,
// gathering, the last runs, pulling the taps. It decides in numbers; package words says what it decided.
package tapping

import (
	"maps"
	"slices"

	"treewhen/calendar"
	"treewhen/phenology"
)

// work is the tapping at one place in one season.
type work struct {
	*calendar.Work
	sap  map[string]*Season     // by species
	past map[string]*sizeBounds // by which runs are sized, by rule
}

// Schedule adds the tapping of all species of a place in a season to its work.
func Schedule(at *calendar.Work, season int) {
	if at.Plan.AsOf > at.Place.Outlook.Site.Season(season).Date(365) {
		return // long over
	}
	w := &work{Work: at, sap: map[string]*Season{}, past: map[string]*sizeBounds{}}
	for _, sp := range at.Place.Species {
		w.tapping(sp, season)
	}
	w.warn(season)
}

// tapping schedules the tapping of one species in one season.
func (w *work) tapping(sp *phenology.Species, season int) {
	if !Tappable(sp) {
		return
	}
	est := w.In(sp, season)
	if !dated(est) {
		if w.Place.Outlook.Site.Season(season).Date(60) >= w.Plan.AsOf {
			w.Note(NoDates{Species: sp, Lack: lackOf(est.Get(phenology.SapStart), est.Get(phenology.SapEnd))})
		}
		return
	}
	s := w.seasonOf(est)
	switch {
	case s.Tapped:
		w.Add(s.tappedEntry())
	case s.Advice == NoRecord:
		w.Add(s.tapByPlace())
	case s.IsOpen(), s.Stands():
		w.Add(s.tapEntry())
	}
	if w.isTold(s) {
		w.Accounts = append(w.Accounts, s.Account())
	}
	w.runsAhead(s)
	gather := w.Add(s.gatherEntry())
	w.Add(s.lastEntry())
	w.Add(s.pullEntry())
	gather.After = append(gather.After, calendar.UID(w.Plan.FeedID, w.Place.Site().ID, calendar.Tapping,
		calendar.SpeciesIDs(gather), calendar.TaskTap, gather.Season))
}

// seasonOf works out a species' season of sap, once.
func (w *work) seasonOf(est phenology.Estimates) *Season {
	key := est.Species.ID
	if w.sap[key] == nil {
		w.sap[key] = newSeason(w.Plan, w.Place, est, w.sizesBefore)
	}
	return w.sap[key]
}

// sizesBefore is what all species share of which the sap runs by the same rule.
func (w *work) sizesBefore(t *phenology.Temperatures, rule phenology.RunRule, season phenology.Season) *sizeBounds {
	key := ruleKey(rule)
	if _, ok := w.past[key]; !ok {
		w.past[key] = sizesBefore(t, rule, season)
	}
	return w.past[key]
}

// runsAhead adds the runs that the forecast brings. Species whose sap runs by the same rule share one entry a run,
// with the first of them: they run together.
func (w *work) runsAhead(s *Season) {
	runs := map[int]*calendar.Entry{}
	for _, sp := range w.Place.Species {
		if !Tappable(sp) || !sameRule(sp, s.Species) {
			continue
		}
		est := w.In(sp, s.Season.Year)
		if !dated(est) {
			continue
		}
		told := w.seasonOf(est).runsTold()
		if sp != s.Species && len(runs) == 0 && len(told) > 0 {
			return // that species has made them already
		}
		for _, r := range told {
			if e := runs[r.Number]; e == nil {
				runs[r.Number] = w.seasonOf(est).runEntry(r)
			} else {
				e.Species = append(e.Species, sp)
				f := e.Facts.(*RunFacts)
				f.Volume = f.Volume.join(w.seasonOf(est).RunFacts(r).Volume)
			}
		}
	}
	for _, number := range slices.Sorted(maps.Keys(runs)) {
		e := w.Add(runs[number])
		for _, n := range e.Facts.(*RunFacts).takes {
			e.Takes = append(e.Takes, uidOf(w.Plan, w.Place, e.Task, e.Season, n, ruleKey(*s.Species.Sap.Run)))
		}
	}
}

// sameRule reports whether the sap of two tapped species runs by the same rule, whatever its sources.
func sameRule(a, b *phenology.Species) bool {
	x, y := a.Sap.Run, b.Sap.Run
	return x.Drive == y.Drive && x.Night == y.Night && x.Day == y.Day
}

// TappedOf returns the species of a list that are tapped, in its order.
func TappedOf(list []*phenology.Species) []*phenology.Species {
	var tapped []*phenology.Species
	for _, sp := range list {
		if Tappable(sp) {
			tapped = append(tapped, sp)
		}
	}
	return tapped
}

// Tappable reports whether a species is tapped and its sap can be dated.
func Tappable(sp *phenology.Species) bool {
	return sp.Sap.Tapped != phenology.TappedNever && sp.Sap.Run != nil
}

// lackOf returns what the first of several estimates lacks that has no date.
func lackOf(list ...phenology.Estimate) phenology.Lack {
	for _, e := range list {
		if !e.HasDate() {
			return e.Lack
		}
	}
	return phenology.Lack{}
}
