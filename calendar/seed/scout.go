package seed

import (
	"slices"
	"strconv"

	"treewhen/calendar"
	"treewhen/phenology"
	"treewhen/phenology/civil"
)

// scout schedules the look at the crop, eight to five weeks before the collection, or, where flowers come later than
// that, as soon as they have set.
func (w *Work) scout(sp *phenology.Species, est phenology.Estimates, l lot, crop *calendar.CropNote) *calendar.Entry {
	collect := l.collect
	f := &Scout{Weeks: w.Place.Options.Seed.ScoutWeeks, Collect: collect.Best, Of: collect.Facts.(*Collection)}
	e := standEntry(sp, collect.Season, calendar.TaskScout, l.stand, f)
	e.Best = collect.Best - civil.Date(7*f.Weeks)
	e.Window = civil.Span{First: e.Best - 14, Last: e.Best + 7}
	if flower := est.Get(phenology.Flowering); flower.HasDate() {
		if day := flower.P50(); day < collect.Best && e.Best < day+afterFlowersMin {
			e.Best = min(day+afterFlowersMin, collect.Best-7)
			e.Window = civil.Span{First: e.Best - 4, Last: e.Best + 4}
			f.Weeks, f.AfterFlowering = 0, int(e.Best-day)
		}
	}
	if crop != nil && crop.Date >= e.Window.First {
		return nil // it has been done
	}
	e.Probability, e.Rests = collect.Probability, collect.Rests
	return w.Add(e)
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
