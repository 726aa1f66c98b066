package ical

import (
	"bytes"
	"errors"
	"slices"
	"strings"
	"time"

	ics "github.com/arran4/golang-ical"

	"treewhen/calendar"
	"treewhen/calendar/words"
	"treewhen/phenology/civil"
)

// How long a feed keeps what is over.
const (
	// cancelledDays is for how many days after it was cancelled an event is published as cancelled. A program that has
	// not fetched the feed in that time finds the event gone, which most understand as well. After that the feed knows
	// the event no more: should it come back, SEQUENCE begins at 0 again, and a later DTSTAMP must tell that it is
	// newer.
	cancelledDays = 14
	// pastYears is for how many years after its last day an event stays, as a record of the season.
	pastYears = 1
)

// later returns the time of a revision made on a day: its beginning, or a second after the revision before it, so that
// time never stands still or goes backward in a feed, whatever day is taken as today.
func later(asOf civil.Date, before time.Time) time.Time {
	t := asOf.Time()
	if !t.After(before) {
		t = before.Add(time.Second)
	}
	return t
}

// revise returns the events to publish, given those published before.
//
// An event whose facts are the same keeps its SEQUENCE, and if its words are the same as well, its bytes. One whose
// facts moved keeps its UID, and SEQUENCE rises by one. One no longer expected is cancelled, unless it is over. What
// is over stays as it was; what was cancelled comes back when it is expected again.
func (f *Feed) revise(entries []standing) ([]publishedEvent, Changes, error) {
	var changes Changes
	var before []publishedEvent
	if f.Previous != nil {
		before = f.Previous.events
	}
	published := make(map[string]*publishedEvent, len(before))
	for i := range before {
		published[before[i].uid] = &before[i]
	}
	speaks := f.voice()
	events := make([]publishedEvent, 0, len(entries)+len(before))
	var failed error
	put := func(e event) {
		raw, err := e.render()
		events, failed = append(events, publishedEvent{raw: raw, event: e}), errors.Join(failed, err)
	}
	expected := make(map[string]bool, len(entries))
	taken := map[string]string{} // of events that are part of others now, these
	for _, s := range entries {
		old, was := published[strings.ToLower(s.UID)]
		entry := *s.Entry
		s.Entry, entry.Moved = &entry, nil
		if was {
			entry.Moved = old.known().moved
		}
		f.plan(&s, old)
		e, err := speaks.event(s)
		if err != nil {
			return nil, Changes{}, err
		}
		expected[e.uid] = true
		for _, uid := range s.Takes {
			taken[strings.ToLower(uid)] = e.uid
		}
		if !was {
			e.stamp = f.AsOf.Time()
			changes.Added++
			put(e)
			continue
		}
		next, what, err := f.over(old, s, e, speaks)
		if err != nil {
			return nil, Changes{}, err
		}
		switch what {
		case kept:
			changes.Kept++
			events = append(events, *old)
			continue
		case reworded:
			changes.Reworded++
			next.sequence = old.sequence
		case revised:
			if best := old.known().best; old.window != e.window || best.Known() && best != e.facts.best {
				entry.Moved = &calendar.Moved{On: f.AsOf, Was: old.window, WasBest: best}
				if next, err = speaks.event(s); err != nil {
					return nil, Changes{}, err
				}
			}
			changes.Revised++
			next.sequence = min(old.sequence+1, mostRevisions)
			f.tell(old, &next, civil.Span{})
		}
		next.stamp = later(f.AsOf, old.stamp)
		next.forget(f.AsOf)
		if err := next.keepShorts(old); err != nil {
			return nil, Changes{}, err
		}
		put(next)
	}

	for i := range events {
		for short := range events[i].shorts() {
			expected[short.uid] = true // should somebody have taken from it what it belongs to
		}
	}
	for _, old := range before {
		forgotten := f.AsOf > old.window.Last.AddYears(pastYears)
		if old.cancelled() {
			forgotten = f.AsOf > civil.FromTime(old.stamp)+cancelledDays
		}
		switch {
		case expected[old.uid]:
		case !old.cancelled() && f.AsOf <= old.window.Last:
			changes.Cancelled++
			var into civil.Span
			if i := slices.IndexFunc(events, func(e publishedEvent) bool { return e.uid == taken[old.uid] }); i >= 0 {
				into = events[i].window
			}
			next := f.cancel(&old, into, speaks.labels)
			f.tell(&old, &next, into)
			put(next)
		case forgotten:
			changes.Dropped++
		default:
			changes.Kept++
			events = append(events, old)
		}
	}
	return events, changes, failed
}

// Revision is an event whose facts moved, or that is no longer expected.
type Revision struct {
	UID     string
	Title   string // as published before, without what followed the season
	Was, Is calendar.Memory
}

// tell tells of a revision whoever asked to be told. What is cancelled may be part of an event of some days now.
func (f *Feed) tell(old *publishedEvent, now *event, into civil.Span) {
	if f.Revised != nil {
		was, title, name := old.known(), []rune(old.summary), old.known().name
		if old.cancelled() { // whose title begins with a word that says so
			title, name = []rune(now.summary), now.facts.name
		}
		if name > 0 && name < len(title) {
			title = title[:name]
		}
		is := now.memory(now.facts)
		is.PartOf = into
		f.Revised(Revision{UID: now.uid, Title: string(title), Was: old.memory(was), Is: is})
	}
}

// cancel returns what is published of an event that is no longer expected. It says so in words as well, for programs
// that show STATUS:CANCELLED like any other event, and it rings no more. Where its days are part of another's now,
// those are into; else that is zero.
func (f *Feed) cancel(old *publishedEvent, into civil.Span, l *words.Labels) event {
	e := old.event
	e.status = ics.ObjectStatusCancelled
	e.sequence, e.stamp = min(old.sequence+1, mostRevisions), later(f.AsOf, old.stamp)
	e.summary = l.CancelledTitle(old.summary, old.known().name)
	e.description = l.CancelledText(f.AsOf, into, old.description)
	e.alarms, e.calledOff = nil, f.callOff(old, nil)
	e.facts = f.forgiven(old)
	return e
}

// outcome is what becomes of an event that stands in the feed already and is still expected.
type outcome int

const (
	kept     outcome = iota // byte for byte
	reworded                // its text is renewed; to its subscribers it is the same event
	revised                 // its facts moved
)

// over puts an event over the one published before it, and returns what is published in its place unless that is kept.
func (f *Feed) over(old *publishedEvent, s standing, e event, speaks voice) (event, outcome, error) {
	if old.window.Last < f.AsOf && e.window.Last < f.AsOf {
		return e, kept, nil
	}
	if same, err := sameContent(old, e); same || err != nil {
		return e, kept, err
	}
	was := old.known()
	soon := min(old.window.First, e.window.First)-f.AsOf <= soonDays
	bears := leewayOf(f.AsOf, e.timed(), soon, f.AsOf-old.revisedOn() < newsDays)
	if old.cancelled() || s.due(f.AsOf, old) || !bears.same(&old.event, was, &e) {
		return e, revised, nil
	}
	// The facts are the same, but for a difference that is let be: what is said is said of those that are published.
	on := s.on(old.window, was, e.timed())
	f.plan(&on, old)
	as, err := speaks.event(on)
	if err != nil {
		return e, kept, err
	}
	if !sameRings(&as, &old.event, f.AsOf, s.Site.Zone) {
		return e, revised, nil
	}
	as.facts.keep(was)
	if was.version == factsVersion && held(e.timed(), soon, was.said, as.facts.said) {
		return as, kept, nil
	}
	if same, err := sameContent(old, as); same || err != nil {
		return as, kept, err
	}
	as.facts.asOf = civil.Some(old.revisedOn())
	return as, reworded, nil
}

// revisedOn returns the day on which an event was last published with other facts.
func (p *publishedEvent) revisedOn() civil.Date { return p.known().asOf.Or(civil.FromTime(p.stamp)) }

// sameContent reports whether an event says what is published already, revision apart.
func sameContent(old *publishedEvent, e event) (bool, error) {
	e.sequence, e.stamp = old.sequence, old.stamp
	raw, err := e.render()
	if err != nil {
		return false, err
	}
	return bytes.Equal(raw, old.raw) || slices.Equal(content(raw), content(old.raw)), nil
}

// on returns the entry as it is with the window, the best day and the probability that are published of it. Its
// reminders move along with the day they belong to. The day of an outing with hours is the one that is published.
func (s standing) on(window civil.Span, published *facts, timed bool) standing {
	moved := *s.Entry
	if published.chance != noChance {
		moved.Probability = float64(published.chance) / 100
	}
	from, to := s.Window, window
	if s.only() {
		from = s.of
		if published.only() {
			s.of = published.of
		}
		to = s.of
	}
	if !timed {
		moved.Window, moved.Best = window, window.Clamp(published.best.Or(moved.Best))
	}
	moved.Reminders = slices.Clone(s.Reminders)
	for i, r := range moved.Reminders {
		switch {
		case timed && !s.only():
		case r.On == from.First:
			r.On = to.First
		case r.On == s.Best:
			r.On = moved.Best
		case r.On == from.Last:
			r.On = to.Last
		default:
			r.On = to.Clamp(r.On)
		}
		moved.Reminders[i] = r
	}
	s.Entry = &moved
	return s
}

// mostRevisions is the highest SEQUENCE that is read or written; RFC 5545 section 3.3.8 allows up to 2147483647. An
// event revised every minute gets there in two thousand years.
const mostRevisions = 1 << 30
