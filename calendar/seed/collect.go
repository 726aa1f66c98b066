package seed

import (
	"cmp"
	"math"
	"slices"
	"strings"

	"treewhen/calendar"
	"treewhen/phenology"
)

// ReachKM is how far outside its range a species is dated for collecting, in kilometres.
const ReachKM = 500

// These are our own choice.
const (
	surest          = 0.99 // no crop is surer than this: hail, frost and weevils are in no model
	cropBefore      = 230  // days before ripeness from which a scouting note is of this season's crop
	afterFlowersMin = 14   // days after flowering before which no crop can be judged
)

// lot is the seed of one species from one stand in one season.
type lot struct {
	stand   *calendar.Stand // nil: the place as a whole
	collect *calendar.Entry
	time    seedTime
}

// seed schedules the seed work of one species in one season: at each stand up to the collection, then for the seed of
// each origin.
func (w *Work) seed(sp *phenology.Species, season int) {
	if sp.Seed == nil || slices.Contains(w.Place.Options.Seed.Prohibited, sp.ID) {
		return
	}
	if len(w.Place.Stands) == 0 {
		if l, ok := w.lot(sp, season, nil); ok {
			w.follow(sp, origin{}, []lot{l})
		}
		return
	}
	for _, o := range origins(w.Place.Stands, sp) {
		var lots []lot
		for _, s := range o.stands {
			if l, ok := w.lot(sp, season, s); ok {
				lots = append(lots, l)
			}
		}
		slices.SortFunc(lots, func(a, b lot) int {
			return cmp.Or(cmp.Compare(a.collect.Best, b.collect.Best), slices.Compare(a.collect.Tell, b.collect.Tell))
		})
		if len(lots) > 0 {
			w.follow(sp, o, lots)
		}
	}
}

// collected returns the species whose seed is collected: the place's own, or, where it has stands, all of theirs, by
// id.
func collected(p *calendar.Place) []*phenology.Species {
	if len(p.Stands) == 0 {
		return p.Species
	}
	var all []*phenology.Species
	for _, s := range p.Stands {
		for _, sp := range s.Species {
			if !slices.Contains(all, sp) {
				all = append(all, sp)
			}
		}
	}
	slices.SortFunc(all, func(a, b *phenology.Species) int { return strings.Compare(a.ID, b.ID) })
	return all
}

// lot schedules scouting, ripeness checks and collection at a stand, and whether there will be seed to follow up.
func (w *Work) lot(sp *phenology.Species, season int, s *calendar.Stand) (lot, bool) {
	l := lot{stand: s}
	site, where := w.Place.Outlook.Site, ""
	est := phenology.Estimates{}
	if s == nil {
		est = w.In(sp, season)
	} else {
		site, where = s.Outlook.Site, s.Name
		est = Moved(s.Outlook.Estimate(sp, season), s.Offset)
	}
	outside := sp.KilometresOutside(site) // which has widened the estimates already
	if outside > ReachKM {
		w.tooFar(sp, where, outside)
		return l, false
	}
	var ok bool
	if l.time, ok = seedTimeOf(est, sp.Seed.Gather()); !ok {
		w.Note(noSeed(est, where))
		return l, false
	}
	if w.collected(sp, season, s) {
		return l, false // what follows goes by the lot
	}
	crop := w.crop(sp, season, s, est)
	l.collect = w.collect(sp, est, l, outside, crop)
	if crop != nil && crop.Crop == calendar.NoCrop {
		if w.inSpan(l.collect) {
			w.Note(NothingToCollect{sp, where, season, crop.Date})
		}
		return l, false
	}
	if scout := w.scout(sp, est, l, crop); scout != nil {
		l.collect.After = append(l.collect.After, scout.UID)
	}
	for _, check := range w.ripenessChecks(sp, l) {
		l.collect.After = append(l.collect.After, check.UID)
	}
	w.Add(l.collect)
	if outside > 0 && w.inSpan(l.collect) && w.Place.Chosen {
		w.Note(OutsideRange{sp, where, whole(outside)})
	}
	return l, true
}

// whole rounds a figure to the whole that is told of it.
func whole(x float64) int { return int(math.RoundToEven(x)) }

// noSeed says why seed cannot be dated; where ripeness is counted from another phase, why that one cannot.
func noSeed(est phenology.Estimates, where string) NoDates {
	p := phenology.FruitRipe
	for range phenology.Phases() {
		r := est.Species.Phase(p)
		if r == nil || r.Model == nil || len(r.Model.Models) != 1 {
			break
		}
		lag, ok := r.Model.Models[0].(phenology.Lag)
		if !ok || est.Get(lag.After).HasDate() {
			break
		}
		p = lag.After
	}
	if p != phenology.FruitRipe {
		return NoDates{est.Species, where, p, est.Get(p).Lack}
	}
	for _, p := range []phenology.Phase{phenology.FruitRipe, phenology.SeedFall, phenology.SeedFallEnd} {
		if e := est.Get(p); !e.HasDate() {
			return NoDates{est.Species, where, phenology.FruitRipe, e.Lack}
		}
	}
	return NoDates{Species: est.Species, Stand: where, After: phenology.FruitRipe}
}

// tooFar notes a species that is not dated because the place is too far outside its range. A library's worth of them is
// one note.
func (w *Work) tooFar(sp *phenology.Species, where string, km float64) {
	if w.Place.Chosen {
		w.Note(TooFar{sp, where, whole(km)})
		return
	}
	if !slices.Contains(w.far, sp) {
		w.far = append(w.far, sp)
	}
}

// Moved returns the dates of a stand where spring comes some days later: what moves later northward moves with it, what
// moves earlier moves against it.
func Moved(est phenology.Estimates, days float64) phenology.Estimates {
	if days == 0 {
		return est
	}
	var by func(e phenology.Estimate) float64
	by = func(e phenology.Estimate) float64 {
		if e.After != nil { // a date counted from another moves with it
			return by(*e.After)
		}
		record := est.Species.Phase(e.Phase)
		switch {
		case e.Basis == phenology.BasisSeen || record == nil:
			return 0 // what was seen here has the stand's lateness in it already
		case record.Moves == phenology.MovesLater:
			return days
		case record.Moves == phenology.MovesEarlier:
			return -days
		}
		return 0
	}
	list := make([]phenology.Estimate, len(est.List))
	for i, e := range est.List {
		list[i] = e.Moved(by(e))
	}
	est.List = list
	return est
}

// crop returns what scouting found of this season's crop: the latest note of the stand, else of the whole place; nil if
// nobody has looked.
func (w *Work) crop(sp *phenology.Species, season int, s *calendar.Stand, est phenology.Estimates) *calendar.CropNote {
	var latest *calendar.CropNote
	ripe := est.Get(phenology.FruitRipe)
	for i := range w.Place.Crops {
		n := &w.Place.Crops[i]
		here := n.Stand == "" || s != nil && n.Stand == s.ID
		// A crop is scouted from the winter before it, by its flower buds, to the autumn or winter in which it falls.
		near := n.Date > ripe.P50()-cropBefore && n.Date <= ripe.P50()-cropBefore+365
		if n.Species != sp.ID || !here || !near {
			continue
		}
		own := latest != nil && latest.Stand != ""
		if latest == nil || n.Stand != "" && !own || (n.Stand != "") == own && n.Date >= latest.Date {
			latest = n
		}
	}
	return latest
}

// collect makes the collection's entry; it is not added yet.
func (w *Work) collect(
	sp *phenology.Species, est phenology.Estimates, l lot, outside float64, crop *calendar.CropNote,
) *calendar.Entry {
	ripe, fall := est.Get(phenology.FruitRipe), est.Get(phenology.SeedFall)
	best, _ := l.time.best()
	law := w.Place.Law(sp)
	f := &Collection{
		Ripe: usually(ripe), Stays: int(math.Round(l.time.stay)), Crop: crop,
		MayForbid: law.MayForbid(), Law: law, Need: w.need(sp, est.Season.Year, l.stand),
	}
	if fall.HasDate() {
		falls := usually(fall)
		f.Falls = &falls
	}
	if outside > 0 {
		f.Outside = &Outside{KM: whole(outside), Days: whole(phenology.OutsideSD(outside))}
	}
	if l.stand != nil {
		f.Elevation = l.stand.Outlook.Site.Elevation
	}
	phases := []phenology.Phase{phenology.FruitRipe, phenology.SeedFall, phenology.SeedFallEnd}
	if ripe.After != nil { // what it is counted from dates it too
		phases = append([]phenology.Phase{ripe.After.Phase}, phases...)
	}
	f.Sources = est.Cited(phases...)
	e := standEntry(sp, est.Season.Year, calendar.TaskCollect, l.stand, f)
	e.Window, e.Best = l.time.window(), best
	w.onWorkday(e)
	visit := l.time.on(e.Best)
	f.One, f.Visits = calendar.Chance(visit), visitsFor(visit)
	e.Probability = min(l.time.within(e.Window), surest)
	e.Settled = calendar.Settled(l.time.rests...)
	e.Rests = calendar.RestsOn(l.time.rests...)
	if e.Rests.Recalled {
		e.Probability = min(e.Probability, calendar.SurestRecalled)
	}
	e.Reminders = []calendar.Reminder{{Before: 3, On: e.Window.First, Minute: w.Place.Options.Seed.Reminder}}
	return e
}

// standEntry makes an entry of a stand's, or of the whole place's where the stand is nil. What tells it from others of
// its task goes into its identifier.
func standEntry(
	sp *phenology.Species, season int, task calendar.Task, s *calendar.Stand, f Facts, tell ...string,
) *calendar.Entry {
	if s != nil {
		tell = append([]string{"stand", s.ID}, tell...)
	}
	return &calendar.Entry{
		Activity: calendar.SeedCollection, Task: task, Species: []*phenology.Species{sp}, Season: season, Stand: s,
		Tell: tell, Facts: f,
	}
}

func (w *Work) inSpan(e *calendar.Entry) bool { return e.Window.Overlaps(w.Plan.Span) }
