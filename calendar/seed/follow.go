package seed

import (
	"slices"
	"strconv"

	"treewhen/calendar"
	"treewhen/phenology"
	"treewhen/phenology/civil"
)

// Our own choices, common practice where a source could be named.
const (
	freshDays     = 7   // within which seed that must not dry is sown
	sowSpread     = 7   // days to either side of a sowing date
	startSpread   = 3   // days to either side of the start of a stratification
	weekend       = 2   // days
	storeFrom     = 14  // days between clean seed and its treatment from which it is put in store
	earlySeed     = 213 // day of the season, 1 August: what is ripe before it and needs no treatment is sown at once
	germinateBest = 21  // days after sowing
)

// How many days after sowing it comes up.
const (
	GerminateFrom  = 14
	GerminateUntil = 42
)

// follow schedules what must follow the collections of a species' seed of one origin in one season: processing, then
// sowing at once, or store, stratification that ends at the sowing date, and sowing; and a look at what has come up.
func (w *Work) follow(sp *phenology.Species, o origin, lots []lot) {
	lead := lots[0].collect
	f := &following{
		w: w, sp: sp, season: lead.Season, rests: lead.Rests, first: lead.Best, ready: lead.Best, window: lead.Window,
		early: lots[0].time.opens.Dist.Mean() < earlySeed, of: o.lot(), tell: o.tell(),
	}
	for _, l := range lots {
		f.after = append(f.after, l.collect.UID)
		f.ready = max(f.ready, l.collect.Best)
		f.window.First = min(f.window.First, l.collect.Window.First)
		f.window.Last = max(f.window.Last, l.collect.Window.Last)
		f.probability = max(f.probability, l.collect.Probability)
	}
	f.process()
	f.treat()
}

// following is the work that follows the collections of a species' seed of one origin in one season, or that of a lot
// in hand.
type following struct {
	w           *Work
	sp          *phenology.Species
	season      int
	rests       calendar.Rests
	probability float64       // that there is seed
	first       civil.Date    // the best day of the first collection
	window      civil.Span    // of all collections
	ready       civil.Date    // the last of it is in, and clean once process has run
	early       bool          // it is ripe before August
	of          *calendar.Lot // nil: of the place as a whole
	tell        []string      // what tells it from that of other origins
	after       []string      // UIDs that the next entry follows
	stored      bool          // it has been put in store
	hand        *hand         // the lot in hand; nil of seed that is still to be collected
}

// treat schedules what becomes of clean seed.
func (f *following) treat() {
	treat := f.sp.Seed.Pretreatments
	switch {
	case len(treat) == 0:
	case len(treat[0].Steps) == 0 && (f.sp.Seed.Storage == phenology.Recalcitrant || f.early):
		f.sowAtOnce(&treat[0])
	default:
		f.sowLater()
	}
}

// entry begins an entry of a task.
func (f *following) entry(task calendar.Task, facts Facts, tell ...string) *calendar.Entry {
	return &calendar.Entry{
		Activity: calendar.SeedCollection, Task: task, Species: []*phenology.Species{f.sp}, Season: f.season, Lot: f.of,
		Tell: slices.Concat(f.tell, tell), Probability: f.probability, Rests: f.rests, After: slices.Clone(f.after),
		Facts: facts,
	}
}

// add keeps an entry; the next one follows it.
func (f *following) add(e *calendar.Entry) {
	f.open(e)
	e = f.w.Add(e)
	f.after = []string{e.UID}
}

// process schedules extraction and drying.
func (f *following) process() {
	days := f.sp.Seed.ProcessingDays()
	if len(f.sp.Seed.Processing) > 0 {
		e := f.entry(calendar.TaskProcess, &Cleaning{days})
		e.Best = f.first + 1
		e.Window = civil.Span{First: f.window.First, Last: f.window.Last + civil.Date(max(days, 1))}
		f.add(e)
		f.ready = max(f.ready, e.Best-1)
	}
	f.ready += civil.Date(max(days, 1))
}

// sowAtOnce schedules the sowing of seed that is sown fresh, and the look at what has come up.
func (f *following) sowAtOnce(how *phenology.Pretreatment) {
	e := f.entry(calendar.TaskSow, &Sow{How: AtOnce, Treatment: &Treatment{How: how}})
	e.Window = civil.Span{First: f.window.First, Last: f.window.Last + freshDays}
	e.Best = min(f.first+max(1, civil.Date(f.sp.Seed.ProcessingDays())), e.Window.Last)
	f.add(e)
	if f.early {
		f.germination(e.Best, e.Window)
		return
	}
	// Sown in autumn, it comes up in spring.
	f.wintered(f.w.sowingAfter(f.sp, f.ready).On)
}

// sowLater schedules store, treatment and sowing.
func (f *following) sowLater() {
	sow := f.w.sowingAfter(f.sp, f.ready)
	if f.hand != nil && sow.On+sowSpread < f.w.Plan.AsOf {
		sow = f.w.sowingAfter(f.sp, f.w.Plan.AsOf) // it was kept past the spring for which it was collected
	}
	if sow.own() && f.inAutumn(sow.On) {
		f.sowInAutumn(&sow)
		return
	}
	treat, ok := fitTreatment(f.sp.Seed.Pretreatments, int(sow.On-f.ready))
	var late *Shortfall
	if !ok {
		late = f.late(&sow, treat)
		treat, _ = fitTreatment(f.sp.Seed.Pretreatments, int(sow.On-f.ready))
	}
	if k := f.sp.Seed.Keep; k != nil && k.Moist && len(treat.Steps) == 1 &&
		treat.Steps[0].Kind == phenology.ColdStratify {
		step := treat.Steps[0]
		step.Days = int(sow.On - f.ready)
		f.store(&Store{Until: sow.On, Stratifies: &step, Sowing: &sow, Late: late})
		if f.stored {
			f.sprouting(f.ready, step.Of.MinDays, sow.On)
		}
		f.sow(&Sow{How: InSpring, Treatment: treat, Sowing: &sow, Late: late})
		return
	}
	start := sow.On - civil.Date(treat.total())
	if len(treat.Steps) > 1 && start-weekend >= f.ready {
		start -= weekend // so that steps may begin on working days and none is cut short
	}
	if start-f.ready > storeFrom {
		f.store(&Store{Until: start})
		if f.hand != nil {
			f.test(start)
		}
	}
	for i, step := range treat.Steps {
		begun := f.stratify(&Stratification{Step: i + 1, Treatment: treat, Sowing: &sow, Late: late}, start)
		start = max(start, begun) + civil.Date(step.Days)
	}
	f.sow(&Sow{How: InSpring, Treatment: treat, Sowing: &sow, Late: late})
}

// Days of the season from which to which sowing is autumn sowing: the winter in the bed takes the place of a cold
// store. 1 September and 15 December; our own choice.
const autumnFrom, autumnTo = 244, 349

// inAutumn reports whether a sowing date is of the autumn in which the seed was collected.
func (f *following) inAutumn(on civil.Date) bool {
	day := f.w.Place.Site().Season(f.season).Day(on)
	return day >= autumnFrom && day <= autumnTo
}

// sowInAutumn schedules sowing before winter, on the owner's own date.
func (f *following) sowInAutumn(sow *Sowing) {
	usual := &Treatment{How: &f.sp.Seed.Pretreatments[0]}
	e := f.entry(calendar.TaskSow, &Sow{How: ForWinter, Treatment: usual, Sowing: sow})
	e.Best, e.Window = sow.On, civil.Span{First: max(f.ready, sow.On-sowSpread), Last: sow.On + sowSpread}
	f.add(e)
	f.wintered(f.springAfter(sow.On))
}

// springAfter returns the day on which the rest is sown after a sowing in autumn, which then comes up; a rule for this
// species alone says nothing of that.
func (f *following) springAfter(sown civil.Date) civil.Date {
	date := f.w.defaultSowing()
	if opt := f.w.Place.Options.Seed; opt.SowingSet {
		date = opt.Sowing
	}
	spring := date.In(sown.Year())
	if spring <= sown {
		spring = date.In(sown.Year() + 1)
	}
	return spring
}

// store schedules putting clean seed away until its treatment begins, or moist and cold, which is its treatment.
func (f *following) store(facts *Store) {
	if f.stored {
		return
	}
	e := f.entry(calendar.TaskStore, facts)
	e.Best = f.ready
	cleaning := max(civil.Date(f.sp.Seed.ProcessingDays()), 1)
	e.Window = civil.Span{First: min(f.first+1, e.Best), Last: max(f.window.Last+cleaning+startSpread, e.Best)}
	f.add(e)
}

// tellStep tells a step of a treatment from the first.
func tellStep(step int) []string {
	if step > 1 {
		return []string{"step " + strconv.Itoa(step)}
	}
	return nil
}

// stratify schedules the start of one step of a treatment, and returns its best day.
func (f *following) stratify(facts *Stratification, start civil.Date) civil.Date {
	if last := facts.Sowing.On - civil.Date(facts.Least()); last > start {
		facts.LastStart = last
	}
	e := f.entry(calendar.TaskStratify, facts, tellStep(facts.Step)...)
	e.Best, e.Window = start, civil.Span{First: max(start-startSpread, min(f.ready, start)), Last: start + startSpread}
	f.add(e)
	return e.Best
}

// sow schedules the sowing of treated or stored seed, and the look at what has come up.
func (f *following) sow(facts *Sow) {
	e := f.entry(calendar.TaskSow, facts)
	on := facts.Sowing.On
	e.Best, e.Window = on, civil.Span{First: on - sowSpread, Last: on + sowSpread}
	if facts.Sowing.By == ByFrost || facts.Late != nil && facts.Late.ByDays() { // it cannot be sown before
		e.Window = civil.Span{First: on, Last: on + 2*sowSpread}
	}
	f.add(e)
	f.germination(e.Best, e.Window)
}

// germination schedules the look at what has come up of a sowing.
func (f *following) germination(sown civil.Date, window civil.Span) {
	e := f.entry(calendar.TaskGerminated, &Germination{})
	e.Best = sown + germinateBest
	e.Window = civil.Span{First: max(sown, window.First) + GerminateFrom, Last: max(window.Last, sown) + GerminateUntil}
	f.add(e)
}

// wintered schedules the look at what has come up of a sowing in autumn, on the day on which the rest is sown.
func (f *following) wintered(spring civil.Date) {
	e := f.entry(calendar.TaskGerminated, &Germination{Wintered: true})
	e.Best = spring
	e.Window = civil.Span{First: spring - GerminateFrom, Last: spring - germinateBest + GerminateUntil}
	f.add(e)
}
