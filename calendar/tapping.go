package calendar

import (
	"fmt"
	"maps"
	"math"
	"slices"
	"strconv"

	"treewhen/phenology"
	"treewhen/phenology/civil"
)

// The tasks of [Tapping].
const (
	TaskTap    Task = "tap"
	TaskRun    Task = "sap-run"
	TaskGather Task = "gather-sap"
	TaskLast   Task = "last-runs"
	TaskPull   Task = "pull-taps"
)

// wellTimed is what the confidence of a tapping day means.
const wellTimed = "that holes drilled then catch at least four fifths of what those of the best day would, which is known only afterwards"

// runsAhead is how many of the runs in a forecast are made entries of: more would be noise, and less sure.
const runsAhead = 2

// tapping schedules the tapping of one species in one season.
func (w *placeWork) tapping(sp *phenology.Species, season int) {
	if sp.Sap.Tapped == phenology.TappedNever || sp.Sap.Run == nil {
		return
	}
	est := w.in(sp, season)
	start, end := est.Get(phenology.SapStart), est.Get(phenology.SapEnd)
	if !start.HasDate() || !end.HasDate() {
		if w.place.Outlook.Site.Season(season).Date(60) >= w.plan.AsOf {
			w.note("no tapping dates for %s: %s", sp.Name(), reasonOf(start, end))
		}
		return
	}
	if w.plan.AsOf > est.Season.Date(365) {
		return // a season long over
	}
	s := w.sapSeason(est)
	switch {
	case s.tapped:
		w.add(s.tappedEntry())
	case s.byPlace():
		w.add(s.tapByPlace())
	case s.isOpen(), s.stands():
		w.add(s.tapEntry())
	}
	w.runsAhead(s)
	gather := w.add(s.gatherEntry())
	w.add(s.lastEntry())
	w.add(s.pullEntry())
	gather.After = append(gather.After, UID(w.plan.FeedID, w.place.Site().ID, Tapping, speciesIDs(gather), TaskTap, gather.Season))
}

// hasSapSeason reports whether the plan's tapping has entries for a species' season: see [SapSeasonAt].
func (w *placeWork) hasSapSeason(est phenology.Estimates) bool {
	start, end := est.Get(phenology.SapStart), est.Get(phenology.SapEnd)
	return start.HasDate() && end.HasDate()
}

// sapSeason works out a species' season of sap, once.
func (w *placeWork) sapSeason(est phenology.Estimates) *SapSeason {
	key := estimateKey{est.Species.ID, est.Season.Year}
	if w.sap == nil {
		w.sap = map[estimateKey]*SapSeason{}
	}
	if w.sap[key] == nil {
		w.sap[key] = newSapSeason(w.plan, w.place, est)
	}
	return w.sap[key]
}

// runsAhead adds the runs that the forecast brings. Species whose sap runs by the same rule share one entry a run, with
// the first of them: they run together.
func (w *placeWork) runsAhead(s *SapSeason) {
	runs := map[int]*Entry{}
	for _, sp := range w.place.Species {
		if !Tappable(sp) || sp.Sap.Run.Drive != s.Species.Sap.Run.Drive || sp.Sap.Run.Night != s.Species.Sap.Run.Night || sp.Sap.Run.Day != s.Species.Sap.Run.Day {
			continue
		}
		est := w.in(sp, s.Season.Year)
		if !w.hasSapSeason(est) {
			continue
		}
		if sp != s.Species && len(runs) == 0 && len(w.sapSeason(est).told()) > 0 {
			return // that species has made them already
		}
		for _, r := range w.sapSeason(est).told() {
			if e := runs[r.Number]; e == nil {
				runs[r.Number] = w.sapSeason(est).runEntry(r)
			} else {
				e.Species = append(e.Species, sp)
				for _, c := range speciesCautions(sp, Tapping) {
					if !slices.Contains(e.Cautions, c) {
						e.Cautions = append(e.Cautions, c)
					}
				}
			}
		}
	}
	for _, number := range slices.Sorted(maps.Keys(runs)) {
		e := runs[number]
		for i := range e.Reminders {
			e.Reminders[i].Text = e.Summary + " ahead, " + spanText(e.Window)
		}
		w.add(e)
	}
}

// byPlace reports whether too little is known of the site's temperatures to decide by them.
func (s *SapSeason) byPlace() bool {
	return len(s.years) < phenology.MinYears && (len(s.years) == 0 || s.Start.Basis > phenology.BasisSeason)
}

// tapEntry is the tapping day chosen by what holes drilled then would catch in each way the season may go.
func (s *SapSeason) tapEntry() *Entry {
	d := s.Decision
	e := s.entry(TaskTap, "Tap "+lower(s.Species.Name()))
	e.Basis, e.BasisText = basis(s.Start, s.est.Get(s.spoiler()))
	crew := civil.Date(d.Terms.DaysToTap - 1)
	e.Window = civil.Span{First: s.Season.Date(d.First), Last: s.Season.Date(d.Last) + crew}
	e.Best = s.Season.Date(d.Best)
	e.Probability = d.WellTimed
	since, now := s.since.Get()
	if now && since < s.AsOf { // as sure as it was when it was given
		if then := s.decideKnowing(since, s.Season.Day(since)); then != nil {
			e.Probability = then.WellTimed
		}
	}
	if now {
		e.Window, e.Best = civil.Span{First: since, Last: since + max(mostSince-1, crew)}, since
	}
	e.ProbabilityOf = wellTimed
	e.Settled = now // nothing still to come can move a day that is here
	e.Reasons = append(e.Reasons, s.Verdict())
	if crew > 0 {
		e.Reasons = append(e.Reasons, fmt.Sprintf("The job takes %s: begun on %s, it is done on %s.", count(int(crew)+1, "day"), shortDate(e.Best), shortDate(e.Best+crew)))
	}
	if !s.stands() { // else nothing is left to be priced
		e.Reasons = append(e.Reasons, s.priceSentence(true))
	}
	e.Reasons = append(e.Reasons, s.holeSentence(), s.definition())
	e.Reasons = append(e.Reasons, s.Doubts...)
	e.LookFor = append([]string{"Nights below freezing and days above it in the forecast."}, s.guidance()...)
	if s.Species.Sap.Run.Drive == phenology.RootPressure {
		e.LookFor[0] = "Thawed soil and nights above freezing; a pricked twig that drips."
	}
	e.Cautions = append(slicesOf(tappingCautions), speciesCautions(s.Species, Tapping)...)
	e.Sources = addSource(s.sources(phenology.SapStart, s.spoiler()), s.Species.Sap.Run.Source)
	if !now {
		if soon := e.Best - civil.Date(s.opt.Notice); s.opt.Notice > 0 && soon > s.AsOf {
			e.Reminders = append(e.Reminders, Reminder{Before: s.opt.Notice, On: e.Best, Minute: s.opt.Reminder,
				Text: fmt.Sprintf("%s: tap soon, best %s", e.Summary, longDate(e.Best))})
		}
	}
	e.Reminders = append(e.Reminders, Reminder{On: e.Best, Minute: s.opt.Reminder, Text: e.Summary + ": tap now"})
	return e
}

// tappedEntry is the tapping once it is done: a record, so that calendars that have its event keep it.
func (s *SapSeason) tappedEntry() *Entry {
	e := s.entry(TaskTap, "Tap "+lower(s.Species.Name()))
	e.Basis, e.BasisText = phenology.BasisSeen, "the plan says that it is done"
	day := s.tapDay.Or(s.AsOf)
	e.Window = civil.Span{First: day, Last: day + civil.Date(max(1, s.opt.DaysToTap)-1)}
	e.Best, e.Settled = day, true
	e.Fact, e.Probability, e.ProbabilityOf = "done", 1, "the plan says so"
	e.Reasons = []string{s.Verdict()}
	e.LookFor = []string{"Spouts that leak or lines that sag; squirrels chew tubing."}
	e.Cautions = append(slicesOf(tappingCautions), speciesCautions(s.Species, Tapping)...)
	return e
}

// tapByPlace gives a window from place alone. It raises no alarm: it is too wide to drill by.
func (s *SapSeason) tapByPlace() *Entry {
	e := s.entry(TaskTap, "Tap "+lower(s.Species.Name()))
	e.Basis, e.BasisText = basis(s.Start)
	e.Window = civil.Span{First: s.Start.P10(), Last: s.Start.P50()}
	e.Best = s.Start.Quantile(0.25)
	e.Probability = 1 - s.Start.By(e.Best)
	e.ProbabilityOf = "that sap has not yet run in earnest"
	e.Reasons = append(e.Reasons,
		fmt.Sprintf("From the place alone sap starts between %s and %s, eight years in ten: a window of %s, too wide to drill by, so that no alarm rings.",
			shortDate(s.Start.P10()), shortDate(s.Start.P90()), count(int(s.Start.P90()-s.Start.P10()), "day")),
		"A daily record of temperatures from a station near by, ten years or more, would narrow this to the days that matter; watch the forecast until then.")
	e.LookFor = append([]string{"Nights below freezing and days above it in the forecast."}, s.guidance()...)
	e.Cautions = append(slicesOf(tappingCautions), speciesCautions(s.Species, Tapping)...)
	e.Sources = addSource(s.sources(phenology.SapStart, s.spoiler()), s.Species.Sap.Run.Source)
	return e
}

// runEntry is one run, of whichever species share the rule: nothing of it tells of the first.
func (s *SapSeason) runEntry(r SapRun) *Entry {
	e := s.entry(TaskRun, upperFirst(r.Size.words("run"))+" of sap")
	// By its rule, not by its species: the run stays the same when the buds of one of them swell, or one is added.
	rule := s.Species.Sap.Run
	e.tell = []string{fmt.Sprintf("%s %v %v", rule.Drive, rule.Night, rule.Day), strconv.Itoa(r.Number)}
	e.Basis, e.BasisText = phenology.BasisSeason, "the forecast"
	e.Window = r.Span
	best := r.BestDay()
	e.Best, e.Probability, e.ProbabilityOf = best.Date, best.Likelihood, "that sap runs that day, errors of the forecast allowed for"
	if r.Over() { // it stands as a record
		e.Basis, e.BasisText, e.Settled = phenology.BasisReached, "the temperatures of these days", true
		e.Fact, e.Probability, e.ProbabilityOf = "observed", 1, "these days had the freeze and thaw of a run; how much came, the buckets know"
		if rule.Drive == phenology.RootPressure {
			e.ProbabilityOf = "these days and nights were as warm as a run needs; how much came, the buckets know"
		}
	}
	e.Reasons = append(e.Reasons, r.daysSentence(), r.sizeSentence(), s.definition())
	e.Reasons = append(e.Reasons, s.Doubts...)
	e.LookFor = []string{"Buckets and tanks empty, lines tight, the pan and wood ready."}
	e.Cautions = append(slicesOf(boilingCautions), speciesCautions(s.Species, Tapping)...)
	e.Sources = addSource(nil, s.Species.Sap.Run.Source)
	if s.AsOf < e.Window.First {
		e.Reminders = []Reminder{{Before: 1, On: e.Window.First, Minute: s.opt.Reminder}}
	}
	return e
}

// gatherEntry is the season of gathering and boiling: from the first run in a hole to the end.
func (s *SapSeason) gatherEntry() *Entry {
	e := s.entry(TaskGather, "Gather and boil "+lower(s.Species.Name())+" sap")
	e.Basis, e.BasisText = basis(s.Start, s.End)
	e.Window = civil.Span{First: max(s.Start.P50(), s.tapDay.Or(s.Start.P50())), Last: s.lastDay(0.5)}
	e.Window.Last = max(e.Window.Last, e.Window.First)
	e.ProbabilityOf = "that the season is on"
	e.Settled = settled(s.Start, s.End)
	e.Best, e.Probability = likeliest(e.Window, func(d civil.Date) float64 { return s.Start.By(d) - s.End.By(d) })
	e.Reasons = append(e.Reasons, fmt.Sprintf("Sap starts to run in earnest between %s and %s and ends between %s and %s, eight years in ten.",
		shortDate(s.Start.P10()), shortDate(s.Start.P90()), shortDate(s.End.P10()), shortDate(s.End.P90())))
	if lo, mid, hi, ok := s.runDays(); ok {
		e.Reasons = append(e.Reasons, fmt.Sprintf("Run days to bud swell: %.0f in the middle year, %.0f to %.0f in eight years of ten. %s", mid, lo, hi, s.definition()))
	}
	e.Reasons = append(e.Reasons, s.endSentence())
	e.Reasons = append(e.Reasons, s.quantities()...)
	e.LookFor = []string{"Clear sap. Stop when buds swell, or when sap turns cloudy or smells off while it boils."}
	e.Cautions = append(slicesOf(boilingCautions), speciesCautions(s.Species, Tapping)...)
	e.Sources = s.sources(phenology.SapStart, phenology.SapEnd, s.spoiler())
	return e
}

// lastEntry warns of the last runs: sap is worth tasting before it is boiled.
func (s *SapSeason) lastEntry() *Entry {
	e := s.entry(TaskLast, "Last runs of "+lower(s.Species.Name())+" sap")
	e.Basis, e.BasisText = basis(s.End)
	first := s.lastDay(0.1)
	e.Window = civil.Span{First: max(first, s.tapDay.Or(first)), Last: s.lastDay(0.5)}
	e.Window.Last = max(e.Window.Last, e.Window.First)
	e.Best = e.Window.Last
	e.Probability, e.ProbabilityOf = s.End.By(e.Best), "that the last good sap has run by then"
	if dry, ok := s.dry.Get(); ok && dry < s.End.P50() {
		e.Probability, e.ProbabilityOf = 1-s.End.By(e.Best), "that sap is still good when the holes dry"
	}
	e.Settled = settled(s.End)
	e.Reasons = []string{s.endSentence()}
	e.LookFor = []string{"Swelling buds; cloudy or yellowing sap; taste a boiled cupful before firing the pan."}
	e.Cautions = slicesOf(boilingCautions)
	e.Sources = s.sources(phenology.SapEnd, s.spoiler())
	if s.rings() {
		e.Reminders = []Reminder{{On: e.Window.First, Minute: s.opt.Reminder, Text: e.Summary + " from now on"}}
	}
	return e
}

// pullEntry is the pulling of the taps.
func (s *SapSeason) pullEntry() *Entry {
	e := s.entry(TaskPull, "Pull the taps and clean, "+lower(s.Species.Name()))
	e.Basis, e.BasisText = basis(s.End)
	e.Window = civil.Span{First: s.lastDay(0.5), Last: s.lastDay(0.9)}
	// The job stands until it can be taken as done, also where the end turns out to lie behind: taps do not pull themselves.
	e.Window.Last = max(e.Window.Last, e.Window.First+pullDays)
	e.Best = e.Window.Clamp(s.lastDay(0.8))
	e.Probability, e.ProbabilityOf = s.End.By(e.Best), "that the last good sap has run"
	if dry, ok := s.dry.Get(); ok && dry <= e.Best {
		e.Probability, e.ProbabilityOf = 1, "that the holes are dry or the last good sap has run, if holes last as supposed"
		e.Probability = max(s.End.By(e.Best), dryByThen)
	}
	e.Settled = settled(s.End)
	e.Reasons = []string{s.endSentence(), "One hole a season: pull every spout so that the tree can close it, and do not plug it. Drilling anew in a season wounds the tree twice; common guidance is against it."}
	e.LookFor = []string{"Swelling buds, cloudy sap, an off smell from the pan."}
	e.Cautions = slicesOf(pullingCautions)
	e.Sources = s.sources(phenology.SapEnd, s.spoiler())
	if s.rings() {
		e.Reminders = []Reminder{{On: e.Best, Minute: s.opt.Reminder, Text: e.Summary}}
	}
	return e
}

// pullDays is how long the pulling of taps stays open after the middle of the season's end: a few weeks, our own choice.
const pullDays = 21

// dryByThen is how likely a hole is dry at four thirds of its life. Growers' figures differ by that much: our own choice.
const dryByThen = 0.8

func (s *SapSeason) entry(task Task, summary string) *Entry {
	return &Entry{Activity: Tapping, Task: task, Species: []*phenology.Species{s.Species}, Season: s.Season.Year, Summary: summary}
}

func (s *SapSeason) sources(phases ...phenology.Phase) []string { return sourcesOf(s.est, phases...) }

// rings reports whether the season's dates rest on more than the place: only then does anything ring.
func (s *SapSeason) rings() bool { return s.End.Basis < phenology.BasisPlace }

// numberRange writes a figure or a run of figures.
func numberRange(lo, hi float64, decimals int) string {
	a, b := fmt.Sprintf("%.*f", decimals, lo), fmt.Sprintf("%.*f", decimals, hi)
	if a == b || math.IsInf(hi, 0) {
		return a
	}
	return a + " to " + b
}

// TappedNames returns the names of the species of a list that are tapped, sorted.
func TappedNames(list []*phenology.Species) []string {
	var names []string
	for _, sp := range list {
		if Tappable(sp) {
			names = append(names, lower(sp.Name()))
		}
	}
	slices.Sort(names)
	return names
}

// Tappable reports whether a species is tapped and its sap can be dated.
func Tappable(sp *phenology.Species) bool {
	return sp.Sap.Tapped != phenology.TappedNever && sp.Sap.Run != nil
}
