package ical

import (
	"slices"
	"strconv"
	"time"

	"treewhen/calendar"
	"treewhen/phenology/civil"
)

// An alarm belongs to a fact and not to a window that moves: what was promised rings once. The feed remembers it. An
// event tells, in the order of the numbers that its alarms' identifiers are made from, what it ever was to ring for,
// and which of these have rung. What was to ring and never did, since its day moved into the past under a feed that
// is made anew every morning, rings on the next morning that it is still true.

// promises are the alarms of an event as the next feed must know them.
type promises struct {
	kinds []string // by number
	rang  []string // those that have rung and whose alarm has left the event; of the others, their day tells
}

// plain reports whether the alarms have no names but their numbers, so that nothing need be told.
func (p promises) plain() bool {
	for n, kind := range p.kinds {
		if kind != strconv.Itoa(n) {
			return false
		}
	}
	return true
}

// kindOf is the name of the n-th reminder of an entry in a feed.
func kindOf(r calendar.Reminder, n int) string {
	if r.Kind == "" {
		return strconv.Itoa(n)
	}
	return r.Kind
}

// moment is when an alarm rings, in minutes after midnight of day 0.
type moment int64

const minutesPerDay = 24 * 60

func (m moment) day() civil.Date {
	d := int64(m) / minutesPerDay
	if int64(m) < d*minutesPerDay {
		d--
	}
	return civil.Date(d)
}

// ringing is an alarm that rang, or rings on the day of a feed.
type ringing struct {
	at     moment // longAgo if it has left its event
	*alarm        // nil then
}

// longAgo is when an alarm rang that has left its event.
const longAgo moment = -1 << 60

// rung returns the alarms of a published event whose day is past, by their names, with the moments at which they rang
// by the clock of its site's zone. They were in a feed that was published on that day or before it, since no other
// alarm is. Now are those whose day it is.
func (f *Feed) rung(old *publishedEvent, zone *time.Location) (rang, now map[string]ringing) {
	rang, now = map[string]ringing{}, map[string]ringing{}
	if old == nil {
		return rang, now
	}
	for n, a := range old.alarms {
		at, err := old.at(a, zone)
		switch {
		case err != nil: // of another program's making; it is no promise of ours
		case at.day() < f.AsOf:
			rang[old.kind(n, a)] = ringing{at, &old.alarms[n]}
		case at.day() == f.AsOf:
			now[old.kind(n, a)] = ringing{at, &old.alarms[n]}
		}
	}
	for _, kind := range old.known().promises.rang {
		if _, ok := rang[kind]; !ok {
			rang[kind] = ringing{at: longAgo}
		}
	}
	return rang, now
}

// forgiven returns the facts of an event that is cancelled: it rings no more, but what has rung is remembered, should
// it come back.
func (f *Feed) forgiven(old *publishedEvent) *facts {
	if old.facts == nil {
		return nil
	}
	rang, _ := f.rung(old, nil) // of whose site nothing is known here; an alarm counts by the days of UTC
	kept := *old.facts
	kept.promises = promises{kinds: old.facts.promises.kinds}
	for n, a := range old.alarms {
		if len(kept.promises.kinds) <= n {
			kept.promises.kinds = append(slices.Clip(kept.promises.kinds), old.kind(n, a))
		}
	}
	for _, kind := range kept.promises.kinds {
		if _, ok := rang[kind]; ok {
			kept.promises.rang = append(kept.promises.rang, kind)
		}
	}
	return &kept
}

// kind returns the name of an alarm of the event, the n-th in its order: by the number that its identifier is made
// from, since an alarm that has rung may have left the event.
func (e *event) kind(n int, a alarm) string {
	var kinds []string
	if e.facts != nil {
		kinds = e.facts.promises.kinds
	}
	for k := range max(len(kinds), mostPlain) {
		if uid, err := calendar.AlarmUID(e.uid, k); err != nil || uid != a.uid {
			continue
		}
		if k < len(kinds) {
			return kinds[k]
		}
		return strconv.Itoa(k)
	}
	return strconv.Itoa(n)
}

// mostPlain is how many alarms of an event may have no names but their numbers.
const mostPlain = 32

// plannedAlarm is an alarm of an event that is being made.
type plannedAlarm struct {
	number   int // that its identifier is made from
	at       moment
	reminder int    // which of the entry's reminders it is of
	short    bool   // it stands in a short event of its own
	was      *alarm // it rang, and its short event stays as it was
	said     string // what it rang with; "": it has not rung
}

// begins returns when the entry's event begins, by the clocks of its site.
func (s *standing) begins() moment {
	begins := moment(s.Window.First) * minutesPerDay
	if timed(s.Entry) {
		begins += moment(s.Hours.Start)
	}
	return begins
}

// plan settles what an entry rings, given what was published of it, nil if nothing was: nothing twice, nothing too
// late, and what was missed today.
func (f *Feed) plan(s *standing, old *publishedEvent) {
	rang, now := f.rung(old, s.Site.Zone)
	s.promises, s.alarms, s.calledOff = promises{}, nil, nil
	if old != nil {
		s.promises.kinds = slices.Clone(old.known().promises.kinds)
		if old.facts == nil { // of the version before, which told no names: the last alarms are the last reminders
			for n := range old.alarms {
				i := n + len(s.Reminders) - len(old.alarms)
				kind := "before-" + strconv.Itoa(n)
				if i >= 0 {
					kind = kindOf(s.Reminders[i], i)
				}
				if r, ok := rang[strconv.Itoa(n)]; ok {
					rang[kind] = r
				}
				if r, ok := now[strconv.Itoa(n)]; ok {
					now[kind] = r
				}
				s.promises.kinds = append(s.promises.kinds, kind)
			}
		}
	}
	for i, r := range s.Reminders {
		kind := kindOf(r, i)
		_, has := rang[kind]
		if _, more := rang[r.Unless]; more && r.Unless != "" && !has {
			continue
		}
		number := slices.Index(s.promises.kinds, kind)
		if number < 0 {
			number = len(s.promises.kinds)
			s.promises.kinds = append(s.promises.kinds, kind)
		}
		a := plannedAlarm{number: number, at: moment(r.Day())*minutesPerDay + moment(r.Minute), reminder: i}
		switch was := rang[kind]; {
		case has && was.at == longAgo:
			continue
		case has && was.own == nil && was.at > s.begins():
			continue // nothing that rang is put elsewhere, to ring again
		case has:
			a.at, a.short = was.at, was.own != nil // it stays as it was: a program that knows it rings it no more
			a.said = was.alarm.text                // and so do the words that it rang with
			if a.short && was.alarm.uid != "" {    // else somebody has edited it
				a.was = was.alarm
			}
			s.alarms = append(s.alarms, a)
			continue
		case r.Day() >= f.AsOf:
		case r.Until >= f.AsOf:
			a.at = moment(f.AsOf)*minutesPerDay + moment(r.Minute)
		case old != nil:
			continue // too late to be of use; in the first edition of an event it stands, and rings nowhere
		}
		a.short = a.at > s.begins()
		if today, ok := now[kind]; ok && today.at == a.at && today.own == nil {
			a.short = false // it rings on this day, where it is; the version before put it after the event's start
		}
		if a.short && a.at.day() < f.AsOf {
			continue // the first edition has no event of what was to ring before it
		}
		s.alarms = append(s.alarms, a)
	}
	for kind, was := range rang { // of a short event that is over, the record stays
		planned := func(a plannedAlarm) bool { return s.promises.kinds[a.number] == kind }
		number := slices.Index(s.promises.kinds, kind)
		if was.alarm != nil && was.own != nil && number >= 0 && !slices.ContainsFunc(s.alarms, planned) {
			s.alarms = append(s.alarms, plannedAlarm{number: number, at: was.at, short: true, was: was.alarm})
		}
	}
	slices.SortStableFunc(s.alarms, func(a, b plannedAlarm) int { return a.number - b.number })
	for n, kind := range s.promises.kinds {
		stands := slices.ContainsFunc(s.alarms, func(a plannedAlarm) bool { return a.number == n })
		if _, ok := rang[kind]; ok && !stands {
			s.promises.rang = append(s.promises.rang, kind)
		}
	}
	if old != nil {
		s.calledOff = f.callOff(old, s.alarms)
	}
}

// due reports whether what is to ring today is not what is published to ring today. A day that is off by little is
// let be, but not so that somebody is woken too late, or for what is not so yet.
func (s *standing) due(today civil.Date, old *publishedEvent) bool {
	var now []string
	for _, a := range s.alarms {
		if uid, err := calendar.AlarmUID(s.UID, a.number); err == nil && a.at.day() == today {
			now = append(now, uid)
		}
	}
	var published []string
	for _, a := range old.alarms {
		if at, err := old.at(a, s.Site.Zone); err == nil && at.day() == today {
			published = append(published, a.uid)
		}
	}
	slices.Sort(now)
	slices.Sort(published)
	return !slices.Equal(published, now)
}

// sameRings reports whether two events ring alike from a day on. To a program an alarm is one by its UID, and one that
// stays rings no more once it has rung, whatever else of the event is fetched anew.
func sameRings(a, b *event, from civil.Date, zone *time.Location) bool {
	rings := func(e *event) (list []string) {
		for _, a := range e.alarms {
			if at, err := e.at(a, zone); err != nil || at.day() >= from {
				list = append(list, a.uid+" "+strconv.FormatInt(int64(at), 10))
			}
		}
		slices.Sort(list)
		return list
	}
	return slices.Equal(rings(a), rings(b))
}

// begins returns when an event begins by the clock of its site's zone; nil is UTC.
func (e *event) begins(zone *time.Location) moment {
	begins := moment(e.window.First)*minutesPerDay + moment(e.hours.Start)
	if e.timed() && e.zone == "" && zone != nil { // written as UTC for want of a name for its zone
		_, offset := e.window.First.Time().Add(time.Duration(e.hours.Start) * time.Minute).In(zone).Zone()
		begins += moment(offset / 60)
	}
	return begins
}

// at returns when an alarm of an event rings by the clock of its site's zone.
func (e *event) at(a alarm, zone *time.Location) (moment, error) {
	if a.own != nil {
		e = a.own
	}
	after, err := parseDuration(a.trigger)
	return e.begins(zone) + moment(after/time.Minute), err
}
