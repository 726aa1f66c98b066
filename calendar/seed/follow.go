package seed

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"treewhen/calendar"
	"treewhen/calendar/phrase"
	"treewhen/phenology"
	"treewhen/phenology/civil"
)

// Our own choices, common practice where a source could be named.
const (
	freshDays      = 7   // within which seed that must not dry is sown
	sowSpread      = 7   // days to either side of a sowing date
	startSpread    = 3   // days to either side of the start of a stratification
	storeFrom      = 14  // days between clean seed and its treatment from which it is put in store
	earlySeed      = 213 // day of the season, 1 August: what is ripe before it and needs no treatment is sown at once
	germinateFrom  = 14  // days after sowing
	germinateBest  = 21
	germinateUntil = 42
)

// follow schedules what must follow the collections of a species in one season, all its lots together: processing, then
// sowing at once, or store, stratification that ends at the sowing date, and sowing; and a look at what has come up.
func (w *Work) follow(sp *phenology.Species, lots []lot) {
	f := &following{w: w, sp: sp, lots: lots, ready: lots[0].collect.Best}
	f.window = lots[0].collect.Window
	f.lead = lots[0].collect
	for _, l := range lots {
		f.after = append(f.after, l.collect.UID)
		f.ready = max(f.ready, l.collect.Best)
		f.window.First, f.window.Last = min(f.window.First, l.collect.Window.First), max(f.window.Last, l.collect.Window.Last)
		if l.collect.Best < f.lead.Best {
			f.lead = l.collect
		}
	}
	f.process()
	treat := sp.Seed.Pretreatments
	if len(treat) == 0 {
		return
	}
	early := lots[0].time.opens.Dist.Mean() < earlySeed
	if len(treat[0].Steps) == 0 && (sp.Seed.Storage == phenology.Recalcitrant || early) {
		f.sowAtOnce(treat[0])
		return
	}
	f.sowLater()
}

// following is the work that follows the collections of one species in one season.
type following struct {
	w      *Work
	sp     *phenology.Species
	lots   []lot
	lead   *calendar.Entry // the collection that comes first
	window civil.Span      // of all collections
	ready  civil.Date      // the last lot is in, and clean once process has run
	after  []string        // UIDs that the next entry follows
}

// entry begins an entry of a task.
func (f *following) entry(task calendar.Task, summary string, tell ...string) *calendar.Entry {
	p := 0.0
	for _, l := range f.lots {
		p = max(p, l.collect.Probability)
	}
	return &calendar.Entry{
		Activity: calendar.SeedCollection, Task: task, Species: f.lead.Species, Season: f.lead.Season, Tell: tell, Summary: summary,
		Probability: p, ProbabilityOf: followsOf,
		Rests: f.lead.Rests, After: slices.Clone(f.after),
	}
}

// add keeps an entry; the next one follows it.
func (f *following) add(e *calendar.Entry) *calendar.Entry {
	e = f.w.Add(e)
	f.after = []string{e.UID}
	return e
}

func (f *following) name() string { return phrase.Name(f.sp.Name()) }

// process schedules extraction and drying.
func (f *following) process() {
	s := f.sp.Seed
	days := civil.Date(s.ProcessingDays())
	if len(s.Processing) > 0 {
		e := f.entry(calendar.TaskProcess, "Clean "+f.name()+" seed")
		e.Best = f.lead.Best + 1
		e.Window = civil.Span{First: f.window.First, Last: f.window.Last + max(days, 1)}
		e.Reasons = []string{"From the day after each collection; seed in heaps heats and molds."}
		if days > 0 {
			e.Reasons = append(e.Reasons, fmt.Sprintf("It takes about %s.", phrase.Count(int(days), "day")))
		}
		for _, p := range s.Processing {
			text := phrase.Sentence(p.Text)
			if p.MaxDays > 0 {
				text = strings.TrimSuffix(text, ".") + " (" + phrase.Days(p.MinDays, p.MaxDays) + ")."
			}
			e.LookFor = append(e.LookFor, text)
			e.Sources = calendar.AddSource(e.Sources, p.Source)
		}
		if q := s.SeedsPerKg; q != nil {
			e.LookFor = append(e.LookFor, fmt.Sprintf("Weigh it: %s cleaned seeds go to a kilogram (%s).", phrase.Thousands(q.Low, q.High), q.Source))
		}
		e.Cautions = indoorCautions(f.sp)
		f.add(e)
	}
	f.ready += max(days, 1)
}

// indoorCautions are the cautions that go with a species wherever it is: those of collecting alone, such as falling nuts
// and high water, stay outdoors.
func indoorCautions(sp *phenology.Species) (list []string) {
	for _, c := range sp.Cautions {
		if len(c.Activities) == 0 {
			list = append(list, sp.Name()+": "+phrase.Sentence(c.Text))
		}
	}
	return list
}

// sowAtOnce schedules the sowing of seed that is sown fresh, and the look at what has come up.
func (f *following) sowAtOnce(how phenology.Pretreatment) {
	e := f.entry(calendar.TaskSow, "Sow "+f.name()+" at once")
	e.Window = civil.Span{First: f.window.First, Last: f.window.Last + freshDays}
	e.Best = min(f.lead.Best+max(1, civil.Date(f.sp.Seed.ProcessingDays())), e.Window.Last)
	e.Reasons = []string{fmt.Sprintf("Its seed is %s and needs no pre-treatment: sow within days of collecting.", f.sp.Seed.Storage)}
	e.LookFor = f.notes(how)
	e.Sources = calendar.AddSource(calendar.AddSource(nil, how.Source), f.sp.Seed.StorageSource)
	e.Fresh = true
	f.add(e)
	if f.lots[0].time.opens.Dist.Mean() < earlySeed {
		f.germination(e.Best, e.Window, false)
		return
	}
	// Sown in autumn, it comes up in spring.
	spring := f.w.sowingAfter(f.sp, f.ready)
	f.germination(spring.on-germinateBest, civil.Span{First: spring.on - germinateBest, Last: spring.on}, true)
}

// notes are a treatment's note and how the species' seed is kept.
func (f *following) notes(how phenology.Pretreatment) (list []string) {
	if how.Note != "" {
		list = append(list, phrase.Sentence(how.Note))
	}
	return list
}

// sowLater schedules store, treatment and sowing.
func (f *following) sowLater() {
	sow := f.w.sowingAfter(f.sp, f.ready)
	if sow.own && f.inAutumn(sow.on) {
		f.sowInAutumn(sow)
		return
	}
	fit, ok := fitTreatment(f.sp.Seed.Pretreatments, int(sow.on-f.ready))
	late := ""
	if !ok {
		late = f.shortfall(&sow, fit)
		fit, _ = fitTreatment(f.sp.Seed.Pretreatments, int(sow.on-f.ready))
	}
	start := sow.on - civil.Date(fit.total())
	if start-f.ready > storeFrom {
		f.store(start)
	}
	for i, step := range fit.steps {
		f.stratify(fit, i, start, sow, late)
		start += civil.Date(step.days)
	}
	f.sow(sow, fit, late)
}

// Days of the season from which to which sowing is autumn sowing: the winter in the bed takes the place of a cold store.
// 1 September and 15 December; our own choice.
const autumnFrom, autumnTo = 244, 349

// inAutumn reports whether a sowing date is of the autumn in which the seed was collected.
func (f *following) inAutumn(on civil.Date) bool {
	day := f.w.Place.Site().Season(f.lead.Season).Day(on)
	return day >= autumnFrom && day <= autumnTo
}

// sowInAutumn schedules sowing before winter, on the owner's own date.
func (f *following) sowInAutumn(sow sowing) {
	how := f.sp.Seed.Pretreatments[0]
	e := f.entry(calendar.TaskSow, "Sow "+f.name()+" for the winter")
	e.Best, e.Window = sow.on, civil.Span{First: max(f.ready, sow.on-sowSpread), Last: sow.on + sowSpread}
	e.Reasons = []string{sow.reason}
	if cold, warm := treatmentSteps(how.Steps).has(phenology.ColdStratify), treatmentSteps(how.Steps).has(phenology.WarmStratify); warm {
		e.Reasons = append(e.Reasons, "It wants warmth before cold: sown now, most of it comes up in the second spring.")
	} else if cold {
		_, text := Treatment(how)
		e.Reasons = append(e.Reasons, "The winter in the bed takes the place of: "+phrase.Uncapital(text)+".")
	}
	e.LookFor = []string{"Cover with mesh against mice and squirrels, and mulch against frost heave."}
	e.Sources = calendar.AddSource(calendar.AddSource(nil, how.Source), f.sp.Seed.StorageSource)
	f.add(e)
	// It comes up when the rest is sown; a rule for this species alone says nothing of that.
	date := f.w.defaultSowing()
	if opt := f.w.Place.Options.Seed; opt.SowingSet {
		date = opt.Sowing
	}
	spring := date.In(sow.on.Year())
	if spring <= sow.on {
		spring = date.In(sow.on.Year() + 1)
	}
	f.germination(spring-germinateBest, civil.Span{First: spring - germinateBest, Last: spring}, true)
}

// shortfall says by how many days a sowing date is too early for any treatment, and puts it off. Where the plan's owner
// set the date and named the species, that is an error of the plan.
func (f *following) shortfall(sow *sowing, fit treatmentPlan) string {
	need := civil.Date(fit.least)
	short, lastStart := f.ready+need-sow.on, sow.on-need
	text := fmt.Sprintf("sowing %s on %s leaves %s after its seed is ready, on %s, and it needs at least %d (%s): %s short; "+
		"the last good start for that date is %s", f.name(), phrase.LongDate(sow.on), phrase.Count(max(0, int(sow.on-f.ready)), "day"), phrase.LongDate(f.ready), fit.least,
		fit.text, phrase.Count(int(short), "day"), phrase.LongDate(lastStart))
	if sow.own && f.w.Place.Chosen && f.w.Plan.Span.Contains(sow.on) {
		f.w.Problem(sow.line, text, fmt.Sprintf("sow it on %s or later, or in the second spring: activities.seed-collection.sowing_of: {%s: second-spring}",
			(f.ready+need).Format("01-02"), f.sp.ID))
	}
	if f.sp.Seed.Storage == phenology.Recalcitrant {
		sow.on = f.ready + need // it cannot wait for another spring
		return "Put off, since " + text + ", and its seed cannot wait for another spring."
	}
	for sow.on-f.ready < need {
		sow.on = yearLater(sow.on)
	}
	return "Put off to another spring, since " + text + "."
}

func yearLater(d civil.Date) civil.Date {
	return civil.MonthDay{Month: d.Month(), Day: d.Day()}.In(d.Year() + 1)
}

// store schedules putting clean seed away until its treatment begins.
func (f *following) store(until civil.Date) {
	e := f.entry(calendar.TaskStore, "Store "+f.name()+" seed")
	e.Best = f.ready
	e.Window = civil.Span{First: f.lead.Best + 1, Last: f.window.Last + max(civil.Date(f.sp.Seed.ProcessingDays()), 1) + startSpread}
	e.Window.First, e.Window.Last = min(e.Window.First, e.Best), max(e.Window.Last, e.Best)
	e.Reasons = []string{fmt.Sprintf("Its seed is %s; it waits until %s.", f.sp.Seed.Storage, phrase.LongDate(until))}
	if k := f.sp.Seed.Keep; k != nil {
		e.LookFor = append(e.LookFor, "Keep it "+strings.TrimSuffix(k.Text, ".")+".")
		e.Sources = calendar.AddSource(e.Sources, k.Source)
	}
	e.LookFor = append(e.LookFor, "Label inside and out: species, stand, seed zone, date, weight; keep lots apart.")
	e.Sources = calendar.AddSource(e.Sources, f.sp.Seed.StorageSource)
	f.add(e)
}

// stratify schedules the start of one step of a treatment.
func (f *following) stratify(fit treatmentPlan, i int, start civil.Date, sow sowing, late string) {
	s := fit.steps[i]
	var tell []string
	if i > 0 {
		tell = []string{fmt.Sprintf("step %d", i+1)}
	}
	summary := "Start to stratify " + f.name() + " seed"
	switch {
	case i > 0 && s.Kind == phenology.ColdStratify:
		summary = "Move " + f.name() + " seed to the cold"
	case i > 0:
		summary = "Move " + f.name() + " seed to the warm"
	case len(fit.steps) > 1:
		summary = fmt.Sprintf("Start the %s stratification of %s seed", s.Kind, f.name())
	}
	e := f.entry(calendar.TaskStratify, summary, tell...)
	e.Best, e.Window = start, civil.Span{First: max(start-startSpread, min(f.ready, start)), Last: start + startSpread}
	rest := 0
	for _, later := range fit.steps[i:] {
		rest += later.MinDays
	}
	long := ""
	if s.MinDays < s.MaxDays {
		long = fmt.Sprintf(", %d of them here", s.days)
	}
	e.Reasons = []string{fmt.Sprintf("%s%s, so that all ends at sowing on %s.", phrase.Capital(step(s.TreatmentStep)), long, phrase.LongDate(sow.on)), sow.reason}
	if last := sow.on - civil.Date(rest); last > start {
		e.Reasons = append(e.Reasons, fmt.Sprintf("The last good start is %s, %d days before.", phrase.LongDate(last), rest))
	}
	if fit.squeezed {
		e.Reasons = append(e.Reasons, "There is not time for the middle of the range: the steps are shortened towards their least.")
	}
	if late != "" {
		e.Reasons = append(e.Reasons, late)
	}
	if i == 0 {
		for _, before := range fit.before {
			e.LookFor = append(e.LookFor, "First "+step(before)+".")
		}
		e.LookFor = append(e.LookFor, f.notes(fit.how)...)
		e.LookFor = append(e.LookFor, "Seed moist, not wet, in a bag or box that lets air through; look for mold and early roots every week or two.")
	}
	e.Steps = treatmentSteps{s.TreatmentStep}
	if i == 0 {
		e.Steps = append(e.Steps, fit.before...)
		e.Cautions = scarifyCaution(fit.before)
	}
	e.Sources = calendar.AddSource(nil, fit.how.Source)
	f.add(e)
}

// treatmentSteps are some steps of a pre-treatment.
type treatmentSteps []phenology.TreatmentStep

func (list treatmentSteps) has(kind phenology.TreatmentKind) bool {
	return slices.ContainsFunc(list, func(s phenology.TreatmentStep) bool { return s.Kind == kind })
}

func scarifyCaution(steps []phenology.TreatmentStep) []string {
	if treatmentSteps(steps).has(phenology.Scarify) {
		return []string{"Scarify by file, sandpaper or hot water where you can; acid burns, and is for trained people with goggles, gloves and running water."}
	}
	return nil
}

// sow schedules the sowing of treated or stored seed, and the look at what has come up.
func (f *following) sow(sow sowing, fit treatmentPlan, late string) {
	e := f.entry(calendar.TaskSow, "Sow "+f.name())
	e.Best, e.Window = sow.on, civil.Span{First: sow.on - sowSpread, Last: sow.on + sowSpread}
	if sow.frost {
		e.Window = civil.Span{First: sow.on, Last: sow.on + 2*sowSpread}
	}
	e.Reasons = []string{sow.reason}
	if late != "" {
		e.Reasons = append(e.Reasons, late)
	}
	if len(fit.steps) == 0 {
		e.LookFor = append(e.LookFor, f.notes(fit.how)...)
		for _, before := range fit.before {
			e.LookFor = append(e.LookFor, "First "+step(before)+".")
		}
		e.Cautions = scarifyCaution(fit.before)
	}
	e.Sources = calendar.AddSource(calendar.AddSource(nil, fit.how.Source), f.sp.Seed.StorageSource)
	f.add(e)
	f.germination(e.Best, e.Window, false)
}

// germination schedules the look at what has come up.
func (f *following) germination(sown civil.Date, window civil.Span, wintered bool) {
	e := f.entry(calendar.TaskGerminated, "Check germination of "+f.name())
	e.Best = sown + germinateBest
	e.Window = civil.Span{First: max(sown+germinateFrom, window.First+germinateFrom), Last: max(window.Last, sown) + germinateUntil}
	e.Reasons = []string{fmt.Sprintf("%d to %d days after sowing (common practice, no source).", germinateFrom, germinateUntil)}
	if wintered {
		e.Window = civil.Span{First: sown + germinateBest - germinateFrom, Last: sown + germinateUntil}
		e.Reasons = []string{"Sown in autumn, it comes up in spring (common practice, no source)."}
	}
	e.LookFor = []string{"Count what has come up on a marked length of bed, against what was sown; the rest may come in the second spring: do not dig it over."}
	e.Sources = calendar.AddSource(nil, phenology.CommonPractice)
	f.add(e)
}

// treatmentPlan is a pre-treatment cut to the days there are.
type treatmentPlan struct {
	how      phenology.Pretreatment
	before   []phenology.TreatmentStep // steps of hours, or days of soaking, before the stratification
	steps    []plannedStep             // warm and cold, in order
	least    int                       // days that it takes at least, of all alternatives the shortest if none fits
	text     string                    // the least, in words
	squeezed bool                      // shorter than the middle of its range
}

type plannedStep struct {
	phenology.TreatmentStep
	days int
}

func (t treatmentPlan) total() int {
	n := 0
	for _, s := range t.steps {
		n += s.days
	}
	for _, s := range t.before {
		n += s.MaxDays
	}
	return n
}

// fitTreatment returns the first of a species' pre-treatments that fits into so many days: with the middle of each
// step's range if there is time, else with all steps shortened alike towards their least. If none fits, it returns the
// shortest, and false.
func fitTreatment(list []phenology.Pretreatment, days int) (treatmentPlan, bool) {
	shortest := treatmentPlan{least: math.MaxInt}
	for _, how := range list {
		t := treatmentPlan{how: how}
		least, middle := 0, 0
		var words []string
		for _, s := range how.Steps {
			if s.Kind != phenology.WarmStratify && s.Kind != phenology.ColdStratify {
				t.before = append(t.before, s)
				least, middle = least+s.MinDays, middle+s.MaxDays
				continue
			}
			mid := (s.MinDays + s.MaxDays + 1) / 2
			least, middle = least+s.MinDays, middle+mid
			t.steps = append(t.steps, plannedStep{s, mid})
			words = append(words, fmt.Sprintf("%s %d", s.Kind, s.MinDays))
		}
		t.least, t.text = least, strings.Join(words, ", then ")
		if least < shortest.least {
			shortest = t
		}
		if least > days {
			continue
		}
		if middle > days {
			t.squeezed = true
			share := float64(days-least) / float64(middle-least)
			for i, s := range t.steps {
				t.steps[i].days = s.MinDays + int(share*float64(s.days-s.MinDays))
			}
		}
		return t, true
	}
	return shortest, false
}

// Treatment returns the days that a pre-treatment takes, the middle of each step's range, and says it in words.
func Treatment(p phenology.Pretreatment) (days int, text string) {
	var steps []string
	for _, s := range p.Steps {
		days += int(math.Round(float64(s.MinDays+s.MaxDays) / 2))
		steps = append(steps, step(s))
	}
	if len(steps) == 0 {
		return 0, ""
	}
	return days, phrase.Capital(strings.Join(steps, ", then "))
}

func step(s phenology.TreatmentStep) string {
	var text string
	switch s.Kind {
	case phenology.WarmStratify, phenology.ColdStratify:
		text = string(s.Kind) + " moist stratification"
	case phenology.Scarify:
		text = "scarify the seed coat"
	default:
		text = string(s.Kind)
	}
	if s.MaxDays > 0 {
		text += " for " + phrase.Days(s.MinDays, s.MaxDays)
	}
	if s.LowC != 0 || s.HighC != 0 {
		places := 0
		if s.LowC != math.Trunc(s.LowC) || s.HighC != math.Trunc(s.HighC) {
			places = 1
		}
		text += fmt.Sprintf(" at %s °C", phrase.Range(s.LowC, s.HighC, places))
	}
	return text
}
