package seed

import (
	"slices"
	"strconv"

	"treewhen/calendar"
	"treewhen/phenology"
	"treewhen/phenology/civil"
)

// When lots in store are tested: common practice, no source.
const (
	testBefore = 60  // days before the treatment or sowing for which the test says how much to take
	testAgain  = 365 // days after which a test of a lot that is kept on is old
	testLasts  = 30  // days in which a test may be made
)

// lots adds the work on the lots in hand, each by what was done with it.
func (w *Work) lots() {
	for _, h := range w.hands() {
		after := w.collectedOn(h)
		if !h.over() && h.Species.Seed != nil {
			w.followLot(h, after)
		}
	}
}

// stand returns the stand of a lot, nil for none.
func (w *Work) stand(h *hand) *calendar.Stand {
	for _, s := range w.Place.Stands {
		if s.ID == h.Stand {
			return s
		}
	}
	return nil
}

// collectedOn adds the collection of a lot, done on its day, and returns what follows it; nil if there was none.
func (w *Work) collectedOn(h *hand) (after []string) {
	if h.What != calendar.LotCollected {
		return nil
	}
	s := w.stand(h)
	f := &Collection{Ripe: Usually{h.Date, h.Date}, Lot: h.lot(s)}
	e := standEntry(h.Species, h.season, calendar.TaskCollect, s, f)
	e.Window, e.Best = civil.Span{First: h.Date, Last: h.Date}, h.Date
	e.Probability, e.Settled, e.State, e.Lot = 1, true, calendar.Done, f.Lot
	e.Rests.Basis = phenology.BasisSeen
	if !slices.ContainsFunc(w.Entries, func(o *calendar.Entry) bool { return o.Task == e.Task && w.sameEvent(o, e) }) {
		w.Add(e)
		after = []string{e.UID}
	}
	return after
}

// sameEvent reports whether two collections are one event in a calendar: a stand that was gone to twice is one.
func (w *Work) sameEvent(a, b *calendar.Entry) bool {
	return a.Season == b.Season && a.Species[0] == b.Species[0] && slices.Equal(a.Tell, b.Tell)
}

// lot returns what is told of a lot in hand.
func (h *hand) lot(s *calendar.Stand) *calendar.Lot {
	l := &calendar.Lot{ID: h.Lot, SeedZone: h.SeedZone, CleanKG: h.kg}
	if s != nil {
		l.Stands = []string{s.Name}
		if l.SeedZone == "" {
			l.SeedZone = s.SeedZone
		}
	}
	return l
}

// tellLot tells the work on a lot from that on others. Once seed of every stand of its origin is in, the lot with which
// that was so takes over what was planned for that origin, so that the events in calendars go on; any other has its own
// name.
func (w *Work) tellLot(h *hand) []string {
	heir, tell := h, []string(nil)
	if len(w.Place.Stands) > 0 {
		list := origins(w.Place.Stands, h.Species)
		i := slices.IndexFunc(list, func(o origin) bool {
			return slices.ContainsFunc(o.stands, func(s *calendar.Stand) bool { return s.ID == h.Stand })
		})
		if i < 0 {
			return []string{"lot", h.Lot}
		}
		heir, tell = w.lastIn(list[i], h), list[i].tell()
	} else {
		heir = w.firstOf(h, "")
	}
	if heir != h {
		return []string{"lot", h.Lot}
	}
	return tell
}

// firstOf returns the first lot of a stand of the species and season of another; nil if there is none.
func (w *Work) firstOf(h *hand, stand string) *hand {
	i := slices.IndexFunc(w.hands(), func(o *hand) bool {
		return o.Species == h.Species && o.season == h.season && o.Stand == stand
	})
	if i < 0 {
		return nil
	}
	return w.hands()[i]
}

// lastIn returns the lot with which seed of all stands of an origin was in, of the species and season of another; nil
// while it is not.
func (w *Work) lastIn(o origin, h *hand) (last *hand) {
	for _, s := range o.stands {
		first := w.firstOf(h, s.ID)
		switch {
		case first == nil:
			return nil
		case last == nil || first.Date > last.Date:
			last = first
		}
	}
	return last
}

// followLot schedules what is still to do with a lot.
func (w *Work) followLot(h *hand, after []string) {
	f := &following{
		w: w, sp: h.Species, season: h.season, rests: calendar.Rests{Basis: phenology.BasisSeen}, probability: 1,
		first: h.Date, ready: h.Date, window: civil.Span{First: h.Date, Last: h.Date},
		early: int(w.Place.Site().Season(h.season).Day(h.Date)) < earlySeed,
		of:    h.lot(w.stand(h)), tell: w.tellLot(h), hand: h, after: after,
	}
	f.didAll()
	if _, up := h.last(calendar.LotCameUp); up {
		return
	}
	if sown, ok := h.last(calendar.LotSown); ok {
		f.comesUp(sown)
		return
	}
	if day, ok := h.last(calendar.LotSprouting); ok {
		f.sowSprouted(day)
		return
	}
	if begun := h.done[calendar.LotStratified]; len(begun) > 0 {
		f.goOn(begun)
		return
	}
	if cleaned, ok := h.last(calendar.LotCleaned); ok {
		f.ready = cleaned
	} else {
		f.process()
	}
	if stored, ok := h.last(calendar.LotStored); ok {
		f.ready, f.stored = max(f.ready, stored), true
	}
	f.treat()
}

// didAll adds what was done with a lot, each on its day: in a calendar it is the event that was to come, done.
func (f *following) didAll() {
	t := &Treatment{}
	if len(f.sp.Seed.Pretreatments) > 0 {
		t, _ = treat(f.begunTreatment(len(f.hand.done[calendar.LotStratified])))
	}
	f.did(calendar.LotCleaned, calendar.TaskProcess, &Cleaning{})
	f.did(calendar.LotStored, calendar.TaskStore, &Store{})
	for i, day := range f.hand.done[calendar.LotTested] {
		f.w.Add(f.done(day, calendar.TaskTest, &Test{}, tellTest(i)...))
	}
	for i, day := range f.hand.done[calendar.LotStratified] {
		if i < len(t.Steps) {
			e := f.done(day, calendar.TaskStratify, &Stratification{Step: i + 1, Treatment: t}, tellStep(i+1)...)
			f.after = []string{f.w.Add(e).UID}
		}
	}
	f.did(calendar.LotSown, calendar.TaskSow, &Sow{How: InSpring, Treatment: t})
	f.did(calendar.LotCameUp, calendar.TaskGerminated, &Germination{})
}

// did adds a step that was done, if it was, on the last day on which it was.
func (f *following) did(step calendar.LotStep, task calendar.Task, facts Facts) {
	if day, ok := f.hand.last(step); ok {
		f.after = []string{f.w.Add(f.done(day, task, facts)).UID}
	}
}

// done makes an entry that is done.
func (f *following) done(day civil.Date, task calendar.Task, facts Facts, tell ...string) *calendar.Entry {
	e := f.entry(task, facts, tell...)
	e.Window, e.Best, e.Settled, e.State = civil.Span{First: day, Last: day}, day, true, calendar.Done
	return e
}

// open keeps work on a lot open that was to be done before the as-of day: until the end of next week, so that it moves
// once a week and not every day.
func (f *following) open(e *calendar.Entry) {
	if f.hand != nil && e.Window.Last < f.w.Plan.AsOf {
		e.Window.Last = MondayOf(f.w.Plan.AsOf) + 13
	}
}

// comesUp schedules the look at what has come up of a lot that was sown.
func (f *following) comesUp(sown civil.Date) {
	day := f.w.Place.Site().Season(phenology.SeasonAt(*f.w.Place.Site(), sown).Year).Day(sown)
	if day >= autumnFrom {
		f.wintered(f.springAfter(sown))
		return
	}
	f.germination(sown, civil.Span{First: sown, Last: sown})
}

// sowSprouted schedules the sowing of a lot that was found with roots in the store.
func (f *following) sowSprouted(found civil.Date) {
	e := f.entry(calendar.TaskSow, &Sow{How: Sprouted, Treatment: &Treatment{How: &f.sp.Seed.Pretreatments[0]}})
	e.Best, e.Window = found, civil.Span{First: found, Last: found + freshDays}
	f.add(e)
	f.germination(e.Best, e.Window)
}

// goOn schedules what follows the steps of a treatment that have begun, the last of them on the last of some days.
func (f *following) goOn(begun []civil.Date) {
	if len(f.sp.Seed.Pretreatments) == 0 {
		return
	}
	t, _ := treat(f.begunTreatment(len(begun)))
	at := min(len(begun), len(t.Steps)) // steps that have begun
	least := 0
	for _, s := range t.Steps[max(0, at-1):] {
		least += s.Of.MinDays
	}
	since := begun[len(begun)-1]
	sow := f.w.sowingAfter(f.sp, since)
	if ready := since + civil.Date(least); sow.On < ready {
		sow.On = ready
	}
	if at > 0 && t.Steps[at-1].Kind == phenology.ColdStratify {
		f.sprouting(since, t.Steps[at-1].Of.MinDays, sow.On)
	}
	left := 0
	for _, s := range t.Steps[at:] {
		left += s.Days
	}
	for i := at; i < len(t.Steps); i++ {
		earliest := since + civil.Date(t.Steps[max(0, i-1)].Of.MinDays)
		start := max(earliest, sow.On-civil.Date(left))
		f.stratify(&Stratification{Step: i + 1, Treatment: t, Sowing: &sow}, start)
		left -= t.Steps[i].Days
		since = start
	}
	f.sow(&Sow{How: InSpring, Treatment: t, Sowing: &sow})
}

// begunTreatment returns the first treatment that has as many steps as have begun, the usual one if none has.
func (f *following) begunTreatment(steps int) *phenology.Pretreatment {
	list := f.sp.Seed.Pretreatments
	for i := range list {
		if t, _ := treat(&list[i]); len(t.Steps) >= steps {
			return &list[i]
		}
	}
	return &list[0]
}

// sprouting schedules looking into a lot that lies moist and cold, from three quarters of its least cold on.
func (f *following) sprouting(since civil.Date, least int, until civil.Date) {
	e := f.entry(calendar.TaskSprouting, &Sprouting{Since: since, Least: least, Until: until})
	e.Best = min(since+civil.Date(least*3/4), until)
	e.Window = civil.Span{First: e.Best, Last: until}
	f.w.Add(e)
}

// tellTest tells a test of a lot from the first, by how many there were before.
func tellTest(before int) []string {
	if before > 0 {
		return []string{"test " + strconv.Itoa(before+1)}
	}
	return nil
}

// test schedules the test of a lot in store, before what it is tested for, unless it has been tested within a year.
func (f *following) test(before civil.Date) {
	best := before - testBefore
	if tested, ok := f.hand.last(calendar.LotTested); ok && tested > before-testAgain {
		return
	}
	e := f.entry(calendar.TaskTest, &Test{Before: before}, tellTest(len(f.hand.done[calendar.LotTested]))...)
	e.Best = max(best, f.ready)
	e.Window = civil.Span{First: e.Best, Last: max(min(e.Best+testLasts, before), e.Best)}
	f.w.Add(e)
}
