package calendar

import (
	"slices"
	"strconv"

	"treewhen/phenology/civil"
)

// madeTrip is a trip that the place's feed published for a day that has come. Nobody has said otherwise, so the class has
// made it: it stays where it was, and the others are chosen around it. Without that it would move on by a day every day,
// and never be made.
type madeTrip struct {
	slug string // its theme and number, which its identifier is made from
	n    int
	date civil.Date
	rain *civil.Date // its rain date as published, nil if it had none
}

// tripUID returns the identifier of a trip or a rain date of this school year.
func (t *tripYear) tripUID(task Task, season int, slug string, n int) string {
	return UID(t.plan.FeedID, t.place.Site().ID, FieldTrip, nil, task, season, strconv.Itoa(t.year), slug, strconv.Itoa(n))
}

// madeTrips lists the trips of the school year that have been made by what the feed said. The plan knows better: a trip on a
// day that it closes was not made, and one that it books within the days of the rain date is the same trip.
func (t *tripYear) madeTrips() []madeTrip {
	opt := &t.place.Options.Trip
	published := func(task Task, slug string, n int) (civil.Date, bool) {
		for season := t.year - 1; season <= t.year+1; season++ {
			if d, ok := t.place.Published[t.tripUID(task, season, slug, n)]; ok {
				return d, true
			}
		}
		return 0, false
	}
	booked := func(d civil.Date) bool {
		return slices.ContainsFunc(opt.Booked, func(b civil.Date) bool { return apart(b, d) <= opt.RainWithin })
	}
	var made []madeTrip
	for slug := range t.themes() {
		for n := 1; n <= MaxTrips && len(t.place.Published) > 0; n++ {
			d, ok := published(TaskTrip, slug, n)
			closed := slices.ContainsFunc(opt.Closed, func(s civil.Span) bool { return s.Contains(d) })
			if !ok || d > t.plan.AsOf || !t.period.Contains(d) || closed || booked(d) ||
				slices.ContainsFunc(made, func(m madeTrip) bool { return m.date == d }) {
				continue
			}
			m := madeTrip{slug: slug, n: n, date: d}
			if rain, ok := published(TaskRainDate, slug, n); ok && rain > d {
				m.rain = &rain
			}
			made = append(made, m)
		}
	}
	return made
}

// themes yields the themes that the trips can have, in the order of the wishes.
func (t *tripYear) themes() func(yield func(string) bool) {
	wishes := t.place.Options.Trip.Wishes
	if len(wishes) == 0 {
		wishes = defaultWishes
	}
	return func(yield func(string) bool) {
		for _, wish := range wishes {
			if !yield(wish.See.slug()) {
				return
			}
		}
	}
}

// madeOn returns the trip made on a day, nil if none was.
func (t *tripYear) madeOn(d civil.Date) *madeTrip {
	for i := range t.made {
		if t.made[i].date == d {
			return &t.made[i]
		}
	}
	return nil
}

// number returns the number of the next trip of a theme: one that no trip made has.
func (t *tripYear) number(slug string, themes map[string]int) int {
	for {
		themes[slug]++
		n := themes[slug]
		if !slices.ContainsFunc(t.made, func(m madeTrip) bool { return m.slug == slug && m.n == n }) {
			return n
		}
	}
}
