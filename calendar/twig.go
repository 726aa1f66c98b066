package calendar

import (
	"fmt"
	"slices"

	"treewhen/phenology"
	"treewhen/phenology/civil"
)

// TaskSurvey is the task of [TwigSurvey].
const TaskSurvey Task = "survey-twigs"

const (
	bareEnough = 0.5  // a day on which all species are bare with less than this chance is no survey day
	nearlyBest = 0.02 // days within this of the highest chance are equally good; daylight decides
)

// twigSurvey schedules the winter after a season: from the last leaf down to the first bud swelling.
func (w *placeWork) twigSurvey(season int) {
	type pair struct{ fall, swell phenology.Estimate }
	var pairs []pair
	var list []phenology.Estimate
	var species []*phenology.Species
	var missing []string
	for _, sp := range w.place.Species {
		fall, swell := w.in(sp, season).Get(phenology.LeafFall), w.in(sp, season+1).Get(phenology.BudSwell)
		if !fall.Dated() || !swell.Dated() {
			missing = append(missing, sp.Name())
			continue
		}
		pairs = append(pairs, pair{fall, swell})
		list = append(list, fall, swell)
		species = append(species, sp)
	}
	if len(missing) > 0 {
		w.note("no twig survey for %s: leaf fall or bud swell cannot be dated here", joinWords(missing))
	}
	if len(pairs) == 0 {
		return
	}
	bare := func(d civil.Date) float64 {
		p := 1.0
		for _, x := range pairs {
			p = min(p, x.fall.By(d)-x.swell.By(d))
		}
		return max(0, p)
	}
	opt := w.place.Options.Twig
	search := civil.Span{First: pairs[0].fall.P10(), Last: pairs[0].swell.P90()}
	for _, x := range pairs {
		search = civil.Span{First: min(search.First, x.fall.P10()), Last: max(search.Last, x.swell.P90())}
	}
	lat, lon := w.place.Site().Latitude, w.place.Site().Longitude
	open := func(d civil.Date) bool { return opt.open(d) && phenology.DayLengthAt(lat, lon, d) >= opt.MinDayLen }
	window, ok := surveyDays(search, bare, open)
	if !ok {
		w.note("no twig survey in the winter after %d: no day has bare twigs and %g hours of daylight among the days the plan allows", season, opt.MinDayLen)
		return
	}
	var top float64
	for d := window.First; d <= window.Last; d++ {
		if open(d) {
			top = max(top, bare(d))
		}
	}
	best, _ := likeliest(window, func(d civil.Date) float64 {
		if !open(d) || bare(d) < top-nearlyBest {
			return -1
		}
		return phenology.DayLengthAt(lat, lon, d)
	})
	e := &Entry{
		Activity: TwigSurvey, Task: TaskSurvey, Species: species, Season: season,
		Summary: "Survey winter twigs",
		Window:  window, Best: best,
		Probability: bare(best), ProbabilityOf: "that all of these are bare and their buds at rest",
		Settled:  settled(list...),
		Cautions: slicesOf(surveyCautions),
		Reasons: []string{
			fmt.Sprintf("Leaves are down and buds at rest on %s, with at least %g hours of daylight; %.1f hours on the best day.",
				joinNames(species), opt.MinDayLen, phenology.DayLengthAt(lat, lon, best)),
		},
		Reminders: []Reminder{{Before: 7, On: best, Minute: opt.Reminder, Text: "Winter-twig survey on " + longDate(best)}},
	}
	e.Basis, e.BasisText = basis(list...)
	for _, sp := range species {
		if text := twigText(sp); text != "" {
			e.LookFor = append(e.LookFor, sp.Name()+": "+text)
		}
		e.Cautions = append(e.Cautions, speciesCautions(sp, TwigSurvey)...)
		for _, p := range []struct {
			season int
			phase  phenology.Phase
		}{{season, phenology.LeafFall}, {season + 1, phenology.BudSwell}} {
			for _, s := range sourcesOf(w.in(sp, p.season), p.phase) {
				if !slices.Contains(e.Sources, s) {
					e.Sources = append(e.Sources, s)
				}
			}
		}
	}
	w.add(e)
}

// open reports whether the plan allows a survey on a day.
func (o TwigOptions) open(d civil.Date) bool {
	for _, s := range o.Closed {
		if s.Contains(d) {
			return false
		}
	}
	if o.From == (civil.MonthDay{}) || o.To == (civil.MonthDay{}) {
		return true
	}
	first, last := o.From.In(d.Year()), o.To.In(d.Year())
	if first <= last {
		return first <= d && d <= last
	}
	return d >= first || d <= last // the season passes New Year
}

// surveyDays returns the days of a span, from the first to the last that is open and likely bare.
func surveyDays(search civil.Span, bare func(civil.Date) float64, open func(civil.Date) bool) (civil.Span, bool) {
	s := civil.Span{First: search.Last + 1, Last: search.First - 1}
	for d := search.First; d <= search.Last; d++ {
		if open(d) && bare(d) >= bareEnough {
			s = civil.Span{First: min(s.First, d), Last: d}
		}
	}
	return s, !s.Empty()
}

// twigText says what is seen on a species' bare twig.
func twigText(sp *phenology.Species) string {
	var parts []string
	for _, t := range sp.Traits {
		if t.Text == "" || !slices.Contains([]string{"twig", "bud", "pith", "bark"}, t.Organ) {
			continue
		}
		if t.AllYear || t.From >= phenology.LeafFall {
			parts = append(parts, t.Text)
		}
	}
	if len(parts) == 0 {
		return ""
	}
	return joinSemicolons(parts)
}

func joinSemicolons(parts []string) string {
	s := parts[0]
	for _, p := range parts[1:] {
		s += "; " + p
	}
	return s + "."
}

func joinNames(list []*phenology.Species) string {
	names := make([]string, len(list))
	for i, s := range list {
		names[i] = lower(s.Name())
	}
	return joinWords(names)
}
