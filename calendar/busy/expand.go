package busy

import (
	"slices"
	"strings"
	"time"

	"treewhen/phenology/civil"
)

// occurrence tells one time of an event from others: the event's UID and when it would begin.
type occurrence struct {
	uid   string
	start int64 // seconds of the moment, or of what any clock shows
	date  bool  // a whole day
}

// single is one time of an event.
type single struct {
	start moment
	exact time.Duration // of an event with hours
	days  int           // of one of whole days
	whole bool          // hours from midnight to midnight, which are days
}

// expand works out when the events of the file happen within a span.
func (f *file) expand(span civil.Span) *Diary {
	d := &Diary{Name: f.name, Span: span}
	f.endsAreLast = f.lastDaysAsEnds(d)
	// Times that were moved or cancelled singly stand in components of their own.
	moved := map[occurrence]bool{}
	for _, c := range f.events {
		if id, ok := f.one(c, "RECURRENCE-ID"); ok && c.Name == "VEVENT" {
			m, err := f.moment(id, id.Value)
			if !f.good(id, err) {
				continue
			}
			if id.Param("RANGE") != "" {
				f.note(id.Number, "a change of this time and all that follow it is read as a change of this time alone")
			}
			moved[occurrence{c.value("UID"), m.instant().Unix(), m.date}] = true
		}
	}
	for _, c := range f.events {
		if f.full() {
			return d
		}
		if c.Name == "VFREEBUSY" {
			f.freeBusy(c, d)
			continue
		}
		// What is wrong with an event that was called off is of no account. It still replaces the time that it
		// moves, above.
		f.quiet = strings.EqualFold(c.value("STATUS"), "CANCELLED")
		f.event(c, d, moved)
		f.quiet = false
	}
	return d
}

// event adds the times of an event to a diary.
func (f *file) event(c component, d *Diary, moved map[occurrence]bool) {
	startProp, ok := f.one(c, "DTSTART")
	if !ok {
		f.note(c.Line, "an event without DTSTART is not read%s", c.named())
		return
	}
	start, err := f.moment(startProp, startProp.Value)
	if !f.good(startProp, err) {
		return
	}
	first, ok := f.length(c, start)
	if !ok {
		return
	}
	source := f.source(c, &first)
	if source.State == Free && source.Basis == ByTransparency {
		f.quiet = true // as is what is wrong with one that takes nothing whatever its days
	}
	singles := []single{first}
	isMoved := len(c.All("RECURRENCE-ID")) > 0
	if !isMoved {
		more, ok := f.repeats(c, first, d.Span)
		if !ok {
			return
		}
		singles = append(singles, more...)
	}
	gone, goneDays, ok := f.exceptions(c)
	if !ok {
		return
	}
	rawUID := c.value("UID")
	var seen map[int64]bool
	if len(singles) > 1 {
		seen = make(map[int64]bool, len(singles))
	}
	for _, s := range singles {
		at := s.start.instant().Unix()
		if seen[at] {
			continue
		}
		if seen != nil {
			seen[at] = true
		}
		if gone[at] || goneDays[civil.FromTime(s.start.wall)] {
			continue
		}
		if !isMoved && (moved[occurrence{rawUID, at, s.start.date}] ||
			!s.start.date && moved[occurrence{rawUID, civil.FromTime(s.start.wall).Time().Unix(), true}]) {
			continue
		}
		f.keep(d, s.event(source))
	}
}

// source reads what all times of an event share.
func (f *file) source(c component, first *single) *Source {
	transp, mark := c.value("TRANSP"), c.value("X-MICROSOFT-CDO-BUSYSTATUS")
	s := &Source{UID: c.text("UID"), Summary: c.text("SUMMARY"), Line: c.Line}
	s.reading = f.judge.read(facts{
		title:       c.plain("SUMMARY"),
		more:        func() []string { return []string{c.plain("CATEGORIES"), c.plain("DESCRIPTION")} },
		cancelled:   strings.EqualFold(c.value("STATUS"), "CANCELLED"),
		transparent: strings.EqualFold(transp, "TRANSPARENT"), opaque: strings.EqualFold(transp, "OPAQUE"),
		marked: strings.EqualFold(mark, "BUSY") || strings.EqualFold(mark, "OOF"),
		whole:  first.start.date || first.whole, days: first.days,
	})
	s.MarkedFree = strings.EqualFold(transp, "TRANSPARENT")
	return s
}

// event returns a time as diaries keep it.
func (s single) event(source *Source) Event {
	if s.start.date || s.whole {
		wall := s.start.wall
		if s.start.isUTC {
			wall = wall.Add(12 * time.Hour) // the day whose midnight it is at most places
		}
		first := civil.FromTime(wall)
		return Event{Source: source, days: civil.Span{First: first, Last: first + civil.Date(s.days) - 1}}
	}
	start := s.start.instant()
	return Event{
		Source: source, days: civil.Span{First: 0, Last: -1},
		start: start.Unix(), end: start.Add(s.exact).Unix(), floating: s.start.zone == nil,
	}
}

// keep adds a time to a diary if it touches its days; a day more at either end, for zones.
func (f *file) keep(d *Diary, e Event) {
	days := e.days
	if !e.WholeDays() {
		if e.end < e.start || e.end == e.start && !e.ByTheDay() && e.State != Free {
			return // takes no time
		}
		days = civil.Span{First: civil.FromTime(time.Unix(e.start, 0).UTC()) - 1,
			Last: civil.FromTime(time.Unix(e.end, 0).UTC()) + 1}
	}
	if !days.Overlaps(d.Span) {
		return
	}
	if e.State == Free {
		if len(d.Free) < MostFree {
			d.Free = append(d.Free, e)
		}
		return
	}
	if f.times++; f.times > maxTimes {
		if f.times == maxTimes+1 {
			f.add(e.Line, "", "found more than %d times of events within the days, want fewer", maxTimes)
		}
		return
	}
	d.Events = append(d.Events, e)
}

// repeats returns the further times of an event that can touch a span.
func (f *file) repeats(c component, first single, span civil.Span) ([]single, bool) {
	var list []single
	// As the event's own calendar shows it, with room for its length and for zones.
	from := span.First.Time().AddDate(0, 0, -2).Add(-first.exact)
	if first.start.date {
		from = span.First.Time().AddDate(0, 0, -first.days)
	}
	until := span.Last.Time().AddDate(0, 0, 2)
	if x := c.All("EXRULE"); len(x) > 0 {
		f.add(x[0].Number, "EXRULE", "found a rule of exceptions, which RFC 5545 no longer has; want EXDATE")
		return nil, false
	}
	for _, r := range c.All("RRULE") {
		walls, err := f.recur(first.start.wall, r.Value, first.start.zone, from, until)
		if !f.good(r, err) {
			return nil, false
		}
		list = slices.Grow(list, len(walls))
		for _, w := range walls {
			s := first
			s.start = first.start.at(w)
			list = append(list, s)
		}
	}
	for _, r := range c.All("RDATE") {
		for _, text := range strings.Split(r.Value, ",") {
			s := first
			if r.Keyword("VALUE") == "PERIOD" {
				p, err := f.period(r, text)
				if !f.good(r, err) {
					return nil, false
				}
				s.start, s.exact = p.start, p.exact
			} else {
				m, err := f.moment(r, text)
				if !f.good(r, err) {
					return nil, false
				}
				if m.date && !first.start.date {
					// A day for an event with hours: at its hours.
					w := first.start.wall
					m = first.start.at(m.wall.Add(w.Sub(civil.FromTime(w).Time())))
				}
				s.start = m
			}
			list = append(list, s)
		}
	}
	return list, true
}

// exceptions returns the moments and the days on which an event does not happen.
func (f *file) exceptions(c component) (map[int64]bool, map[civil.Date]bool, bool) {
	list := c.All("EXDATE")
	if len(list) == 0 {
		return nil, nil, true
	}
	gone, days := map[int64]bool{}, map[civil.Date]bool{}
	for _, x := range list {
		for _, text := range strings.Split(x.Value, ",") {
			m, err := f.moment(x, text)
			if !f.good(x, err) {
				return nil, nil, false
			}
			if m.date {
				days[civil.FromTime(m.wall)] = true
			} else {
				gone[m.instant().Unix()] = true
			}
		}
	}
	return gone, days, true
}

// freeBusy adds the busy periods of a VFREEBUSY.
func (f *file) freeBusy(c component, d *Diary) {
	source := &Source{UID: c.text("UID"), Summary: "busy", Line: c.Line, reading: reading{State: Taken, Basis: ByHours}}
	for _, p := range c.All("FREEBUSY") {
		if p.Keyword("FBTYPE") == "FREE" {
			continue
		}
		for _, text := range strings.Split(p.Value, ",") {
			got, err := f.period(p, text)
			if !f.good(p, err) {
				return
			}
			f.keep(d, got.event(source))
		}
	}
}
