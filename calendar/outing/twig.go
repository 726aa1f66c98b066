package outing

import (
	"fmt"
	"math"
	"slices"
	"time"

	"treewhen/calendar"
	"treewhen/calendar/phrase"
	"treewhen/phenology"
	"treewhen/phenology/civil"
	"treewhen/phenology/traits"
)

const (
	bareEnough  = 0.5  // a day on which all species are bare with less than this chance is no survey day
	nearlyBare  = 0.05 // days within this of the highest chance are equally bare
	nearlyApart = 0.01 // days on which all but this share of the pairs can be told apart are equally good
)

// twigs is the work of finding the days of one winter's survey.
type twigs struct {
	*Work
	season  int
	species []*phenology.Species
	watches []*traits.Watch
	spells  []traits.Spell // of bare twigs
	apart   *traits.Separator
	search  civil.Span
	diary   *diary
	allBare map[civil.Date]float64
}

// Survey schedules the winter after a season: from the last leaf down to the first bud swelling.
func (w *Work) Survey(season int) {
	t := &twigs{Work: w, season: season, allBare: map[civil.Date]float64{}}
	opt := &w.Place.Options.Twig
	var missing []string
	for _, sp := range w.Place.Species {
		if len(opt.Targets) > 0 && !slices.Contains(opt.Targets, sp.ID) {
			continue
		}
		if sp.Phase(phenology.LeafFall) == nil {
			continue // an evergreen has no bare twigs
		}
		watch := w.watch(sp)
		spell, ok := watch.Spell(phenology.LeafFall, phenology.BudSwell, season)
		if !ok {
			missing = append(missing, phrase.Name(sp.Name()))
			continue
		}
		t.species, t.watches, t.spells = append(t.species, sp), append(t.watches, watch), append(t.spells, spell)
	}
	if len(missing) > 0 {
		w.Note(fmt.Sprintf("no twig survey for %s: leaf fall or bud swell cannot be dated here", phrase.Join(missing)))
	}
	if len(t.spells) == 0 {
		return
	}
	t.apart = w.separator(t.watches)
	t.search = civil.Span{First: t.spells[0].From.P10(), Last: t.spells[0].To.P90()}
	for _, s := range t.spells {
		t.search = civil.Span{First: min(t.search.First, s.From.P10()), Last: max(t.search.Last, s.To.P90())}
	}
	// A year has one winter; anything longer is an estimate gone astray.
	t.search.Last = min(t.search.Last, t.search.First+365)
	own := map[string]bool{calendar.UID(w.Plan.FeedID, w.Place.Site().ID, calendar.TwigSurvey, nil, calendar.TaskSurvey, season): true}
	t.diary = newDiary(&opt.Outings, w.Place.Site(), t.search, nil, own)
	window, ok := t.window()
	if !ok {
		switch {
		case !t.search.Overlaps(w.Plan.Span): // nobody asked
		case len(opt.Terms) > 0 && !slices.ContainsFunc(opt.Terms, t.search.Overlaps):
			w.Note(fmt.Sprintf("no twig survey in the winter after %d: none of its days with bare twigs lies in the plan's terms", season))
		default:
			left := ", and daylight and warmth enough"
			if text := t.leftOut(); text != "" {
				left = "; left out were " + text
			}
			w.Note(fmt.Sprintf("no twig survey in the winter after %d: no day on which the plan allows one has bare twigs%s", season, left))
		}
		return
	}
	best, others := t.bestDays(window)
	t.entry(window, best, others)
}

// bare returns the chance that all species are bare and their buds at rest.
func (t *twigs) bare(d civil.Date) float64 {
	p, known := t.allBare[d]
	if !known {
		p = traits.AllOn(t.spells, d)
		t.allBare[d] = p
	}
	return p
}

// open reports whether a survey can be made on a day.
func (t *twigs) open(d civil.Date) bool {
	opt, site := &t.Place.Options.Twig, t.Place.Site()
	if !inSeason(opt, d) || !t.diary.open(d) {
		return false
	}
	if phenology.DayLengthAt(site.Latitude, site.Longitude, d) < opt.MinDayLen {
		return false
	}
	if c := t.conditions(d, opt.Hours); c.known && c.low < opt.Coldest {
		return false
	}
	return true
}

// inSeason reports whether a day lies in the survey's own season.
func inSeason(o *calendar.TwigOptions, d civil.Date) bool {
	if o.From == (civil.MonthDay{}) || o.To == (civil.MonthDay{}) {
		return true
	}
	first, last := o.From.In(d.Year()), o.To.In(d.Year())
	if first <= last {
		return first <= d && d <= last
	}
	return d >= first || d <= last // the season passes New Year
}

// window returns the days from the first to the last that is open and likely bare.
func (t *twigs) window() (civil.Span, bool) {
	s := civil.Span{First: t.search.Last + 1, Last: t.search.First - 1}
	for d := t.search.First; d <= t.search.Last; d++ {
		if t.bare(d) >= bareEnough && t.open(d) {
			s = civil.Span{First: min(s.First, d), Last: d}
		}
	}
	return s, !s.Empty()
}

// bestDays returns the best day of the window and two others at least a week from it and from each other. Of the days on
// which the twigs are as good as surely bare, those are best on which most pairs can be told apart, and of these the
// warmest, or, where nobody knows the temperature, the longest. Once the best day is over, the best of those left is
// looked for from the next Monday on, and the others always are, so that they do not change from one day to the next.
func (t *twigs) bestDays(window civil.Span) (civil.Date, []civil.Date) {
	site := t.Place.Site()
	type scored struct{ bare, apart, comfort float64 }
	score := map[civil.Date]scored{}
	var days []civil.Date
	for d := window.First; d <= window.Last; d++ {
		if !t.open(d) || t.bare(d) < bareEnough {
			continue
		}
		apart, _ := t.apart.Expected(d)
		s := scored{bare: t.bare(d), apart: apart, comfort: phenology.DayLengthAt(site.Latitude, site.Longitude, d)}
		if c := t.conditions(d, t.Place.Options.Twig.Hours); c.known {
			s.comfort = math.Round(c.low + c.high) // degrees alone; a tenth of one is no reason
		}
		days, score[d] = append(days, d), s
	}
	best := func(days []civil.Date) (civil.Date, bool) {
		var barest, most float64
		for _, d := range days {
			barest = max(barest, score[d].bare)
		}
		for _, d := range days {
			if score[d].bare >= barest-nearlyBare {
				most = max(most, score[d].apart)
			}
		}
		found, ok := civil.Date(0), false
		for _, d := range days {
			s := score[d]
			if s.bare < barest-nearlyBare || s.apart < most*(1-nearlyApart) {
				continue
			}
			if !ok || s.comfort > score[found].comfort+1e-9 {
				found, ok = d, true
			}
		}
		return found, ok
	}
	from := func(first civil.Date) []civil.Date {
		return slices.DeleteFunc(slices.Clone(days), func(d civil.Date) bool { return d < first })
	}
	monday := t.Plan.AsOf
	for monday.Weekday() != time.Monday {
		monday++
	}
	first, _ := best(days)
	if first < t.Plan.AsOf {
		for _, left := range [][]civil.Date{from(monday), from(t.Plan.AsOf)} {
			if d, ok := best(left); ok {
				first = d
				break
			}
		}
	}
	days = from(monday)
	var others []civil.Date
	chosen := []civil.Date{first}
	for len(others) < 2 {
		rest := slices.DeleteFunc(slices.Clone(days), func(d civil.Date) bool {
			return slices.ContainsFunc(chosen, func(c civil.Date) bool { return civil.Apart(c, d) < 7 })
		})
		d, ok := best(rest)
		if !ok {
			break
		}
		others, chosen = append(others, d), append(chosen, d)
	}
	slices.Sort(others)
	return first, others
}

func (t *twigs) entry(window civil.Span, best civil.Date, others []civil.Date) {
	opt := &t.Place.Options.Twig
	var list []phenology.Estimate
	for _, s := range t.spells {
		list = append(list, s.From, s.To)
	}
	e := &calendar.Entry{
		Activity: calendar.TwigSurvey, Task: calendar.TaskSurvey, Species: t.species, Season: t.season,
		Summary: "Survey winter twigs",
		Window:  window, Best: best, Hours: opt.Hours,
		Probability: t.bare(best), ProbabilityOf: "that all of these are bare and their buds at rest",
		Settled:   calendar.Settled(list...),
		Reminders: []calendar.Reminder{{Before: 7, On: best, Minute: opt.Reminder, Text: "Winter-twig survey on " + phrase.LongDate(best)}},
	}
	e.Rests = calendar.RestsOn(list...)
	c := t.conditions(best, opt.Hours)
	e.Reasons = []string{t.seasonText()}
	text := fmt.Sprintf("On the best day, %s; %s", c.sun, c.temperature)
	if len(others) > 0 {
		names := make([]string, len(others))
		for i, d := range others {
			names[i] = d.Format("Mon 2 Jan")
		}
		text += ". Nearly as good: " + phrase.Join(names)
	}
	e.Reasons = append(e.Reasons, text+".")
	if text := t.leftOut(); text != "" {
		e.Reasons = append(e.Reasons, "Left out: "+text+".")
	}
	sheet := newSheet(t.Place, t.watches, t.apart, best, opt.Hours, calendar.TwigSurvey, nil)
	e.Facts = sheet
	have := make([][]phenology.Trait, len(t.species))
	for i, sp := range t.species {
		have[i] = twigTraits(sp)
	}
	common := commonTraits(have)
	if len(common) > 0 {
		words := make([]string, len(common))
		for i, c := range common {
			words[i] = c.words
		}
		e.LookFor = append(e.LookFor, "All of them: "+phrase.Clauses(words))
	}
	for _, sp := range t.species {
		if text := twigText(sp, common); text != "" {
			e.LookFor = append(e.LookFor, sp.Name()+": "+text)
		}
		for _, p := range []struct {
			season int
			phase  phenology.Phase
		}{{t.season, phenology.LeafFall}, {t.season + 1, phenology.BudSwell}} {
			for _, s := range calendar.SourcesOf(t.In(sp, p.season), p.phase) {
				if !slices.Contains(e.Sources, s) {
					e.Sources = append(e.Sources, s)
				}
			}
		}
	}
	e.LookFor = append(e.LookFor, sheet.CareText(10)...)
	e.Kit, e.Cautions = sheet.Kit, sheet.Cautions
	t.Add(e)
}

// seasonText says when the season opens and closes, and what a late autumn or an early spring makes of it.
func (t *twigs) seasonText() string {
	last, first := 0, 0 // the species that is bare last and that swells first
	for i, s := range t.spells {
		if s.From.P50() > t.spells[last].From.P50() {
			last = i
		}
		if s.To.P50() < t.spells[first].To.P50() {
			first = i
		}
	}
	open, shut := t.spells[last].From, t.spells[first].To
	return fmt.Sprintf("%s is bare last, between %s and %s in eight years of ten, and %s swells first, between %s and %s: after a late autumn and before an early spring, %s is left.",
		phrase.Capital(phrase.Name(t.species[last].Name())), phrase.ShortDate(open.P10()), phrase.ShortDate(open.P90()),
		phrase.Name(t.species[first].Name()), phrase.ShortDate(shut.P10()), phrase.ShortDate(shut.P90()), narrow(open.P90(), shut.P10()))
}

// narrow names the days between a late beginning and an early end.
func narrow(first, last civil.Date) string {
	if last < first {
		return "nothing"
	}
	return phrase.Span(civil.Span{First: first, Last: last})
}

// leftOut says how many days each bound took, "" for none.
func (t *twigs) leftOut() string {
	opt := &t.Place.Options.Twig
	var parts []string
	if n := t.diary.from["closed"]; n > 0 {
		parts = append(parts, phrase.Count(n, "closed day"))
	}
	if n := t.diary.from["busy"]; n > 0 {
		parts = append(parts, fmt.Sprintf("%s that the plan's calendars take", phrase.Count(n, "day")))
	}
	if n := t.countDays(func(d civil.Date) bool {
		site := t.Place.Site()
		return phenology.DayLengthAt(site.Latitude, site.Longitude, d) < opt.MinDayLen
	}) + t.diary.from["dark"]; n > 0 {
		parts = append(parts, fmt.Sprintf("%s with less than %g hours of daylight or with the sun down at %s", phrase.Count(n, "day"), opt.MinDayLen, opt.Hours))
	}
	if n := t.countDays(func(d civil.Date) bool { c := t.conditions(d, opt.Hours); return c.known && c.low < opt.Coldest }); n > 0 {
		parts = append(parts, fmt.Sprintf("%s usually colder than %s °C at %s", phrase.Count(n, "day"), phrase.Celsius(opt.Coldest), opt.Hours))
	}
	return phrase.Join(parts)
}

func (t *twigs) countDays(is func(civil.Date) bool) int {
	n := 0
	for d := t.search.First; d <= t.search.Last; d++ {
		if is(d) {
			n++
		}
	}
	return n
}

// twigText says what is seen on a species' bare twig, but for what all species share.
func twigText(sp *phenology.Species, common []commonTrait) string {
	var parts []string
	for _, t := range twigTraits(sp) {
		if !slices.ContainsFunc(common, func(c commonTrait) bool { return c.is(t) }) {
			parts = append(parts, traitWords(t))
		}
	}
	if len(parts) == 0 {
		return ""
	}
	return phrase.Clauses(parts)
}

// twigTraits returns what can be seen on a species' bare twig.
func twigTraits(sp *phenology.Species) []phenology.Trait {
	return slices.DeleteFunc(slices.Clone(sp.Traits), func(t phenology.Trait) bool {
		return t.Text == "" || !slices.Contains([]string{"twig", "bud", "pith", "bark"}, t.Organ) || !t.AllYear && t.From < phenology.LeafFall
	})
}
