package calendar

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"treewhen/phenology"
	"treewhen/phenology/civil"
)

// The tasks of [SeedCollection].
const (
	TaskScout    Task = "scout-crop"
	TaskCollect  Task = "collect-seed"
	TaskSow      Task = "sow"
	TaskStratify Task = "stratify"
)

const (
	collectShare = 0.5 // of the highest chance: days below it are not in the collection window
	scoutSpread  = 10  // days to either side of the scouting day
	freshDays    = 7   // days within which seed that must not dry is sown
	sowSpread    = 7   // days to either side of the sowing date
)

// seed schedules the seed collection of one species in one season, and what must follow it.
func (w *placeWork) seed(sp *phenology.Species, season int) {
	if sp.Seed == nil || slices.Contains(w.place.Options.Seed.Prohibited, sp.ID) {
		return
	}
	est := w.in(sp, season)
	ripe, gone := est.Get(phenology.FruitRipe), goneBy(est)
	if !ripe.Dated() || gone == nil {
		w.note("no collection dates for %s: %s", sp.Name(), reasonOf(ripe, est.Get(phenology.SeedFall)))
		return
	}
	collect := w.collect(sp, est, ripe, gone)
	w.add(collect)
	w.scout(sp, collect)
	w.follow(sp, collect)
}

// goneBy returns the probability that seed is gone by the end of a day: between its first fall and its last, half of it
// is.
func goneBy(est phenology.Estimates) func(civil.Date) float64 {
	fall, end := est.Get(phenology.SeedFall), est.Get(phenology.SeedFallEnd)
	switch {
	case fall.Dated() && end.Dated():
		return func(d civil.Date) float64 { return (fall.By(d) + end.By(d)) / 2 }
	case fall.Dated():
		return fall.By
	case end.Dated():
		return end.By
	}
	return nil
}

// collect schedules the collection: the days on which seed is ripe and has not gone.
func (w *placeWork) collect(sp *phenology.Species, est phenology.Estimates, ripe phenology.Estimate, gone func(civil.Date) float64) *Entry {
	list := []phenology.Estimate{ripe}
	for _, p := range []phenology.Phase{phenology.SeedFall, phenology.SeedFallEnd} {
		if e := est.Get(p); e.Dated() {
			list = append(list, e)
		}
	}
	there := func(d civil.Date) float64 { return max(0, ripe.By(d)-gone(d)) }
	search := civil.Span{First: ripe.Quantile(0.02), Last: ripe.Quantile(0.02)}
	for _, e := range list {
		search.Last = max(search.Last, e.Quantile(0.98))
	}
	best, p := likeliest(search, there)
	e := &Entry{
		Activity: SeedCollection, Task: TaskCollect, Species: []*phenology.Species{sp}, Season: est.Season.Year,
		Summary:       "Collect " + lower(sp.Name()) + " seed",
		Window:        civil.Span{First: best, Last: best},
		Best:          best,
		Probability:   p,
		ProbabilityOf: "that seed is ripe and not yet gone",
		Settled:       settled(list...),
		Cautions:      slicesOf(seedCautions),
		Sources:       sourcesOf(est, phenology.Flowering, phenology.FruitRipe, phenology.SeedFall, phenology.SeedFallEnd),
	}
	for e.Window.First > search.First && there(e.Window.First-1) >= collectShare*p {
		e.Window.First--
	}
	for e.Window.Last < search.Last && there(e.Window.Last+1) >= collectShare*p {
		e.Window.Last++
	}
	e.Basis, e.BasisText = basis(list...)
	e.Reasons = append(e.Reasons, fmt.Sprintf("Ripe between %s and %s, eight years in ten.", shortDate(ripe.P10()), shortDate(ripe.P90())))
	if fall := est.Get(phenology.SeedFall); fall.Dated() {
		e.Reasons = append(e.Reasons, fmt.Sprintf("It begins to fall between %s and %s.", shortDate(fall.P10()), shortDate(fall.P90())))
	}
	s := sp.Seed
	for _, sign := range s.MaturitySigns {
		e.LookFor = append(e.LookFor, sentence(sign.Text))
		e.Sources = addSource(e.Sources, sign.Source)
	}
	if s.CollectFrom.Text != "" {
		e.LookFor = append(e.LookFor, "Collect from: "+strings.TrimSuffix(s.CollectFrom.Text, ".")+".")
	}
	e.Cautions = append(e.Cautions, speciesCautions(sp, SeedCollection)...)
	for _, r := range sp.Regulated {
		text := fmt.Sprintf("%s: %s. Check the law before you collect (%s).", r.Where, strings.TrimSuffix(r.Text, "."), r.Source)
		e.Cautions = append(e.Cautions, text)
	}
	opt := w.place.Options.Seed
	e.Reminders = []Reminder{{Before: 3, On: e.Window.First, Minute: opt.Reminder, Text: e.Summary + ": check ripeness, the window opens " + longDate(e.Window.First)}}
	return e
}

// scout schedules the look at the crop some weeks before.
func (w *placeWork) scout(sp *phenology.Species, collect *Entry) {
	weeks := w.place.Options.Seed.ScoutWeeks
	day := collect.Best - civil.Date(7*weeks)
	text := "Count full seed on a sample of branches before you plan on a crop."
	if q := sp.Seed.CropInterval; q != nil {
		text += fmt.Sprintf(" Good crops come every %s (%s).", years(q.Low, q.High), q.Source)
	}
	w.add(&Entry{
		Activity: SeedCollection, Task: TaskScout, Species: collect.Species, Season: collect.Season,
		Summary:       "Scout the " + lower(sp.Name()) + " seed crop",
		Window:        civil.Span{First: day - scoutSpread, Last: day + scoutSpread},
		Best:          day,
		Probability:   collect.Probability,
		ProbabilityOf: "of the collection it prepares: " + collect.ProbabilityOf,
		Basis:         collect.Basis, BasisText: collect.BasisText,
		Reasons:  []string{fmt.Sprintf("%d weeks before the best day of collection, %s.", weeks, longDate(collect.Best))},
		LookFor:  []string{text},
		Cautions: slicesOf(seedCautions),
		Sources:  collect.Sources,
	})
}

// follow schedules what must follow the collection: sowing at once, or stratification that ends at the sowing date.
func (w *placeWork) follow(sp *phenology.Species, collect *Entry) {
	if len(sp.Seed.Pretreatments) == 0 {
		return
	}
	how := sp.Seed.Pretreatments[0]
	days, text := treatment(how)
	e := &Entry{
		Activity: SeedCollection, Species: collect.Species, Season: collect.Season,
		Probability: collect.Probability, ProbabilityOf: "of the collection it follows: " + collect.ProbabilityOf,
		Basis: collect.Basis, BasisText: collect.BasisText,
		Sources: addSource(addSource(nil, how.Source), sp.Seed.StorageSource),
		After:   []string{collect.UID},
	}
	if how.Note != "" {
		e.LookFor = append(e.LookFor, sentence(how.Note))
	}
	if len(how.Steps) == 0 {
		e.Task, e.Summary = TaskSow, "Sow "+lower(sp.Name())+" at once"
		e.Window = civil.Span{First: collect.Window.First, Last: collect.Window.Last + freshDays}
		e.Best = collect.Best + 1
		e.Reasons = []string{fmt.Sprintf("Its seed is %s and needs no pre-treatment: sow within days of collecting.", sp.Seed.Storage)}
		w.add(e)
		return
	}
	sowing := w.sowingAfter(collect.Best)
	need := civil.Date(days)
	start := sowing - need
	e.Task, e.Summary = TaskStratify, "Start to stratify "+lower(sp.Name())+" seed"
	e.Reasons = []string{fmt.Sprintf("%s, so that it ends at sowing on %s%s.", text, longDate(sowing), w.sowingNote())}
	if start < collect.Best {
		e.Reasons = append(e.Reasons, fmt.Sprintf("That is %d days before the best day of collection: start as soon as seed is in, and sow that much later.", collect.Best-start))
		start = collect.Best + 1
	}
	e.Best, e.Window = start, civil.Span{First: start - 3, Last: start + 3}
	e.Window.First = max(e.Window.First, min(collect.Best, start))
	stratify := w.add(e)

	w.add(&Entry{
		Activity: SeedCollection, Task: TaskSow, Species: collect.Species, Season: collect.Season,
		Summary: "Sow " + lower(sp.Name()),
		Window:  civil.Span{First: sowing - sowSpread, Last: sowing + sowSpread}, Best: sowing,
		Probability: collect.Probability, ProbabilityOf: e.ProbabilityOf,
		Basis: collect.Basis, BasisText: collect.BasisText,
		Reasons: []string{"The plan's sowing date" + w.sowingNote() + "."},
		Sources: e.Sources, After: []string{stratify.UID},
	})
}

// sowingAfter returns the first sowing date after a day.
func (w *placeWork) sowingAfter(d civil.Date) civil.Date {
	sowing := w.place.Options.Seed.Sowing
	if !w.place.Options.Seed.SowingSet && w.place.Site().Southern() {
		sowing = civil.MonthDayOf(sowing.YearDay() + 182)
	}
	on := sowing.In(d.Year())
	if on <= d {
		on = sowing.In(d.Year() + 1)
	}
	return on
}

func (w *placeWork) sowingNote() string {
	if w.place.Options.Seed.SowingSet {
		return ""
	}
	return " (the default; set activities.seed-collection.sowing to your own)"
}

// treatment returns the days that a pre-treatment takes, the middle of each step's range, and says it in words.
func treatment(p phenology.Pretreatment) (days int, text string) {
	var steps []string
	for _, s := range p.Steps {
		days += int(math.Round(float64(s.MinDays+s.MaxDays) / 2))
		steps = append(steps, step(s))
	}
	if len(steps) == 0 {
		return 0, ""
	}
	text = strings.Join(steps, ", then ")
	return days, strings.ToUpper(text[:1]) + text[1:]
}

func step(s phenology.TreatmentStep) string {
	var text string
	switch s.Kind {
	case phenology.WarmStratify, phenology.ColdStratify:
		text = string(s.Kind) + " moist stratification"
	case phenology.Scarify:
		return "scarify the seed coat"
	default:
		text = string(s.Kind)
	}
	if s.MaxDays > 0 {
		text += fmt.Sprintf(" for %s days", numberRange(float64(s.MinDays), float64(s.MaxDays), 0))
	}
	if s.LowC != 0 || s.HighC != 0 {
		text += fmt.Sprintf(" at %s °C", numberRange(s.LowC, s.HighC, 0))
	}
	return text
}

// years says a range of years.
func years(lo, hi float64) string {
	if lo == hi && lo == 1 {
		return "year"
	}
	return numberRange(lo, hi, 0) + " years"
}
