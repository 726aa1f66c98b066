package outing

import (
	"slices"

	"treewhen/calendar"
	"treewhen/phenology"
	"treewhen/phenology/civil"
	"treewhen/phenology/traits"
)

const (
	pairsOfSurvey  = MostPairs // pairs that an entry names
	traitsOfSurvey = 7         // characters of a species that it names
	bareEnough     = 0.5       // a day on which all species are bare with less than this chance is no survey day
	nearlyBare     = 0.05      // days within this of the highest chance are equally bare
	nearlyApart    = 0.01      // days on which all but this share of the pairs can be told apart are equally good
)

// twigs is the work of finding the days of one winter's survey.
type twigs struct {
	*Work
	season  int
	uid     string
	species []*phenology.Species
	watches []*traits.Watch
	spells  []*traits.Spell // of bare twigs
	apart   *traits.Separator
	search  civil.Span
	diary   *diary
	allBare map[civil.Date]float64
	usual   map[civil.Date]Conditions
}

// Survey schedules the winter after a season: from the last leaf down to the first bud swelling.
func (w *Work) Survey(season int) {
	// Leaves fall in the second half of a growing year.
	const halfYear = 182
	if w.Plan.Span.Last < w.Place.Site().Season(season).Date(halfYear) {
		return
	}
	t := &twigs{Work: w, season: season, allBare: map[civil.Date]float64{}, usual: map[civil.Date]Conditions{}}
	opt := &w.Place.Options.Twig
	// An evergreen has no bare twigs.
	deciduous := slices.DeleteFunc(slices.Clone(w.Place.Species), func(sp *phenology.Species) bool {
		return len(opt.Targets) > 0 && !slices.Contains(opt.Targets, sp.ID) || sp.Phase(phenology.LeafFall) == nil
	})
	w.Ready(deciduous, season, season+1)
	for _, sp := range deciduous {
		watch := w.watch(sp)
		spell, ok := watch.Spell(phenology.Moment{Phase: phenology.LeafFall},
			phenology.Moment{Phase: phenology.BudSwell}, season)
		if !ok {
			w.Note(NeverBare{sp})
			continue
		}
		t.species, t.watches, t.spells = append(t.species, sp), append(t.watches, watch), append(t.spells, spell)
	}
	if len(t.spells) == 0 {
		return
	}
	t.search = civil.Span{First: t.spells[0].From.P10(), Last: t.spells[0].To.P90()}
	for _, s := range t.spells {
		t.search = civil.Span{First: min(t.search.First, s.From.P10()), Last: max(t.search.Last, s.To.P90())}
	}
	// A year has one winter; anything longer is an estimate gone astray.
	t.search.Last = min(t.search.Last, t.search.First+365)
	if !t.search.Overlaps(w.Plan.Span) {
		return // nobody asked
	}
	t.apart = w.separator(t.watches)
	t.uid = calendar.UID(w.Plan.FeedID, w.Place.Site().ID, calendar.TwigSurvey, nil, calendar.TaskSurvey, season)
	t.diary = newDiary(&opt.Outings, w.Place.Site(), t.search, nil, map[string]bool{t.uid: true})
	days := t.openDays()
	if len(days) == 0 {
		term := len(opt.Terms) > 0 && !slices.ContainsFunc(opt.Terms, t.search.Overlaps)
		w.Note(NoSurvey{season, term, t.leftOut()})
		return
	}
	if window := (civil.Span{First: days[0], Last: days[len(days)-1]}); window.Overlaps(w.Plan.Span) {
		best, others := t.bestDays(days)
		t.entry(window, best, others)
	}
}

func (t *twigs) entry(window civil.Span, best civil.Date, others []civil.Date) {
	opt := &t.Place.Options.Twig
	var list []phenology.Estimate
	for _, s := range t.spells {
		list = append(list, s.From, s.To)
	}
	sheet := newSheet(t.Place, t.watches, t.apart, best, opt.Hours, calendar.TwigSurvey, nil)
	survey := &Survey{Day: sheet.Day, Nearly: others, LeftOut: t.leftOut()}
	survey.BareLast, survey.SwellFirst = t.bounds()
	care, more := sheet.Worst(pairsOfSurvey)
	survey.Care, survey.CareMore = brief(care), more
	survey.Common = sheet.Common
	for _, x := range sheet.Species {
		x.Traits, x.apart = x.Best(traitsOfSurvey), nil // which holds all that the site's trees were watched by
		survey.Look = append(survey.Look, x)
	}
	for _, sp := range t.species {
		survey.Sources = addNew(survey.Sources, t.In(sp, t.season).Cited(phenology.LeafFall))
		survey.Sources = addNew(survey.Sources, t.In(sp, t.season+1).Cited(phenology.BudSwell))
	}
	survey.Sheet = sheet
	t.Add(&calendar.Entry{
		Activity: calendar.TwigSurvey, Task: calendar.TaskSurvey, Species: t.species, Season: t.season,
		Window: window, Best: best, Hours: opt.Hours, Probability: t.bare(best),
		Rests: calendar.RestsOn(list...), Settled: calendar.Settled(list...), Facts: survey,
		Reminders: []calendar.Reminder{{Before: 7, On: best, Minute: opt.Reminder}},
	})
}

// bounds returns the species that is bare last and the one whose buds swell first.
func (t *twigs) bounds() (bareLast, swellFirst Bound) {
	last, first := 0, 0
	for i, s := range t.spells {
		if s.From.P50() > t.spells[last].From.P50() {
			last = i
		}
		if s.To.P50() < t.spells[first].To.P50() {
			first = i
		}
	}
	open, shut := t.spells[last].From, t.spells[first].To
	return Bound{t.species[last], civil.Span{First: open.P10(), Last: open.P90()}},
		Bound{t.species[first], civil.Span{First: shut.P10(), Last: shut.P90()}}
}

// leftOut returns how many days each bound took.
func (t *twigs) leftOut() LeftOut {
	opt, site := &t.Place.Options.Twig, t.Place.Site()
	out := LeftOut{
		Closed: t.diary.taken[closedDay], Busy: t.diary.taken[busyDay], Dark: t.diary.taken[darkDay],
		Hours: opt.Hours, MinDayLen: opt.MinDayLen, Coldest: opt.Coldest,
	}
	for d := t.search.First; d <= t.search.Last; d++ {
		if phenology.DayLengthAt(site.Latitude, site.Longitude, d) < opt.MinDayLen {
			out.Dark++
		}
		if c := t.conditionsOn(d); c.Known && c.Low < opt.Coldest {
			out.Cold++
		}
	}
	return out
}
