package tapping

import (
	"math"
	"strconv"

	"treewhen/calendar"
	"treewhen/phenology"
	"treewhen/phenology/civil"
)

// What tapping rings for: see [calendar.Reminder]. These names are read again in feeds; they cannot change.
const (
	RingSoon     = "soon"      // the best day is so many days ahead as the plan wants notice of
	RingNow      = "now"       // the day is here
	RingAgain    = "again"     // it was withdrawn, and is here again; there is no third time
	RingRun      = "run"       // a run of sap is coming
	RingLargeRun = "large-run" // one of middling size or more, be it that it began as a small one
	RingLast     = "last-runs" // sap is worth tasting from now on
	RingPull     = "pull"      // the spouts are to come out
)

// tapEntry is the tapping day chosen by what holes drilled then would catch in each way the season may go.
func (s *Season) tapEntry() *calendar.Entry {
	d := s.Decision
	e := s.entry(calendar.TaskTap, s.TapFacts())
	e.Rests = calendar.RestsOn(s.Start, s.Estimates.Get(s.Spoiler()))
	crew := civil.Date(d.Terms.DaysToTap - 1)
	e.Window = civil.Span{First: s.Season.Date(d.First), Last: s.Season.Date(d.Last) + crew}
	e.Best = s.Season.Date(d.Best)
	e.Probability = s.WellTimed
	since, now := s.Since.Get()
	if now {
		e.Window, e.Best = civil.Span{First: since, Last: since + max(mostSince-1, crew)}, since
		if s.Withdrawn { // it stands to the day that is waited for: else the calendar would go on with what it said
			e.Window.Last = max(e.Window.Last, s.Season.Date(max(d.Later, d.Best))+crew)
		}
	}
	if !now && s.Options.Notice > 0 {
		e.Reminders = append(e.Reminders, calendar.Reminder{Kind: RingSoon, Before: s.Options.Notice, On: e.Best,
			Minute: s.Options.Reminder, Until: e.Best - 1})
	}
	ring := calendar.Reminder{Kind: RingNow, On: e.Best, Minute: s.Options.Reminder}
	if now {
		ring.Until = e.Window.Last
	}
	switch {
	case s.Withdrawn: // nobody is woken to wait
	case s.Times <= 1:
		e.Reminders = append(e.Reminders, ring)
	case s.Times == 2:
		ring.Kind = RingAgain
		e.Reminders = append(e.Reminders, ring)
	}
	return e
}

// tappedEntry is the tapping once it is done: a record, so that calendars that have its event keep it.
func (s *Season) tappedEntry() *calendar.Entry {
	e := s.entry(calendar.TaskTap, s.TapFacts())
	e.State, e.Rests.Basis = calendar.Done, phenology.BasisSeen
	day := s.TapDay.Or(s.AsOf)
	e.Window = civil.Span{First: day, Last: day + civil.Date(max(1, s.Options.DaysToTap)-1)}
	e.Best, e.Settled, e.Probability = day, true, 1
	return e
}

// tapByPlace gives a window from place alone. It raises no alarm: it is too wide to drill by.
func (s *Season) tapByPlace() *calendar.Entry {
	e := s.entry(calendar.TaskTap, s.TapFacts())
	e.Rests = calendar.RestsOn(s.Start)
	e.Window = civil.Span{First: s.Start.P10(), Last: s.Start.P50()}
	e.Best = s.Start.Quantile(0.25)
	e.Probability = 1 - s.Start.By(e.Best)
	return e
}

// runEntry is one run, of whichever species share the rule: nothing of it tells of the first.
func (s *Season) runEntry(r Run) *calendar.Entry {
	facts := s.RunFacts(r)
	e := s.entry(calendar.TaskRun, facts)
	// By its rule, not by its species: the run stays the same when the buds of one of them swell, or one is added.
	e.Tell = []string{ruleKey(*s.Species.Sap.Run), strconv.Itoa(r.Number)}
	e.Rests.Basis = phenology.BasisSeason
	e.Window = r.Span
	best := r.BestDay()
	e.Best, e.Probability = best.Date, float64(best.Likelihood)
	if r.Begun() { // how likely its days to come are is told of each
		e.Probability = 1
	}
	if r.Over { // it stands as a record
		e.State, e.Rests.Basis, e.Settled = calendar.Observed, phenology.BasisReached, true
		return e
	}
	// A run of some size is worth waking for however late it is known; a small one only if it is known before.
	ring := calendar.Reminder{Kind: RingRun, Unless: RingLargeRun, Before: 1, On: e.Window.First,
		Minute: s.Options.Reminder, Until: e.Window.First}
	if r.Size == SizeMiddling || r.Size == SizeLarge {
		ring.Kind, ring.Unless, ring.Until = RingLargeRun, "", e.Window.Last
	}
	e.Reminders = []calendar.Reminder{ring}
	if facts.Thaw.First {
		e.Reminders = append(e.Reminders, calendar.Reminder{Kind: RingFirst, Unless: RingLargeRun, Before: thawNotice,
			On: e.Window.First, Minute: s.Options.Reminder, Until: e.Window.First - 2})
	}
	return e
}

// ruleKey tells a rule of runs from others. These bytes are part of every published identifier of a run; they cannot
// change, whatever thresholds look like where people read them.
func ruleKey(r phenology.RunRule) string {
	return string(r.Drive) + " " + thresholdKey(r.Night) + " " + thresholdKey(r.Day)
}

func thresholdKey(t phenology.Threshold) string {
	const unit = " \u00b0C"
	if t.Low == t.High {
		return degreesKey(t.Low) + unit
	}
	return degreesKey(t.Low) + " to " + degreesKey(t.High) + unit
}

func degreesKey(c float64) string {
	const minus = "\u2212"
	c = math.Round(c*10) / 10
	if c < 0 {
		return minus + strconv.FormatFloat(-c, 'g', -1, 64)
	}
	return strconv.FormatFloat(c, 'g', -1, 64)
}

// gatherEntry is the season of gathering and boiling: from the first run in a hole to the end. Its chance is that the
// season comes into its days at all: on any one of them it is another.
func (s *Season) gatherEntry() *calendar.Entry {
	f := s.toldFacts()
	e := s.entry(calendar.TaskGather, f)
	e.Rests = calendar.RestsOn(s.Start, s.End)
	told := s.told[calendar.TaskGather]
	start := s.spread(s.Start).P50
	e.Window = civil.Span{First: max(start, s.TapDay.Or(start)), Last: s.heldEnd(likelyOver, told, told.Window.Last)}
	e.Window.Last = max(e.Window.Last, e.Window.First)
	e.Settled = calendar.Settled(s.Start, s.End)
	if best, ok := s.bestToGather(e.Window); ok {
		e.Best = best
	} else {
		e.Best, _ = e.Window.Likeliest(func(d civil.Date) float64 { return s.Start.By(d) - s.End.By(d) })
	}
	over := s.End.By(e.Window.First - 1) // where more likely than not, holes came too late for it
	e.Probability = min(surestForecast, max(0, s.Start.By(e.Window.Last)-over))
	if f.Begun = e.Window.First <= s.AsOf && over < likelyRunDay && calendar.Settled(s.Start); f.Begun {
		e.Probability = 1
	}
	return e
}

// bestToGather returns the day of a window, from today on, on which most sap that is good can be expected to run; false
// where nothing tells.
func (s *Season) bestToGather(window civil.Span) (civil.Date, bool) {
	window.First = max(window.First, s.AsOf)
	if window.Empty() || len(s.Years) < phenology.MinYears {
		return 0, false
	}
	expected := make([]float64, window.Days())
	var evened []float64
	for i := range s.Years {
		y := &s.Years[i]
		evened = smoothed(y, y.Flow, evened[:0])
		for k := range expected {
			if n := int(s.Season.Day(window.First)-y.First) + k; n >= 0 && n < len(evened) {
				expected[k] += evened[n]
			}
		}
	}
	ways := float64(len(s.Years))
	best, top := window.Likeliest(func(d civil.Date) float64 { return expected[d-window.First] / ways })
	// The day that the feed names stays while it is about as good.
	if told, ok := s.told[calendar.TaskGather].Best.Get(); ok && window.Contains(told) &&
		expected[told-window.First]/ways >= top*gatherHeld {
		best = told
	}
	return best, true
}

// gatherHeld is to which part of the best day's a day's sap must fall for the day that the feed names to be given up:
// from one morning to the next it is another by a hair. Our own choice.
const gatherHeld = 0.75

// lastEntry warns of the last runs: sap is worth tasting before it is boiled.
func (s *Season) lastEntry() *calendar.Entry {
	f := s.SeasonFacts(phenology.SapEnd, s.Spoiler())
	e := s.entry(calendar.TaskLast, f)
	e.Rests = calendar.RestsOn(s.End)
	told := s.told[calendar.TaskLast]
	first := s.heldEnd(firstDoubt, told, told.Window.First)
	e.Window = civil.Span{First: max(first, s.TapDay.Or(first)), Last: s.heldEnd(likelyOver, told, told.Window.Last)}
	e.Window.Last = max(e.Window.Last, e.Window.First)
	e.Best = e.Window.Clamp(s.lastDay(0.5))
	e.Probability = s.End.By(e.Best)
	if s.holesEnd(s.spread(s.End).P50, told) {
		f.HolesEnd, e.Probability = true, 1-s.End.By(e.Best)
	}
	e.Settled = calendar.Settled(s.End)
	if s.rings() {
		e.Reminders = []calendar.Reminder{
			{Kind: RingLast, On: e.Window.First, Minute: s.Options.Reminder, Until: e.Window.Last},
		}
	}
	return e
}

// pullEntry is the pulling of the taps.
func (s *Season) pullEntry() *calendar.Entry {
	f := s.SeasonFacts(phenology.SapEnd, s.Spoiler())
	e := s.entry(calendar.TaskPull, f)
	e.Rests = calendar.RestsOn(s.End)
	told := s.told[calendar.TaskPull]
	e.Window = civil.Span{First: s.heldEnd(likelyOver, told, told.Window.First), Last: s.lastDay(surelyOver.chance)}
	// The job stands until it can be taken as done, also where the end turns out to lie behind: taps do not pull
	// themselves.
	e.Window.Last = max(e.Window.Last, e.Window.First+pullDays)
	e.Best = e.Window.Clamp(s.heldEnd(pullBy, told, told.Best.Or(0)))
	e.Probability = s.End.By(e.Best)
	if s.holesEnd(e.Best, told) {
		f.HolesEnd, e.Probability = true, max(e.Probability, dryByThen)
	}
	e.Settled = calendar.Settled(s.End)
	if s.rings() {
		e.Reminders = []calendar.Reminder{
			{Kind: RingPull, On: e.Best, Minute: s.Options.Reminder, Until: e.Window.Last},
		}
	}
	return e
}

// overness is how likely the last good sap has run by a day: the chance on which a day is set, and those between which
// a day that the feed names stays.
type overness struct{ chance, least, most float64 }

// How likely the last good sap has run when a season is spoken of as over. A hole that stays in for a week too long
// costs next to nothing and one that is pulled too early the runs to come, so that nothing is said of the middle of
// what may be. The chances are our own choice.
var (
	firstDoubt = overness{0.1, 0.04, 0.2} // sap is worth tasting from here on
	likelyOver = overness{0.8, 0.65, 0.9} // gathering and last runs are planned to here, and the pulling from here on
	pullBy     = overness{0.9, 0.8, 0.96} // the day to pull
	surelyOver = overness{0.95, 0.95, 0.95}
)

// heldEnd returns the day by which, so likely, the last good sap has run into a hole: the one that the feed tells,
// while it is about as likely; what one morning's forecast puts off the next one's brings back.
func (s *Season) heldEnd(o overness, told calendar.Memory, day civil.Date) civil.Date {
	if len(told.Told) > 0 && !told.Cancelled && s.lastDay(o.least) <= day && day <= s.lastDay(o.most) {
		return day
	}
	return s.lastDay(o.chance)
}

// pullDays is how long the pulling of taps stays open from the day on which the season is likely over: a few weeks, our
// own choice.
const pullDays = 21

// dryByThen is how likely a hole is dry at four thirds of its life. Growers' figures differ by that much: our own
// choice.
const dryByThen = 0.8

func (s *Season) entry(task calendar.Task, facts Facts) *calendar.Entry {
	return &calendar.Entry{
		Activity: calendar.Tapping, Task: task, Species: []*phenology.Species{s.Species}, Season: s.Season.Year,
		Facts: facts,
	}
}
