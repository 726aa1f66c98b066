package ical

import (
	"bytes"
	"errors"
	"iter"
	"slices"
	"time"

	ics "github.com/arran4/golang-ical"

	"treewhen/calendar"
	"treewhen/calendar/phrase"
	"treewhen/phenology/civil"
)

// An alarm after the start of its event is dropped by some programs, and one at seven in the morning of a day is after
// the start of that day. So an alarm that would be has a short event of its own, at the moment at which it rings: on
// the best day, as a rule. It stands behind the event that it rings for, tells that one's identifier as its only fact,
// is revised with it, and is part of it to all that compares, counts and remembers events.

// ringLength is how long such an event is, in minutes: as short as a month's view still shows.
const ringLength = 15

// ring returns the short event of an alarm of an event.
func (v voice) ring(s standing, e *event, at moment, a alarm) (*event, error) {
	uid, err := calendar.RingUID(a.uid)
	day := at.day()
	minute := int(at - moment(day)*minutesPerDay)
	short := &event{
		uid: uid, window: civil.Span{First: day, Last: day}, status: e.status, summary: phrase.OneLine(a.text),
		description: v.labels.RingText(e.summary, s.Window), location: e.location, geo: e.geo, categories: e.categories,
		color: e.color, after: []string{e.uid}, facts: &facts{ringsFor: e.uid},
		alarms: []alarm{{uid: a.uid, trigger: a.trigger, text: a.text}},
	}
	short.setHours(&calendar.Entry{
		Site: s.Site, Window: short.window, Hours: calendar.Hours{Start: minute, End: minute + ringLength},
	})
	return short, err
}

// shorts are the short events of an event, those that ring and those that are called off.
func (e *event) shorts() iter.Seq[*event] {
	return func(yield func(*event) bool) {
		for _, a := range e.alarms {
			if a.own != nil && !yield(a.own) {
				return
			}
		}
		for _, short := range e.calledOff {
			if !yield(short) {
				return
			}
		}
	}
}

// attach makes a short event part of the published event that it belongs to, and reports whether it is one.
func (p *publishedEvent) attach(short publishedEvent) bool {
	p.raw = slices.Concat(p.raw, short.raw)
	if short.cancelled() {
		p.calledOff = append(p.calledOff, &short.event)
		return len(short.alarms) == 0
	}
	if len(short.alarms) != 1 || !short.timed() {
		return false
	}
	a := short.alarms[0]
	a.own = &short.event
	p.alarms = append(p.alarms, a)
	return true
}

// callOff returns the short events that were published and stand no longer among some alarms, as cancelled, and those
// that were called off before and have not come back.
func (f *Feed) callOff(old *publishedEvent, alarms []plannedAlarm) (list []*event) {
	stands := func(uid string) bool {
		return slices.ContainsFunc(alarms, func(a plannedAlarm) bool {
			if a.was != nil {
				return a.was.own.uid == uid
			}
			alarm, err := calendar.AlarmUID(old.uid, a.number)
			ring, err2 := calendar.RingUID(alarm)
			return a.short && err == nil && err2 == nil && ring == uid
		})
	}
	for _, a := range old.alarms {
		if a.own != nil && !stands(a.own.uid) {
			gone := *a.own
			gone.status, gone.alarms, gone.stamp = ics.ObjectStatusCancelled, nil, time.Time{}
			gone.summary = f.voice().labels.CancelledTitle(gone.summary, 0)
			list = append(list, &gone)
		}
	}
	for _, short := range old.calledOff {
		if !stands(short.uid) {
			list = append(list, short)
		}
	}
	return list
}

// ringsLike reports whether two short events ring at the same moment, or neither does.
func (e *event) ringsLike(other *event) bool {
	return e.status == other.status && e.window == other.window && e.hours == other.hours &&
		slices.EqualFunc(e.alarms, other.alarms, func(a, b alarm) bool {
			return a.uid == b.uid && a.trigger == b.trigger
		})
}

// keepShorts lets short events stay that say what is published of them already, though their event is written anew. One
// whose words alone are other keeps its SEQUENCE.
func (e *event) keepShorts(old *publishedEvent) error {
	for short := range e.shorts() {
		for was := range old.shorts() {
			if was.uid != short.uid || !short.stamp.IsZero() {
				continue
			}
			now := *short
			now.stamp, now.sequence = was.stamp, was.sequence
			a, err := now.renderAlone()
			b, err2 := was.renderAlone()
			if err := errors.Join(err, err2); err != nil {
				return err
			}
			switch {
			case bytes.Equal(a, b):
				*short = now
			case short.ringsLike(was): // its words alone are other
				now.stamp = e.stamp
				*short = now
			}
		}
	}
	return nil
}

// forget leaves out short events that were called off a while ago. It is done when their event is written anew: that
// they go is no reason to.
func (e *event) forget(asOf civil.Date) {
	var kept []*event
	for _, short := range e.calledOff {
		if short.stamp.IsZero() || asOf <= civil.FromTime(short.stamp)+cancelledDays {
			kept = append(kept, short)
		}
	}
	e.calledOff = kept
}
