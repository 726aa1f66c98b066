package outing

import (
	"slices"
	"strings"

	"treewhen/calendar"
	"treewhen/calendar/coverage"
	"treewhen/phenology/civil"
)

// worthMoving is the share of all that is wished for that a choice of days must gain over what is published for
// anybody's appointment to move. Every night's temperatures make some other day better by a hair. The gain is counted
// from what is published, so it cannot add up unseen. Our own choice.
const worthMoving = 0.01

// publishedTrip is a trip that the place's feed holds for a day to come.
type publishedTrip struct {
	n    int // its number
	day  int // index into the problem's days
	date civil.Date
}

// choose chooses the trips. Days that are published already stay as long as the plan allows them and the choice is not
// worse by more than [worthMoving] for it; of those that must go, the one goes first that gains most by it.
func (t *tripYear) choose() {
	t.choice = t.problem.Choose()
	t.best = t.choice.Value
	kept := t.publishedAhead()
	for len(kept) > 0 {
		c, ok := t.chooseAround(kept)
		if ok && c.Value >= t.best-worthMoving*t.problem.Total() {
			c.ByCount = t.choice.ByCount // of free choices
			t.choice = c
			break
		}
		drop, top := 0, -1.0
		for i := range kept {
			if c, ok := t.chooseAround(slices.Delete(slices.Clone(kept), i, i+1)); ok && c.Value > top {
				drop, top = i, c.Value
			}
		}
		kept = slices.Delete(kept, drop, drop+1)
	}
	t.days = t.choice.Days
}

// chooseAround chooses with some published days fixed; ok is false if that leaves fewer trips than a free choice has,
// or more in a month than the plan allows, which counts for these days though it does not for booked ones.
func (t *tripYear) chooseAround(kept []publishedTrip) (c coverage.Choice, ok bool) {
	p := t.problem
	p.Fixed = slices.Clone(p.Fixed)
	for _, k := range kept {
		p.Fixed[k.day] = true
	}
	c = p.Choose()
	months := map[int]int{}
	for _, i := range c.Days {
		if y, m, _ := p.Days[i].Date(); !t.problem.Fixed[i] {
			if months[12*y+int(m)]++; p.MostMonth > 0 && months[12*y+int(m)] > p.MostMonth {
				return c, false
			}
		}
	}
	return c, len(c.Days) == len(t.choice.Days)
}

// publishedAhead lists the published trips that the plan still allows: on candidate days, as far from each other and
// from booked ones, and as many in a month, as it says.
func (t *tripYear) publishedAhead() (kept []publishedTrip) {
	p := &t.problem
	if len(t.Place.Memory) == 0 {
		return nil
	}
	var days []int
	for i, fixed := range p.Fixed {
		if fixed {
			days = append(days, i)
		}
	}
	for n := 1; n <= calendar.MaxTrips; n++ {
		date, ok := t.Place.Published(t.tripUID(calendar.TaskTrip, n))
		day, found := slices.BinarySearch(p.Days, date)
		if !ok || !found || slices.Contains(days, day) {
			continue
		}
		inMonth := 1
		near := false
		for _, other := range days {
			near = near || civil.Apart(p.Days[other], date) < p.Spacing
			if y, m, _ := p.Days[other].Date(); y == date.Year() && m == date.Month() {
				inMonth++
			}
		}
		if near || p.MostMonth > 0 && inMonth > p.MostMonth {
			continue
		}
		days, kept = append(days, day), append(kept, publishedTrip{n, day, date})
	}
	return kept
}

// numbers gives every trip chosen its number. One that was made or is published on its day has that already; one that
// is booked within the days of a published one's rain date is that trip, moved. The others have those left over, in
// order.
func (t *tripYear) numbers() map[civil.Date]int {
	numbers, used := map[civil.Date]int{}, map[int]bool{}
	give := func(d civil.Date, n int) { numbers[d], used[n] = n, true }
	for _, m := range t.made {
		give(m.date, m.n)
	}
	for _, near := range []int{0, t.Place.Options.Trip.RainWithin} {
		for _, i := range t.days {
			d := t.problem.Days[i]
			for n := 1; n <= calendar.MaxTrips && len(t.Place.Memory) > 0 && numbers[d] == 0; n++ {
				date, ok := t.Place.Published(t.tripUID(calendar.TaskTrip, n))
				if ok && !used[n] && civil.Apart(date, d) <= near && (near == 0 || t.problem.Fixed[i]) {
					give(d, n)
				}
			}
		}
	}
	n := 1
	for _, i := range t.days {
		if d := t.problem.Days[i]; numbers[d] == 0 {
			for used[n] {
				n++
			}
			give(d, n)
		}
	}
	return numbers
}

// What the best theme of a trip adds and is likely is more than the published one's by so much for that to go. Two that
// are much alike else take turns with every night's temperatures. Our own choice.
const (
	themeAdds   = 0.75 // the share of what the best adds that stays
	themeLikely = 0.1  // the chance below the best's that stays
)

// keptTheme puts what a trip was published for before what else it adds, while that is nearly as good.
func (t *tripYear) keptTheme(d civil.Date, number int, adds []Add) []Add {
	told, _, _ := strings.Cut(t.Place.Memory[t.tripUID(calendar.TaskTrip, number)].Told["for"], "+")
	i := slices.IndexFunc(adds, func(a Add) bool { return slug(a.See) == told })
	if i < 0 || adds[i].By < themeAdds*adds[0].By || t.anyOf(adds[i].See, d) < t.anyOf(adds[0].See, d)-themeLikely {
		return adds
	}
	kept := adds[i]
	return slices.Insert(slices.Delete(adds, i, i+1), 0, kept)
}

// keptRain returns the published rain date of a trip on its published day, if it is still free and as good as the best
// within [worthMoving].
func (t *tripYear) keptRain(n, number int, best civil.Date) civil.Date {
	d := t.problem.Days[t.days[n]]
	rain, ok := t.Place.Published(t.tripUID(calendar.TaskRainDate, number))
	if !ok || rain <= d || rain > d+civil.Date(t.Place.Options.Trip.RainWithin) ||
		!t.diary.open(rain) || t.taken[rain] ||
		t.value(n, rain) < t.value(n, best)-worthMoving*t.problem.Total() {
		return best
	}
	return rain
}
