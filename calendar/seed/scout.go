package seed

import (
	"slices"
	"strconv"

	"treewhen/calendar"
	"treewhen/phenology"
	"treewhen/phenology/civil"
)

// scoutedEarly is how many days before the days for it a look at the crop is as good. Our own choice.
const scoutedEarly = 14

// scout schedules the look at the crop, eight to five weeks before the collection, or, where flowers come later than
// that, as soon as they have set.
func (w *Work) scout(sp *phenology.Species, est phenology.Estimates, l lot, crop *calendar.CropNote) *calendar.Entry {
	collect := l.collect
	f := &Scout{Weeks: w.Place.Options.Seed.ScoutWeeks, Collect: collect.Best, Of: collect.Facts.(*Collection)}
	e := standEntry(sp, collect.Season, calendar.TaskScout, l.stand, f)
	var flower civil.Maybe
	if est := est.Get(phenology.Flowering); est.HasDate() {
		flower = civil.Some(est.P50())
	}
	var byFlowers bool
	if e.Best, e.Window, byFlowers = scoutDays(collect.Best, f.Weeks, flower); byFlowers {
		f.Weeks, f.AfterFlowering = 0, int(e.Best-flower.Or(0))
	}
	if crop != nil && crop.Date >= e.Window.First-scoutedEarly {
		return nil // it has been done
	}
	e.Probability, e.Rests = collect.Probability, collect.Rests
	return w.Add(e)
}

// scoutDays returns the best day for a look at the crop that is collected on a day, the days around it, and whether
// flowers set it. Before these have set there is no crop to see. The days are as many whichever sets them, so that they
// do not jump where both are nearly alike.
func scoutDays(collect civil.Date, weeks int, flower civil.Maybe) (best civil.Date, days civil.Span, byFlowers bool) {
	best = collect - civil.Date(7*weeks)
	first := best - 14
	if day, ok := flower.Get(); ok && day < collect {
		set := day + afterFlowersMin
		if byFlowers = best < set; byFlowers {
			best = min(set, collect-7)
		}
		first = max(first, min(set, best)-4)
	}
	return best, civil.Span{First: first, Last: min(best+7, max(best+4, collect-7))}, byFlowers
}

// ripenessChecks schedules two looks before the seed is ripe; the second says when to come again.
func (w *Work) ripenessChecks(sp *phenology.Species, l lot) []*calendar.Entry {
	every := 7
	if l.time.stay < 21 {
		every = 4 // seed that is gone in three weeks wants closer looks; our own choice
	}
	ripe := l.time.opens
	days := []civil.Date{ripe.P10() - civil.Date(every), ripe.P50() - civil.Date(every)}
	if days[1] < days[0]+civil.Date(every) {
		days[1] = days[0] + civil.Date(every)
	}
	var list []*calendar.Entry
	for i, day := range days {
		f := &Check{Number: i + 1, Every: every, Before: ripe.P10(), Test: testOf(sp.Seed)}
		f.Of = l.collect.Facts.(*Collection)
		if i > 0 {
			f.Before = ripe.P50()
		}
		e := standEntry(sp, l.collect.Season, calendar.TaskRipeness, l.stand, f, "check "+strconv.Itoa(f.Number))
		e.Best, e.Window = day, civil.Span{First: day - 2, Last: day + 2}
		e.Probability, e.Rests = l.collect.Probability, l.collect.Rests
		if len(list) > 0 {
			e.After = []string{list[0].UID}
		}
		list = append(list, w.Add(e))
	}
	return list
}

// testOf returns the usual test of a sample of seed, "" for none, or for one that is among the species' own signs.
func testOf(s *phenology.Seed) SampleTest {
	test, kind := SampleTest(""), phenology.CutTest
	switch s.Fruit {
	case phenology.Acorn, phenology.Nut:
		test, kind = FloatNuts, phenology.FloatTest
	case phenology.Drupe, phenology.Berry, phenology.Pome:
		test = CutStones
	case phenology.Cone, phenology.SeedCatkin, phenology.BerryLikeCone:
		test = CutCones
	case phenology.Samara, phenology.Nutlet:
		test = CutSamaras
	}
	if slices.ContainsFunc(s.MaturitySigns, func(sign phenology.MaturitySign) bool { return sign.Test == kind }) {
		return ""
	}
	return test
}
