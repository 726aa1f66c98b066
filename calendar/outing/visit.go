package outing

import (
	"cmp"
	"slices"
	"strconv"

	"treewhen/calendar"
	"treewhen/phenology"
	"treewhen/phenology/civil"
)

const (
	aWeekWithin   = 3     // a trip moved by a week goes to an allowed day within so many days of that
	fewestMissing = 0.005 // what adds less is in no title
	noticeable    = 0.05  // sums are told in tenths: from this difference on they differ
	pairsOfTrip   = 3     // pairs that an entry names
	mostInTitle   = 3     // sights that a title names
)

// entry makes the entries of trip n that lie in the plan's days: its own and its rain date's.
func (t *tripYear) entry(n, number int) {
	d := t.problem.Days[t.days[n]]
	adds := t.keptTheme(d, number, t.adds(n))
	made := t.madeOn(d)
	var rain civil.Date
	var hasRain bool
	if made != nil {
		if hasRain = made.rain != nil; hasRain {
			rain = *made.rain
		}
	} else if rain, hasRain = t.rainDate(n); hasRain {
		rain = t.keptRain(n, number, rain)
	}
	var move *Move
	if hasRain {
		t.taken[rain] = true
		move = t.move(n, rain)
	}
	if t.Plan.Span.Contains(d) {
		t.trip(n, number, adds, move)
	}
	if hasRain && t.Plan.Span.Contains(rain) {
		r, visit := t.visit(calendar.TaskRainDate, rain, adds[0].See, number)
		r.Facts = &RainDay{Visit: visit, For: d, Move: *move}
		r.After = []string{t.tripUID(calendar.TaskTrip, number)}
		t.Add(r)
	}
}

// trip makes the entry of trip n; rain tells of the day to fall back on, nil if there is none.
func (t *tripYear) trip(n, number int, adds []Add, rain *Move) {
	opt, i := &t.Place.Options.Trip, t.days[n]
	d, theme := t.problem.Days[i], adds[0].See
	e, visit := t.visit(calendar.TaskTrip, d, theme, number)
	trip := &Trip{Visit: visit, Also: t.also(d, adds), Adds: adds, Rain: rain, RainIn: opt.RainWithin}
	trip.Named = t.named(d, append([]calendar.Sight{theme}, trip.Also...))
	e.Probability = float64(trip.Lowest().Chance)
	trip.Sheet.Named = trip.Named
	if rain != nil {
		trip.Sheet.Rain = &rain.To
	}
	trip.Care = brief(trip.Sheet.notApart(pairsOfTrip))
	e.Facts = trip
	if t.problem.Fixed[i] && t.madeOn(d) == nil {
		e.State = calendar.Booked
		if event := t.diary.event(d); event != nil {
			trip.Clash = event.Summary
		}
	}
	t.compare(trip, n)
	e.Reminders = []calendar.Reminder{{Before: 7, On: d, Minute: opt.Reminder}}
	t.Add(e)
}

// visit makes an entry of a day, all but what tells a trip from its rain date.
func (t *tripYear) visit(task calendar.Task, d civil.Date, theme calendar.Sight, number int) (*calendar.Entry, Visit) {
	opt := &t.Place.Options.Trip
	e := &calendar.Entry{
		UID: t.tripUID(task, number), Activity: calendar.FieldTrip, Task: task,
		Season: phenology.SeasonAt(*t.Place.Site(), d).Year, Tell: []string{strconv.Itoa(number)},
		Window: civil.Span{First: d, Last: d}, Best: d, Hours: opt.Hours,
		Probability: t.anyOf(theme, d),
	}
	sights, shown := sightsOf(t.wishes, theme, d)
	v := Visit{Number: number, SchoolYear: t.year, Theme: theme, Sights: sights, AllYear: true}
	var list []phenology.Estimate
	var sources []phenology.Source
	for k, x := range shown {
		if x.see != theme {
			break
		}
		v.Expected, v.Among = v.Expected+calendar.Amount(x.on(d)), v.Among+1
		if (k == 0 || x.on(d) >= worthALook) && !slices.Contains(e.Species, x.sp) {
			e.Species = append(e.Species, x.sp)
		}
		if x.always {
			continue
		}
		// What all of them rest on counts: that a chance is small is said of this one's dates as well.
		list = append(list, x.spell.From, x.spell.To)
		est := t.In(x.sp, x.spell.From.Season.Year)
		sources = addNew(sources, est.Cited(x.dated...))
	}
	slices.SortFunc(e.Species, func(a, b *phenology.Species) int { return cmp.Compare(a.ID, b.ID) })
	if e.Settled = true; len(list) > 0 {
		e.Rests, e.Settled, v.AllYear = calendar.RestsOn(list...), calendar.Settled(list...), false
	}
	expected := map[*phenology.Species]float64{}
	for _, x := range t.wishes {
		expected[x.sp] += x.on(d)
	}
	sheet := newSheet(t.Place, t.watches, t.apart, d, opt.Hours, calendar.FieldTrip, expected)
	sheet.Sights = sights
	v.Day = sheet.Day
	v.Sheet, v.Sources = sheet, sources
	return e, v
}

func addNew(list, more []phenology.Source) []phenology.Source {
	for _, s := range more {
		if !slices.Contains(list, s) {
			list = append(list, s)
		}
	}
	return list
}

// named returns the chances of what a title names, each of its own species.
func (t *tripYear) named(d civil.Date, sights []calendar.Sight) []NamedSight {
	list := make([]NamedSight, len(sights))
	for i, see := range sights {
		n := NamedSight{See: see, Chance: calendar.Chance(t.anyOf(see, d))}
		for k := range t.wishes {
			if x := &t.wishes[k]; x.see == see {
				n.Among, n.Expected = n.Among+1, n.Expected+calendar.Amount(x.on(d))
			}
		}
		list[i] = n
	}
	return list
}

// also returns what a trip's title names beside the theme: what else it adds, if that is likelier than not to be seen
// and about as likely as the theme, since the title has one chance for all that it names.
func (t *tripYear) also(d civil.Date, adds []Add) (names []calendar.Sight) {
	const about = 0.05
	theme := t.anyOf(adds[0].See, d)
	for _, a := range adds[1:] {
		if a.By >= 0.4*adds[0].By && a.By > fewestMissing && 1+len(names) < mostInTitle &&
			t.anyOf(a.See, d) >= max(likelyThere, theme-about) {
			names = append(names, a.See)
		}
	}
	return names
}

// compare works out how trip n does beside other choices: of days, of how many, of a week earlier or later.
func (t *tripYear) compare(trip *Trip, n int) {
	k := len(t.days)
	trip.Order, trip.Of = n+1, k
	trip.FreeDays = t.diary.taken[noBar] // those that have passed as well: it must not change from one day to the next
	trip.Shows, trip.Wished = calendar.Amount(t.choice.Value), t.problem.Total()
	trip.Weighted = slices.ContainsFunc(t.wishes, func(x tripWish) bool { return x.weight != 1 })
	if held := t.best - t.choice.Value; held >= noticeable {
		trip.Held = calendar.Amount(held)
	}
	trip.OneLess, trip.OneMore = t.shows(k-1), t.shows(k+1)
	d := t.problem.Days[t.days[n]]
	trip.Earlier, trip.Later = t.moveNear(n, d-7), t.moveNear(n, d+7)
	trip.Taken = t.takenDays()
}

// shows returns what so many trips would show; 0 if that is nothing or not known.
func (t *tripYear) shows(trips int) calendar.Amount {
	if by := t.choice.ByCount; trips > 0 && trips < len(by) && by[trips] > 0 { // NaN is not
		return calendar.Amount(by[trips])
	}
	return 0
}

// moveNear compares trip n with the free day nearest to d; nil if there is none.
func (t *tripYear) moveNear(n int, d civil.Date) *Move {
	for by := civil.Date(0); by <= aWeekWithin; by++ {
		for _, to := range []civil.Date{d - by, d + by} {
			if to >= t.Plan.AsOf && t.diary.open(to) && !t.taken[to] {
				return t.move(n, to)
			}
		}
	}
	return nil
}

// move compares trip n with having it on another day.
func (t *tripYear) move(n int, to civil.Date) *Move {
	loss := t.choice.Value - t.value(n, to)
	m := &Move{To: to, Loss: calendar.Amount(loss)}
	switch {
	case loss >= noticeable:
		m.Worth = Less
	case loss <= -noticeable && -loss <= t.best-t.choice.Value+noticeable:
		m.Worth = TooLittle
	case loss <= -noticeable: // too near another trip, a month that is full, or no day for rain behind it
		m.Worth = Forbidden
	}
	return m
}

// rainDate returns the free day after trip n that loses least.
func (t *tripYear) rainDate(n int) (civil.Date, bool) {
	d := t.problem.Days[t.days[n]]
	best, top := civil.Date(0), -1.0
	for r := d + 1; r <= d+civil.Date(t.Place.Options.Trip.RainWithin); r++ {
		if !t.diary.open(r) || t.taken[r] { // nor does it move on once it is past
			continue
		}
		if v := t.value(n, r); v > top+1e-9 {
			best, top = r, v
		}
	}
	return best, top >= 0
}
