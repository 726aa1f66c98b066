package outing

import (
	"cmp"
	"fmt"
	"path"
	"path/filepath"
	"slices"
	"strconv"
	"strings"

	"treewhen/calendar"
	"treewhen/calendar/coverage"
	"treewhen/calendar/phrase"
	"treewhen/phenology"
	"treewhen/phenology/civil"
	"treewhen/phenology/traits"
)

const (
	likelyThere   = 0.5 // from this chance on a character is on the sheet
	WorthALook    = 0.2 // from this chance on it is mentioned
	mostNamed     = 8   // species of a sight are named
	aWeekWithin   = 3   // a trip moved by a week goes to an allowed day within so many days of that
	fewestMissing = 0.005
)

// Work is the outings of one place. It remembers what can be seen on every day of several years: let it go with the place.
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

// usualYearStart returns a day before the school year begins and after the one before it has ended: north of the equator
// schools begin in August or September, south of it from late January to March. Common practice, no source.
func usualYearStart(site *phenology.Site) civil.MonthDay {
	if site.Latitude < 0 {
		return civil.MonthDay{Month: 1, Day: 1}
	}
	return civil.MonthDay{Month: 8, Day: 1}
}

// tripWish is one thing that one species is to show.
type tripWish struct {
	see    calendar.Sight
	sp     *phenology.Species
	weight float64
	spell  traits.Spell
	always bool // it can be seen all year
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
		if n := t.diary.from["out of term"]; n < period.Days()-t.diary.from["day of the week"] {
			w.Note(fmt.Sprintf("no field trip in the school year from %s: no day is left. %s", phrase.LongDate(period.First), t.closedText()))
		}
		return // a year of which the plan has no term yet is no news
	}
	for _, sp := range w.Place.Species {
		t.watches = append(t.watches, w.watch(sp))
	}
	t.apart = w.separator(t.watches)
	t.wish()
	if len(t.wishes) == 0 {
		w.Note(fmt.Sprintf("no field trip in the school year from %s: nothing that the class is to see can be dated here", phrase.LongDate(period.First)))
		return
	}
	t.choose()
	if missing := t.problem.Count - len(t.days); missing > 0 {
		t.fewer(missing)
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
		w.watches[sp] = traits.NewWatch(*w.Place.Site(), sp, func(season int) phenology.Estimates { return w.In(sp, season) })
	}
	return w.watches[sp]
}

// separator returns what tells the species of some watches apart: the same one from season to season, as long as they are
// the same species.
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
		t.Note(fmt.Sprintf("%s of the school year from %s %s planned from %s on; trips made or booked count once their dates stand under booked in the plan",
			phrase.Count(p.Count, "trip"), phrase.ShortDate(t.period.First), isAre(p.Count), phrase.ShortDate(t.Plan.AsOf)))
	}
}

func isAre(n int) string {
	if n == 1 {
		return "is"
	}
	return "are"
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

// freeDays returns how many days of the school year people can go out on.
func (t *tripYear) freeDays() int {
	n := 0
	for d := t.period.First; d <= t.period.Last; d++ {
		if t.diary.open(d) {
			n++
		}
	}
	return n
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

// wish lists what is to be seen, with the chances of every candidate day. A wish is for one season of its species: the
// one that the candidate days can show best.
func (t *tripYear) wish() {
	wishes := t.Place.Options.Trip.Wishes
	if len(wishes) == 0 {
		wishes = calendar.DefaultWishes
	}
	first := phenology.SeasonAt(*t.Place.Site(), t.period.First).Year - 1
	last := phenology.SeasonAt(*t.Place.Site(), t.period.Last).Year
	var undated []string
	for _, wish := range wishes {
		for i, sp := range t.Place.Species {
			if len(wish.Species) > 0 && !slices.Contains(wish.Species, sp.ID) {
				continue
			}
			from, to, allYear, ok := wish.See.Spell(sp)
			if !ok {
				if len(wish.Species) > 0 {
					undated = append(undated, wish.See.Of(sp))
				}
				continue
			}
			item := tripWish{see: wish.See, sp: sp, weight: wish.Weight, always: allYear}
			best := -1.0
			for season := first; season <= last && !allYear; season++ {
				s, dated := t.watches[i].Spell(from, to, season)
				if !dated {
					continue
				}
				sum := 0.0
				for _, d := range t.problem.Days {
					sum += s.On(d)
				}
				if sum > best+1e-9 {
					best, item.spell = sum, s
				}
			}
			if best < 0 && !allYear {
				undated = append(undated, wish.See.Of(sp))
				continue
			}
			t.wishes = append(t.wishes, item)
			t.problem.Wishes = append(t.problem.Wishes, item.chances(t.problem.Days))
		}
	}
	if len(undated) > 0 {
		t.Note(fmt.Sprintf("no date here, so no trip, for %s", phrase.Join(undated)))
	}
}

// chances are the bounds of a wish on each of some days.
func (x *tripWish) chances(days []civil.Date) coverage.Wish {
	w := coverage.Wish{Weight: x.weight, Lower: make([]float64, len(days)), Upper: make([]float64, len(days))}
	for i, d := range days {
		if x.always {
			w.Upper[i] = 1
			continue
		}
		w.Lower[i], w.Upper[i] = x.spell.Gone(d), x.spell.Come(d)
	}
	return w
}

// on returns the chance that the thing can be seen on a day.
func (x *tripWish) on(d civil.Date) float64 {
	if x.always {
		return 1
	}
	return x.spell.On(d)
}

// fewer says why there are fewer trips than asked for.
func (t *tripYear) fewer(missing int) {
	n := len(t.days)
	why := "no more days fit the plan's spacing, months and calendars"
	if n < t.problem.Count && len(t.choice.ByCount) > n+1 && t.choice.ByCount[n+1] > 0 {
		why = fmt.Sprintf("%s more would add next to nothing", phrase.Count(missing, "trip"))
		if n == 0 {
			why = "on no day left can anything that the class is to see be expected"
		}
	}
	t.Note(fmt.Sprintf("%s, not %d, in the school year from %s: %s", phrase.Count(n, "field trip"), t.problem.Count, phrase.LongDate(t.period.First), why))
}

// closedText says what took the days.
func (t *tripYear) closedText() string {
	var parts []string
	for _, why := range []struct{ key, text string }{
		{"out of term", "are out of term"}, {"closed", "are closed"}, {"busy", "are taken by " + t.calendarNames()},
		{"dark", "are dark at " + t.Place.Options.Trip.Hours.String()},
	} {
		if n := t.diary.from[why.key]; n > 0 {
			parts = append(parts, fmt.Sprintf("%d %s", n, why.text))
		}
	}
	if len(parts) == 0 {
		return ""
	}
	return fmt.Sprintf("Of the %d days from %s to %s on weekdays that suit, %s.", t.period.Days()-t.diary.from["day of the week"],
		phrase.ShortDate(t.period.First), phrase.ShortDate(t.period.Last), phrase.Join(parts))
}

func (t *tripYear) calendarNames() string {
	var names []string
	for _, d := range t.Place.Options.Trip.Busy {
		names = append(names, path.Base(filepath.ToSlash(d.Name)))
	}
	return phrase.Join(names)
}

// value returns what the trips show with trip n on another day; without it if the day is none.
func (t *tripYear) value(n int, d *civil.Date) float64 {
	var days []civil.Date
	for i, k := range t.days {
		if i != n {
			days = append(days, t.problem.Days[k])
		}
	}
	if d != nil {
		days = append(days, *d)
	}
	slices.Sort(days)
	sum := 0.0
	all := make([]int, len(days))
	for i := range all {
		all[i] = i
	}
	for i := range t.wishes {
		w := t.wishes[i].chances(days)
		sum += w.Weight * w.Shown(all)
	}
	return sum
}

// adds returns what trip n adds to the others, by sight, the most first.
func (t *tripYear) adds(n int) []sightSum {
	without := slices.Delete(slices.Clone(t.days), n, n+1)
	var sums []sightSum
	for i, x := range t.wishes {
		w := &t.problem.Wishes[i]
		d := w.Weight * (w.Shown(t.days) - w.Shown(without))
		k := slices.IndexFunc(sums, func(s sightSum) bool { return s.see == x.see })
		if k < 0 {
			k = len(sums)
			sums = append(sums, sightSum{see: x.see})
		}
		sums[k].sum += d
	}
	slices.SortStableFunc(sums, func(a, b sightSum) int { return cmp.Compare(b.sum, a.sum) })
	return sums
}

type sightSum struct {
	see calendar.Sight
	sum float64
}

// ofAll says what sums of weights are of: "20 things wished for".
func (t *tripYear) ofAll() string {
	total := strconv.FormatFloat(t.problem.Total(), 'f', -1, 64)
	for _, x := range t.wishes {
		if x.weight != 1 {
			return "the wish list's weight of " + total
		}
	}
	return total + " things wished for"
}

// entry makes the entries of trip n: its own and its rain date's.
func (t *tripYear) entry(n, number int) {
	opt := &t.Place.Options.Trip
	i := t.days[n]
	d := t.problem.Days[i]
	adds := t.adds(n)
	theme := adds[0].see
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
	if hasRain {
		t.taken[rain] = true
	}

	e := t.outing(calendar.TaskTrip, d, theme, number)
	shows := t.themes(d, adds)
	e.Facts.(*FieldSheet).shows = shows
	names := make([]string, len(shows))
	for i, see := range shows {
		names[i] = see.What()
	}
	e.Summary = "Field trip: " + phrase.Join(names)
	e.Booked = t.problem.Fixed[i] && made == nil
	e.Reasons = t.reasons(n, adds, e.Booked)
	if hasRain {
		e.Facts.(*FieldSheet).Rain = &rain
		e.Reasons = append(e.Reasons, fmt.Sprintf("Rain date %s: %s.", phrase.LongDate(rain), t.lossText(n, rain)))
	} else if opt.RainWithin > 0 {
		e.Reasons = append(e.Reasons, fmt.Sprintf("There is no free day for rain within %s.", phrase.Count(opt.RainWithin, "day")))
	}
	e.Reminders = []calendar.Reminder{{Before: 7, On: d, Minute: opt.Reminder, Text: "In a week, " + phrase.LongDate(d) + ": " + e.Summary}}
	t.Add(e)
	if !hasRain {
		return
	}
	r := t.outing(calendar.TaskRainDate, rain, theme, number)
	r.Summary = "Rain date for the trip of " + phrase.ShortDate(d)
	r.Reasons = []string{fmt.Sprintf("It stands in for the trip of %s: %s.", phrase.LongDate(d), t.lossText(n, rain))}
	r.After = []string{e.UID}
	t.Add(r)
}

// outing makes an entry of a day.
func (t *tripYear) outing(task calendar.Task, d civil.Date, theme calendar.Sight, number int) *calendar.Entry {
	opt := &t.Place.Options.Trip
	e := &calendar.Entry{
		Activity: calendar.FieldTrip, Task: task, Season: phenology.SeasonAt(*t.Place.Site(), d).Year,
		SchoolYear: t.year, Tell: []string{strconv.Itoa(number)},
		Window: civil.Span{First: d, Last: d}, Best: d, Hours: opt.Hours,
	}
	shown := slices.Clone(t.wishes)
	slices.SortStableFunc(shown, func(a, b tripWish) int {
		return cmp.Or(cmp.Compare(boolInt(a.see != theme), boolInt(b.see != theme)), cmp.Compare(b.on(d), a.on(d)))
	})
	var list []phenology.Estimate
	expected, of := 0.0, 0
	for k, x := range shown {
		if x.see != theme {
			break
		}
		expected, of = expected+x.on(d), of+1
		if (k == 0 || x.on(d) >= WorthALook) && !slices.Contains(e.Species, x.sp) {
			e.Species = append(e.Species, x.sp)
		}
		if x.always {
			continue
		}
		// What all of them rest on counts: that a chance is small is said of this one's dates as well.
		list = append(list, x.spell.From, x.spell.To)
		for _, s := range calendar.SourcesOf(t.In(x.sp, x.spell.From.Season.Year), x.spell.From.Phase, x.spell.To.Phase) {
			if !slices.Contains(e.Sources, s) {
				e.Sources = append(e.Sources, s)
			}
		}
	}
	slices.SortFunc(e.Species, func(a, b *phenology.Species) int { return cmp.Compare(a.ID, b.ID) })
	e.Probability = t.anyOf(theme, d)
	e.ProbabilityOf = fmt.Sprintf("that at least one of %d species shows %s; expect %.1f of them", of, theme.What(), expected)
	if of == 1 {
		e.ProbabilityOf = "to see " + theme.Of(e.Species[0])
	}
	if len(list) > 0 {
		e.Rests = calendar.RestsOn(list...)
		e.Settled = calendar.Settled(list...)
	} else {
		e.BasisText, e.Settled = "seen all year", true
	}
	e.LookFor = t.lookFor(shown, d)
	chance := map[string]float64{}
	e.Chances = map[string]map[string]float64{}
	for _, x := range t.wishes {
		chance[x.sp.ID] += x.on(d)
		if x.always {
			continue // nothing can change it
		}
		heading := phrase.Capital(x.see.What())
		if e.Chances[heading] == nil {
			e.Chances[heading] = map[string]float64{}
		}
		e.Chances[heading][phrase.Name(x.sp.Name())] = x.on(d)
	}
	sheet := newSheet(t.Place, t.watches, t.apart, d, opt.Hours, calendar.FieldTrip, chance)
	e.Facts = sheet
	sheet.Sights, sheet.shows = e.LookFor, []calendar.Sight{theme}
	if task == calendar.TaskTrip {
		e.LookFor = append(slices.Clone(e.LookFor), sheet.notApartText(3)...)
	}
	e.Kit, e.Cautions = sheet.Kit, sheet.Cautions
	return e
}

// anyOf returns the chance that at least one species shows a sight on a day: see [traits.AnyOn].
func (t *tripYear) anyOf(see calendar.Sight, d civil.Date) float64 {
	var list []traits.Spell
	for i := range t.wishes {
		x := &t.wishes[i]
		if x.see != see {
			continue
		}
		if x.always {
			return 1
		}
		list = append(list, x.spell)
	}
	return traits.AnyOn(list, d)
}

// lookFor lists what may be there, a line for each sight, what the day was chosen for and then the likeliest first.
func (t *tripYear) lookFor(shown []tripWish, d civil.Date) []string {
	var order []calendar.Sight
	by := map[calendar.Sight][]string{}
	always := map[calendar.Sight]bool{}
	for _, x := range shown {
		p := x.on(d)
		if p < WorthALook && len(order) > 0 {
			continue
		}
		if by[x.see] == nil {
			order = append(order, x.see)
		}
		name := phrase.Name(x.sp.Name())
		if always[x.see] = x.always; !x.always {
			name += " " + phrase.Percent(p)
		}
		by[x.see] = append(by[x.see], name)
	}
	var lines []string
	for _, see := range order {
		names := by[see]
		more := ""
		if n := len(names) - mostNamed; n > 1 {
			names, more = names[:mostNamed], fmt.Sprintf(" and %d more", n)
		}
		text := phrase.Capital(see.What()) + ": " + strings.Join(names, ", ") + more
		if always[see] {
			text += ", all year"
		}
		lines = append(lines, text+".")
	}
	return lines
}

// themes are what a trip is chosen for, and what else it adds if that is likelier than not to be seen: the chance behind the
// title is that of the first.
func (t *tripYear) themes(d civil.Date, adds []sightSum) []calendar.Sight {
	list := []calendar.Sight{adds[0].see}
	for _, a := range adds[1:] {
		if a.sum >= 0.4*adds[0].sum && a.sum > fewestMissing && len(list) < 3 && t.anyOf(a.see, d) >= likelyThere {
			list = append(list, a.see)
		}
	}
	return list
}

// reasons say why the day was chosen, and what would be lost by moving it.
func (t *tripYear) reasons(n int, adds []sightSum, fixed bool) []string {
	d := t.problem.Days[t.days[n]]
	k, total := len(t.days), t.problem.Total()
	var list []string
	if fixed {
		text := "Booked, so the other trips are chosen around it."
		if e := t.diary.event(d); e != nil {
			text = fmt.Sprintf("Booked, though %q takes this day; the other trips are chosen around it.", e.Summary)
		}
		list = append(list, text)
	}
	// Days that have passed are counted as well: the text must not change from one day to the next.
	together := fmt.Sprintf("Trip %d of %d, chosen together from what is left of %s so that no other choice shows", n+1, k, phrase.Count(t.freeDays(), "free day"))
	if k == 1 {
		together = fmt.Sprintf("Chosen from what is left of %s so that no other shows", phrase.Count(t.freeDays(), "free day"))
	}
	if t.best-t.choice.Value >= 0.05 {
		together += fmt.Sprintf(" so much more, %.1f, that what is published should move", t.best-t.choice.Value)
	} else {
		together += " more"
	}
	together += fmt.Sprintf(": %.1f of %s can be expected (%s)", t.choice.Value, t.ofAll(), phrase.Percent(t.choice.Value/total))
	var other []string
	by := t.choice.ByCount
	if k >= 2 && by[k-1] > 0 {
		other = append(other, fmt.Sprintf("%s would show %.1f", phrase.Count(k-1, "trip"), by[k-1]))
	}
	if k+1 < len(by) && by[k+1] > 0 {
		other = append(other, fmt.Sprintf("%s %.1f", phrase.Count(k+1, "trip"), by[k+1]))
	}
	if len(other) > 0 {
		together += "; " + strings.Join(other, ", ")
	}
	list = append(list, together+".")
	var parts []string
	sum := 0.0
	for _, a := range adds {
		sum += a.sum
		if a.sum >= 0.05 && len(parts) < 4 {
			parts = append(parts, fmt.Sprintf("%s %.1f", a.see.What(), a.sum))
		}
	}
	if k > 1 {
		text := fmt.Sprintf("It adds %.1f to what the other trips show", sum)
		if len(parts) > 0 {
			text += ": " + strings.Join(parts, ", ")
		}
		list = append(list, text+".")
	}
	if moved := t.movedText(n); moved != "" {
		list = append(list, moved)
	}
	c := t.conditions(d, t.Place.Options.Trip.Hours)
	list = append(list, phrase.Capital(c.sun)+"; "+c.temperature+".")
	if text := t.closedText(); text != "" {
		list = append(list, text)
	}
	return list
}

// movedText says what is lost by moving a trip by a week.
func (t *tripYear) movedText(n int) string {
	d := t.problem.Days[t.days[n]]
	var parts []string
	for _, side := range []struct {
		by   civil.Date
		what string
	}{{-7, "a week earlier"}, {7, "a week later"}} {
		if to, ok := t.nearestOpen(d + side.by); ok {
			parts = append(parts, fmt.Sprintf("%s (%s) %s", side.what, to.Format("Mon 2 Jan"), t.lossText(n, to)))
		} else {
			parts = append(parts, side.what+" no day is free")
		}
	}
	return phrase.Capital(strings.Join(parts, "; ")) + "."
}

// nearestOpen returns the free day nearest to d.
func (t *tripYear) nearestOpen(d civil.Date) (civil.Date, bool) {
	for by := civil.Date(0); by <= aWeekWithin; by++ {
		for _, to := range []civil.Date{d - by, d + by} {
			if to >= t.Plan.AsOf && t.diary.open(to) && !t.taken[to] {
				return to, true
			}
		}
	}
	return 0, false
}

// lossText says what is lost by having trip n on another day.
func (t *tripYear) lossText(n int, to civil.Date) string {
	loss := t.choice.Value - t.value(n, &to)
	switch {
	case loss >= 0.05:
		return fmt.Sprintf("shows %.1f less", loss)
	case loss <= -0.05 && -loss <= t.best-t.choice.Value+0.05:
		return fmt.Sprintf("shows %.1f more, too little for what is published to move", -loss)
	case loss <= -0.05: // too near another trip, a month that is full, or no day for rain behind it
		return fmt.Sprintf("shows %.1f more, though the plan's rules forbid it as a first choice", -loss)
	default:
		return "shows as much"
	}
}

// rainDate returns the free day after trip n that loses least.
func (t *tripYear) rainDate(n int) (civil.Date, bool) {
	d := t.problem.Days[t.days[n]]
	best, top := civil.Date(0), -1.0
	for r := d + 1; r <= d+civil.Date(t.Place.Options.Trip.RainWithin); r++ {
		if !t.diary.open(r) || t.taken[r] || r < t.Plan.AsOf {
			continue
		}
		if v := t.value(n, &r); v > top+1e-9 {
			best, top = r, v
		}
	}
	return best, top >= 0
}

// ownUIDs returns the identifiers of all trips that this school year could have, for calendars into which the plan's own
// feed was copied.
func (t *tripYear) ownUIDs() map[string]bool {
	own := map[string]bool{}
	for n := 1; n <= calendar.MaxTrips; n++ {
		own[t.tripUID(calendar.TaskTrip, n)], own[t.tripUID(calendar.TaskRainDate, n)] = true, true
	}
	return own
}
