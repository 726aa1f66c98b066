package outing

import (
	"slices"
	"strconv"

	"treewhen/calendar"
	"treewhen/phenology/civil"
)

// madeTrip is a trip that the place's feed published for a day that has come. Nobody has said otherwise, so the class
// has made it: it stays where it was, and the others are chosen around it. Without that it would move on by a day every
// day, and never be made.
type madeTrip struct {
	n    int // its number, which its identifier is made from
	date civil.Date
	rain *civil.Date // its rain date as published, nil if it had none
}

// tripUID returns the identifier of a trip or a rain date of this school year. A trip is the first, the second, the
// third of its school year, whatever it is to show: what that is changes with the season and with the order of wishes,
// and an appointment in somebody's calendar must not vanish and come back as another for it. The year is the school's
// and not the growing one, so that a trip that moves over New Year stays the same.
func (t *tripYear) tripUID(task calendar.Task, n int) string {
	return calendar.UID(t.Plan.FeedID, t.Place.Site().ID, calendar.FieldTrip, nil, task, t.year, strconv.Itoa(n))
}

// madeTrips lists the trips of the school year that have been made by what the feed said. The plan knows better: a trip
// on a day that it closes was not made, and one that it books within the days of the rain date is the same trip.
func (t *tripYear) madeTrips() []madeTrip {
	opt := &t.Place.Options.Trip
	booked := func(d civil.Date) bool {
		return slices.ContainsFunc(opt.Booked, func(b civil.Date) bool { return civil.Apart(b, d) <= opt.RainWithin })
	}
	var made []madeTrip
	for n := 1; n <= calendar.MaxTrips && len(t.Place.Memory) > 0; n++ {
		d, ok := t.Place.Published(t.tripUID(calendar.TaskTrip, n))
		closed := slices.ContainsFunc(opt.Closed, func(s civil.Span) bool { return s.Contains(d) })
		if !ok || d > t.Plan.AsOf || !t.period.Contains(d) || closed || booked(d) ||
			slices.ContainsFunc(made, func(m madeTrip) bool { return m.date == d }) {
			continue
		}
		m := madeTrip{n: n, date: d}
		if rain, ok := t.Place.Published(t.tripUID(calendar.TaskRainDate, n)); ok && rain > d {
			m.rain = &rain
		}
		made = append(made, m)
	}
	return made
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
