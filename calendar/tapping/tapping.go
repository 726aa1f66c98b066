package tapping

import (
	"fmt"
	"maps"
	"slices"
	"strconv"

	"treewhen/calendar"
	"treewhen/calendar/phrase"
	"treewhen/phenology"
	"treewhen/phenology/civil"
)

// WellTimed is what the confidence of a tapping day means.
const WellTimed = "that holes drilled then catch at least four fifths of what those of the best day would, which is known only afterwards"

// runsAhead is how many of the runs in a forecast are made entries of: more would be noise, and less sure.
const runsAhead = 2

// work is the tapping at one place.
type work struct {
	*calendar.Work
	sap map[string]*Season // by species
}

// Schedule adds the tapping of all species of a place in a season to its work.
func Schedule(at *calendar.Work, season int) {
	w := &work{Work: at, sap: map[string]*Season{}}
	for _, sp := range at.Place.Species {
		w.tapping(sp, season)
	}
}

// tapping schedules the tapping of one species in one season.
func (w *work) tapping(sp *phenology.Species, season int) {
	if sp.Sap.Tapped == phenology.TappedNever || sp.Sap.Run == nil {
		return
	}
	est := w.In(sp, season)
	start, end := est.Get(phenology.SapStart), est.Get(phenology.SapEnd)
	if !start.HasDate() || !end.HasDate() {
		if w.Place.Outlook.Site.Season(season).Date(60) >= w.Plan.AsOf {
			w.Note(fmt.Sprintf("no tapping dates for %s: %s", sp.Name(), calendar.ReasonOf(start, end)))
		}
		return
	}
	if w.Plan.AsOf > est.Season.Date(365) {
		return // a season long over
	}
	s := w.seasonOf(est)
	switch {
	case s.Tapped:
		w.Add(s.tappedEntry())
	case s.ByPlace():
		w.Add(s.tapByPlace())
	case s.IsOpen(), s.Stands():
		w.Add(s.tapEntry())
	}
	w.runsAhead(s)
	gather := w.Add(s.gatherEntry())
	w.Add(s.lastEntry())
	w.Add(s.pullEntry())
	gather.After = append(gather.After, calendar.UID(w.Plan.FeedID, w.Place.Site().ID, calendar.Tapping, calendar.SpeciesIDs(gather), calendar.TaskTap, gather.Season))
}

// hasSeason reports whether the plan's tapping has entries for a species' season: see [SeasonAt].
func (w *work) hasSeason(est phenology.Estimates) bool {
	start, end := est.Get(phenology.SapStart), est.Get(phenology.SapEnd)
	return start.HasDate() && end.HasDate()
}

// seasonOf works out a species' season of sap, once.
func (w *work) seasonOf(est phenology.Estimates) *Season {
	key := est.Species.ID
	if w.sap[key] == nil {
		w.sap[key] = newSeason(w.Plan, w.Place, est)
	}
	return w.sap[key]
}

// runsAhead adds the runs that the forecast brings. Species whose sap runs by the same rule share one entry a run, with
// the first of them: they run together.
func (w *work) runsAhead(s *Season) {
	runs := map[int]*calendar.Entry{}
	for _, sp := range w.Place.Species {
		if !Tappable(sp) || sp.Sap.Run.Drive != s.Species.Sap.Run.Drive || sp.Sap.Run.Night != s.Species.Sap.Run.Night || sp.Sap.Run.Day != s.Species.Sap.Run.Day {
			continue
		}
		est := w.In(sp, s.Season.Year)
		if !w.hasSeason(est) {
			continue
		}
		if sp != s.Species && len(runs) == 0 && len(w.seasonOf(est).told()) > 0 {
			return // that species has made them already
		}
		for _, r := range w.seasonOf(est).told() {
			if e := runs[r.Number]; e == nil {
				runs[r.Number] = w.seasonOf(est).runEntry(r)
			} else {
				e.Species = append(e.Species, sp)
				for _, c := range calendar.SpeciesCautions(sp, calendar.Tapping) {
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
			e.Reminders[i].Text = e.Summary + " ahead, " + phrase.Span(e.Window)
		}
		w.Add(e)
	}
}

// ByPlace reports whether too little is known of the site's temperatures to decide by them.
func (s *Season) ByPlace() bool {
	return len(s.Years) < phenology.MinYears && (len(s.Years) == 0 || s.Start.Basis > phenology.BasisSeason)
}

// tapEntry is the tapping day chosen by what holes drilled then would catch in each way the season may go.
func (s *Season) tapEntry() *calendar.Entry {
	d := s.Decision
	e := s.entry(calendar.TaskTap, "Tap "+phrase.Name(s.Species.Name()))
	e.Rests = calendar.RestsOn(s.Start, s.Estimates.Get(s.Spoiler()))
	crew := civil.Date(d.Terms.DaysToTap - 1)
	e.Window = civil.Span{First: s.Season.Date(d.First), Last: s.Season.Date(d.Last) + crew}
	e.Best = s.Season.Date(d.Best)
	e.Probability = d.WellTimed
	since, now := s.Since.Get()
	if now && since < s.AsOf { // as sure as it was when it was given
		if then := s.decideKnowing(since, s.Season.Day(since)); then != nil {
			e.Probability = then.WellTimed
		}
	}
	if now {
		e.Window, e.Best = civil.Span{First: since, Last: since + max(mostSince-1, crew)}, since
	}
	e.ProbabilityOf = WellTimed
	e.Settled = now // nothing still to come can move a day that is here
	e.Reasons = append(e.Reasons, s.Verdict())
	if crew > 0 {
		e.Reasons = append(e.Reasons, fmt.Sprintf("The job takes %s: begun on %s, it is done on %s.", phrase.Count(int(crew)+1, "day"), phrase.ShortDate(e.Best), phrase.ShortDate(e.Best+crew)))
	}
	if !s.Stands() { // else nothing is left to be priced
		e.Reasons = append(e.Reasons, s.PriceSentence(true))
	}
	e.Reasons = append(e.Reasons, s.HoleSentence(), s.Definition())
	e.Reasons = append(e.Reasons, s.Doubts...)
	e.LookFor = append([]string{"Nights below freezing and days above it in the forecast."}, s.Guidance()...)
	if s.Species.Sap.Run.Drive == phenology.RootPressure {
		e.LookFor[0] = "Thawed soil and nights above freezing; a pricked twig that drips."
	}
	e.Cautions = append(calendar.SlicesOf(calendar.TappingCautions), calendar.SpeciesCautions(s.Species, calendar.Tapping)...)
	e.Sources = calendar.AddSource(s.Sources(phenology.SapStart, s.Spoiler()), s.Species.Sap.Run.Source)
	if !now {
		if soon := e.Best - civil.Date(s.Options.Notice); s.Options.Notice > 0 && soon > s.AsOf {
			e.Reminders = append(e.Reminders, calendar.Reminder{Before: s.Options.Notice, On: e.Best, Minute: s.Options.Reminder,
				Text: fmt.Sprintf("%s: tap soon, best %s", e.Summary, phrase.LongDate(e.Best))})
		}
	}
	e.Reminders = append(e.Reminders, calendar.Reminder{On: e.Best, Minute: s.Options.Reminder, Text: e.Summary + ": tap now"})
	return e
}

// tappedEntry is the tapping once it is done: a record, so that calendars that have its event keep it.
func (s *Season) tappedEntry() *calendar.Entry {
	e := s.entry(calendar.TaskTap, "Tap "+phrase.Name(s.Species.Name()))
	e.Rests.Basis, e.BasisText = phenology.BasisSeen, "the plan says that it is done"
	day := s.TapDay.Or(s.AsOf)
	e.Window = civil.Span{First: day, Last: day + civil.Date(max(1, s.Options.DaysToTap)-1)}
	e.Best, e.Settled = day, true
	e.Fact, e.Probability, e.ProbabilityOf = "done", 1, "the plan says so"
	e.Reasons = []string{s.Verdict()}
	e.LookFor = []string{"Spouts that leak or lines that sag; squirrels chew tubing."}
	e.Cautions = append(calendar.SlicesOf(calendar.TappingCautions), calendar.SpeciesCautions(s.Species, calendar.Tapping)...)
	return e
}

// tapByPlace gives a window from place alone. It raises no alarm: it is too wide to drill by.
func (s *Season) tapByPlace() *calendar.Entry {
	e := s.entry(calendar.TaskTap, "Tap "+phrase.Name(s.Species.Name()))
	e.Rests = calendar.RestsOn(s.Start)
	e.Window = civil.Span{First: s.Start.P10(), Last: s.Start.P50()}
	e.Best = s.Start.Quantile(0.25)
	e.Probability = 1 - s.Start.By(e.Best)
	e.ProbabilityOf = "that sap has not yet run in earnest"
	e.Reasons = append(e.Reasons,
		fmt.Sprintf("From the place alone sap starts between %s and %s, eight years in ten: a window of %s, too wide to drill by, so that no alarm rings.",
			phrase.ShortDate(s.Start.P10()), phrase.ShortDate(s.Start.P90()), phrase.Count(int(s.Start.P90()-s.Start.P10()), "day")),
		"A daily record of temperatures from a station near by, ten years or more, would narrow this to the days that matter; watch the forecast until then.")
	e.LookFor = append([]string{"Nights below freezing and days above it in the forecast."}, s.Guidance()...)
	e.Cautions = append(calendar.SlicesOf(calendar.TappingCautions), calendar.SpeciesCautions(s.Species, calendar.Tapping)...)
	e.Sources = calendar.AddSource(s.Sources(phenology.SapStart, s.Spoiler()), s.Species.Sap.Run.Source)
	return e
}

// runEntry is one run, of whichever species share the rule: nothing of it tells of the first.
func (s *Season) runEntry(r Run) *calendar.Entry {
	e := s.entry(calendar.TaskRun, phrase.Capital(r.Size.Words("run"))+" of sap")
	// By its rule, not by its species: the run stays the same when the buds of one of them swell, or one is added.
	rule := s.Species.Sap.Run
	e.Tell = []string{fmt.Sprintf("%s %v %v", rule.Drive, rule.Night, rule.Day), strconv.Itoa(r.Number)}
	e.Rests.Basis, e.BasisText = phenology.BasisSeason, "the forecast"
	e.Window = r.Span
	best := r.BestDay()
	e.Best, e.Probability, e.ProbabilityOf = best.Date, best.Likelihood, "that sap runs that day, errors of the forecast allowed for"
	if r.Over() { // it stands as a record
		e.Rests.Basis, e.BasisText, e.Settled = phenology.BasisReached, "the temperatures of these days", true
		e.Fact, e.Probability, e.ProbabilityOf = "observed", 1, "these days had the freeze and thaw of a run; how much came, the buckets know"
		if rule.Drive == phenology.RootPressure {
			e.ProbabilityOf = "these days and nights were as warm as a run needs; how much came, the buckets know"
		}
	}
	e.Reasons = append(e.Reasons, r.DaysSentence(), r.SizeSentence(), s.Definition())
	e.Reasons = append(e.Reasons, s.Doubts...)
	e.LookFor = []string{"Buckets and tanks empty, lines tight, the pan and wood ready."}
	e.Cautions = append(calendar.SlicesOf(calendar.BoilingCautions), calendar.SpeciesCautions(s.Species, calendar.Tapping)...)
	e.Sources = calendar.AddSource(nil, s.Species.Sap.Run.Source)
	if s.AsOf < e.Window.First {
		e.Reminders = []calendar.Reminder{{Before: 1, On: e.Window.First, Minute: s.Options.Reminder}}
	}
	return e
}

// gatherEntry is the season of gathering and boiling: from the first run in a hole to the end.
func (s *Season) gatherEntry() *calendar.Entry {
	e := s.entry(calendar.TaskGather, "Gather and boil "+phrase.Name(s.Species.Name())+" sap")
	e.Rests = calendar.RestsOn(s.Start, s.End)
	e.Window = civil.Span{First: max(s.Start.P50(), s.TapDay.Or(s.Start.P50())), Last: s.lastDay(0.5)}
	e.Window.Last = max(e.Window.Last, e.Window.First)
	e.ProbabilityOf = "that the season is on"
	e.Settled = calendar.Settled(s.Start, s.End)
	e.Best, e.Probability = calendar.Likeliest(e.Window, func(d civil.Date) float64 { return s.Start.By(d) - s.End.By(d) })
	e.Reasons = append(e.Reasons, fmt.Sprintf("Sap starts to run in earnest between %s and %s and ends between %s and %s, eight years in ten.",
		phrase.ShortDate(s.Start.P10()), phrase.ShortDate(s.Start.P90()), phrase.ShortDate(s.End.P10()), phrase.ShortDate(s.End.P90())))
	if lo, mid, hi, ok := s.RunDays(); ok {
		e.Reasons = append(e.Reasons, fmt.Sprintf("Run days to bud swell: %.0f in the middle year, %.0f to %.0f in eight years of ten. %s", mid, lo, hi, s.Definition()))
	}
	e.Reasons = append(e.Reasons, s.EndSentence())
	e.Reasons = append(e.Reasons, s.Quantities()...)
	e.LookFor = []string{"Clear sap. Stop when buds swell, or when sap turns cloudy or smells off while it boils."}
	e.Cautions = append(calendar.SlicesOf(calendar.BoilingCautions), calendar.SpeciesCautions(s.Species, calendar.Tapping)...)
	e.Sources = s.Sources(phenology.SapStart, phenology.SapEnd, s.Spoiler())
	return e
}

// lastEntry warns of the last runs: sap is worth tasting before it is boiled.
func (s *Season) lastEntry() *calendar.Entry {
	e := s.entry(calendar.TaskLast, "Last runs of "+phrase.Name(s.Species.Name())+" sap")
	e.Rests = calendar.RestsOn(s.End)
	first := s.lastDay(0.1)
	e.Window = civil.Span{First: max(first, s.TapDay.Or(first)), Last: s.lastDay(0.5)}
	e.Window.Last = max(e.Window.Last, e.Window.First)
	e.Best = e.Window.Last
	e.Probability, e.ProbabilityOf = s.End.By(e.Best), "that the last good sap has run by then"
	if dry, ok := s.Dry.Get(); ok && dry < s.End.P50() {
		e.Probability, e.ProbabilityOf = 1-s.End.By(e.Best), "that sap is still good when the holes dry"
	}
	e.Settled = calendar.Settled(s.End)
	e.Reasons = []string{s.EndSentence()}
	e.LookFor = []string{"Swelling buds; cloudy or yellowing sap; taste a boiled cupful before firing the pan."}
	e.Cautions = calendar.SlicesOf(calendar.BoilingCautions)
	e.Sources = s.Sources(phenology.SapEnd, s.Spoiler())
	if s.rings() {
		e.Reminders = []calendar.Reminder{{On: e.Window.First, Minute: s.Options.Reminder, Text: e.Summary + " from now on"}}
	}
	return e
}

// pullEntry is the pulling of the taps.
func (s *Season) pullEntry() *calendar.Entry {
	e := s.entry(calendar.TaskPull, "Pull the taps and clean, "+phrase.Name(s.Species.Name()))
	e.Rests = calendar.RestsOn(s.End)
	e.Window = civil.Span{First: s.lastDay(0.5), Last: s.lastDay(0.9)}
	// The job stands until it can be taken as done, also where the end turns out to lie behind: taps do not pull themselves.
	e.Window.Last = max(e.Window.Last, e.Window.First+pullDays)
	e.Best = e.Window.Clamp(s.lastDay(0.8))
	e.Probability, e.ProbabilityOf = s.End.By(e.Best), "that the last good sap has run"
	if dry, ok := s.Dry.Get(); ok && dry <= e.Best {
		e.Probability, e.ProbabilityOf = 1, "that the holes are dry or the last good sap has run, if holes last as supposed"
		e.Probability = max(s.End.By(e.Best), dryByThen)
	}
	e.Settled = calendar.Settled(s.End)
	e.Reasons = []string{s.EndSentence(), "One hole a season: pull every spout so that the tree can close it, and do not plug it. Drilling anew in a season wounds the tree twice; common guidance is against it."}
	e.LookFor = []string{"Swelling buds, cloudy sap, an off smell from the pan."}
	e.Cautions = calendar.SlicesOf(calendar.PullingCautions)
	e.Sources = s.Sources(phenology.SapEnd, s.Spoiler())
	if s.rings() {
		e.Reminders = []calendar.Reminder{{On: e.Best, Minute: s.Options.Reminder, Text: e.Summary}}
	}
	return e
}

// pullDays is how long the pulling of taps stays open after the middle of the season's end: a few weeks, our own choice.
const pullDays = 21

// dryByThen is how likely a hole is dry at four thirds of its life. Growers' figures differ by that much: our own choice.
const dryByThen = 0.8

func (s *Season) entry(task calendar.Task, summary string) *calendar.Entry {
	return &calendar.Entry{Activity: calendar.Tapping, Task: task, Species: []*phenology.Species{s.Species}, Season: s.Season.Year, Summary: summary}
}

func (s *Season) Sources(phases ...phenology.Phase) []string {
	return calendar.SourcesOf(s.Estimates, phases...)
}

// rings reports whether the season's dates rest on more than the place: only then does anything ring.
func (s *Season) rings() bool { return s.End.Basis < phenology.BasisPlace }

// TappedNames returns the names of the species of a list that are tapped, sorted.
func TappedNames(list []*phenology.Species) []string {
	var names []string
	for _, sp := range list {
		if Tappable(sp) {
			names = append(names, phrase.Name(sp.Name()))
		}
	}
	slices.Sort(names)
	return names
}

// Tappable reports whether a species is tapped and its sap can be dated.
func Tappable(sp *phenology.Species) bool {
	return sp.Sap.Tapped != phenology.TappedNever && sp.Sap.Run != nil
}
