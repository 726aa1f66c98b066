package outing

import (
	"slices"

	"treewhen/calendar"
	"treewhen/calendar/coverage"
	"treewhen/phenology"
	"treewhen/phenology/civil"
	"treewhen/phenology/traits"
)

// Work is the outings of one place. It remembers what can be seen on every day of several years: let it go with the
// place.
type Work struct {
	*calendar.Work
	watches    map[*phenology.Species]*traits.Watch
	separators []separatorOf
}

// At begins the outings of a place.
func At(w *calendar.Work) *Work { return &Work{Work: w} }

// Trips schedules the field trips of every school year that the plan's days touch.
func (w *Work) Trips() {
	opt := &w.Place.Options.Trip
	if opt.Trips == 0 && len(opt.Booked) == 0 {
		return
	}
	first := opt.YearStarts
	if first == (civil.MonthDay{}) {
		first = usualYearStart(w.Place.Site())
	}
	starts := first.In
	for year := w.Plan.Span.First.Year() - 1; year <= w.Plan.Span.Last.Year(); year++ {
		period := civil.Span{First: starts(year), Last: starts(year+1) - 1}
		if period.Overlaps(w.Plan.Span) {
			w.fieldTrips(year, period)
		}
	}
}

// usualYearStart returns a day before the school year begins and after the one before it has ended: north of the
// equator schools begin in August or September, south of it from late January to March. Common practice, no source.
func usualYearStart(site *phenology.Site) civil.MonthDay {
	if site.Latitude < 0 {
		return civil.MonthDay{Month: 1, Day: 1}
	}
	return civil.MonthDay{Month: 8, Day: 1}
}

// tripYear is the work of choosing the trips of one school year.
type tripYear struct {
	*Work
	year    int
	period  civil.Span
	diary   *diary
	wishes  []tripWish
	problem coverage.Problem
	days    []int // the choice, indexes into problem.Days
	choice  coverage.Choice
	best    float64 // what the best choice shows; the one taken shows no less by much
	booked  int
	made    []madeTrip
	watches []*traits.Watch
	apart   *traits.Separator
	taken   map[civil.Date]bool // trips and rain dates
}

func (w *Work) fieldTrips(year int, period civil.Span) {
	t := &tripYear{Work: w, year: year, period: period, taken: map[civil.Date]bool{}}
	opt := &w.Place.Options.Trip
	t.diary = newDiary(&opt.Outings, w.Place.Site(), period, schoolDays, t.ownUIDs())
	t.made = t.madeTrips()
	t.candidates()
	if len(t.problem.Days) == 0 {
		if taken := t.takenDays(); taken.OutOfTerm < taken.Suit { // a year of which the plan has no term yet is no news
			w.Note(NoDayLeft{&taken})
		}
		return
	}
	for _, sp := range w.Place.Species {
		t.watches = append(t.watches, w.watch(sp))
	}
	t.apart = w.separator(t.watches)
	t.wish()
	if len(t.wishes) == 0 {
		w.Note(NothingToSee{period.First})
		return
	}
	t.choose()
	if len(t.days) < t.problem.Count {
		t.fewer()
	}
	for _, i := range t.days {
		t.taken[t.problem.Days[i]] = true
	}
	numbers := t.numbers()
	for n, i := range t.days {
		t.entry(n, numbers[t.problem.Days[i]])
	}
}

// watch returns the place's watch of a species, the same one whenever it is asked for.
func (w *Work) watch(sp *phenology.Species) *traits.Watch {
	if w.watches == nil {
		w.watches = map[*phenology.Species]*traits.Watch{}
	}
	if w.watches[sp] == nil {
		in := func(season int) phenology.Estimates { return w.In(sp, season) }
		w.watches[sp] = traits.NewWatch(*w.Place.Site(), sp, in)
	}
	return w.watches[sp]
}

// separator returns what tells the species of some watches apart: the same one from season to season, as long as they
// are the same species.
func (w *Work) separator(watches []*traits.Watch) *traits.Separator {
	for _, made := range w.separators {
		if slices.Equal(made.watches, watches) {
			return made.Separator
		}
	}
	s := traits.NewSeparator(watches)
	w.separators = append(w.separators, separatorOf{slices.Clone(watches), s})
	return s
}

type separatorOf struct {
	watches []*traits.Watch
	*traits.Separator
}

// candidates lists the days from which trips are chosen: open ones from today on that have an open day for rain behind
// them, and booked ones.
func (t *tripYear) candidates() {
	opt := &t.Place.Options.Trip
	p := &t.problem
	p.Spacing, p.MostMonth = max(1, opt.Spacing), opt.MostMonth
	for d := t.period.First; d <= t.period.Last; d++ {
		fixed := slices.Contains(opt.Booked, d) || t.madeOn(d) != nil
		if !fixed && (d < t.Plan.AsOf || !t.diary.open(d) || opt.RainWithin > 0 && !t.dryDay(d)) {
			continue
		}
		p.Days, p.Fixed = append(p.Days, d), append(p.Fixed, fixed)
		if fixed {
			t.booked++
		}
	}
	p.Count = max(opt.Trips, t.booked)
	if first := t.firstOpen(); t.booked == 0 && first < t.Plan.AsOf && t.Plan.Span.Overlaps(t.period) {
		t.Note(PlannedFrom{p.Count, t.period.First, t.Plan.AsOf})
	}
}

// firstOpen returns the first day of the school year on which people can go out.
func (t *tripYear) firstOpen() civil.Date {
	for d := t.period.First; d <= t.period.Last; d++ {
		if t.diary.open(d) {
			return d
		}
	}
	return t.period.Last + 1
}

// dryDay reports whether a trip on d has a day to fall back on.
func (t *tripYear) dryDay(d civil.Date) bool {
	for r := d + 1; r <= d+civil.Date(t.Place.Options.Trip.RainWithin); r++ {
		if t.diary.open(r) {
			return true
		}
	}
	return false
}

// fewer says why there are fewer trips than asked for.
func (t *tripYear) fewer() {
	n := len(t.days)
	why := NoRoom
	if len(t.choice.ByCount) > n+1 && t.choice.ByCount[n+1] > 0 {
		why = AddNothing
		if n == 0 {
			why = NothingLikely
		}
	}
	t.Note(FewerTrips{n, t.problem.Count, t.period.First, why})
}

// takenDays returns what took the days of the school year.
func (t *tripYear) takenDays() Taken {
	opt, n := &t.Place.Options.Trip, &t.diary.taken
	taken := Taken{
		Year: t.period, Hours: opt.Hours, Suit: t.period.Days() - n[otherWeekday],
		OutOfTerm: n[outOfTerm], Closed: n[closedDay], Busy: n[busyDay], Dark: n[darkDay],
	}
	for _, d := range opt.Busy {
		taken.Calendars = append(taken.Calendars, d.Name)
	}
	return taken
}

// ownUIDs returns the identifiers of all trips that this school year could have, for calendars into which the plan's
// own feed was copied.
func (t *tripYear) ownUIDs() map[string]bool {
	own := map[string]bool{}
	for n := 1; n <= calendar.MaxTrips; n++ {
		own[t.tripUID(calendar.TaskTrip, n)], own[t.tripUID(calendar.TaskRainDate, n)] = true, true
	}
	return own
}
