package busy

import (
	"fmt"
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
}

// expand works out when the events of the file happen within a span.
func (f *file) expand(span civil.Span) *Diary {
	d := &Diary{Name: f.name, Span: span}
	// Times that were moved or cancelled singly stand in components of their own.
	moved := map[occurrence]bool{}
	for _, c := range f.events {
		if id, ok := f.one(c, "RECURRENCE-ID"); ok && c.name == "VEVENT" {
			m, err := f.moment(id, id.value)
			if err != nil {
				f.add(id.line, "RECURRENCE-ID", "%v", err)
				continue
			}
			if id.params["RANGE"] != "" {
				d.Notes = append(d.Notes, fmt.Sprintf("%s:%d: a change of this time and all that follow it is read as a change of this time alone", f.name, id.line))
			}
			moved[occurrence{c.value("UID"), m.instant().Unix(), m.date}] = true
		}
	}
	for _, c := range f.events {
		if f.full() {
			return d
		}
		if c.name == "VFREEBUSY" {
			f.freeBusy(c, d)
			continue
		}
		if strings.EqualFold(c.value("STATUS"), "CANCELLED") || strings.EqualFold(c.value("TRANSP"), "TRANSPARENT") {
			d.Free++
			continue // it still replaces the time that it moves or cancels, above
		}
		f.event(c, d, moved)
	}
	return d
}

// event adds the times of an event to a diary.
func (f *file) event(c *component, d *Diary, moved map[occurrence]bool) {
	startProp, ok := f.one(c, "DTSTART")
	if !ok {
		f.add(c.line, "", "found an event without DTSTART, want its day or time")
		return
	}
	start, err := f.moment(startProp, startProp.value)
	if err != nil {
		f.add(startProp.line, "DTSTART", "%v", err)
		return
	}
	first, ok := f.length(c, start)
	if !ok {
		return
	}
	singles := []single{first}
	isMoved := len(c.all("RECURRENCE-ID")) > 0
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
	source := &Source{UID: c.text("UID"), Summary: c.text("SUMMARY"), Line: c.line}
	rawUID := c.value("UID")
	seen := make(map[int64]bool, len(singles))
	for _, s := range singles {
		at := s.start.instant().Unix()
		if seen[at] {
			continue
		}
		seen[at] = true
		if gone[at] || goneDays[dayOf(s.start.wall)] {
			continue
		}
		if !isMoved && (moved[occurrence{rawUID, at, s.start.date}] ||
			!s.start.date && moved[occurrence{rawUID, dayOf(s.start.wall).Time().Unix(), true}]) {
			continue
		}
		f.keep(d, s.event(source))
	}
}

// event returns a time as diaries keep it.
func (s single) event(source *Source) Event {
	if s.start.date {
		first := dayOf(s.start.wall)
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
		if e.end <= e.start {
			return // takes no time
		}
		days = civil.Span{First: civil.FromTime(time.Unix(e.start, 0).UTC()) - 1, Last: civil.FromTime(time.Unix(e.end, 0).UTC()) + 1}
	}
	if !days.Overlaps(d.Span) {
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

// length returns the first time of an event.
func (f *file) length(c *component, start moment) (single, bool) {
	s := single{start: start, days: 1}
	endProp, hasEnd := f.one(c, "DTEND")
	durProp, hasDur := f.one(c, "DURATION")
	switch {
	case hasEnd && hasDur:
		f.add(durProp.line, "DURATION", "found both DTEND and DURATION, want one of them")
		return s, false
	case hasEnd:
		end, err := f.moment(endProp, endProp.value)
		if err != nil {
			f.add(endProp.line, "DTEND", "%v", err)
			return s, false
		}
		if end.date != start.date {
			f.add(endProp.line, "DTEND", "found a day and a time as the ends of an event, want two of a kind")
			return s, false
		}
		if start.zone == nil && end.zone != nil || start.zone != nil && end.zone == nil && !end.date {
			// One end floats: read it in the zone of the other.
			if end.zone == nil {
				end.zone = start.zone
			} else {
				start.zone = end.zone
				s.start = start
			}
		}
		s.exact = end.instant().Sub(start.instant())
		s.days = int(dayOf(end.wall) - dayOf(start.wall))
		if s.exact < 0 {
			f.add(endProp.line, "DTEND", "found the end of an event before its beginning on line %d", c.line)
			return s, false
		}
		s.days = max(s.days, 1) // an end on the same day is a common slip
	case hasDur:
		l, err := parseLength(durProp.value)
		if err != nil {
			f.add(durProp.line, "DURATION", "%v", err)
			return s, false
		}
		s.days = max(1, l.days)
		s.exact = start.at(start.wall.AddDate(0, 0, l.days)).instant().Sub(start.instant()) + l.exact
	}
	const longest = 10 * 366
	if s.start.date && s.days > longest || s.exact > longest*24*time.Hour {
		f.add(c.line, "", "found an event of more than ten years, want a shorter one")
		return s, false
	}
	return s, true
}

// repeats returns the further times of an event that can touch a span.
func (f *file) repeats(c *component, first single, span civil.Span) ([]single, bool) {
	var list []single
	// As the event's own calendar shows it, with room for its length and for zones.
	from := span.First.Time().AddDate(0, 0, -2).Add(-first.exact)
	if first.start.date {
		from = span.First.Time().AddDate(0, 0, -first.days)
	}
	until := span.Last.Time().AddDate(0, 0, 2)
	if x := c.all("EXRULE"); len(x) > 0 {
		f.add(x[0].line, "EXRULE", "found a rule of exceptions, which RFC 5545 no longer has; want EXDATE")
		return nil, false
	}
	for _, r := range c.all("RRULE") {
		walls, err := f.recur(first.start.wall, r.value, first.start.zone, from, until)
		if err != nil {
			f.add(r.line, "RRULE", "%v", err)
			return nil, false
		}
		for _, w := range walls {
			s := first
			s.start = first.start.at(w)
			list = append(list, s)
		}
	}
	for _, r := range c.all("RDATE") {
		for _, text := range strings.Split(r.value, ",") {
			s := first
			if strings.EqualFold(r.params["VALUE"], "PERIOD") {
				p, err := f.period(r, text)
				if err != nil {
					f.add(r.line, "RDATE", "%v", err)
					return nil, false
				}
				s.start, s.exact = p.start, p.exact
			} else {
				m, err := f.moment(r, text)
				if err != nil {
					f.add(r.line, "RDATE", "%v", err)
					return nil, false
				}
				if m.date && !first.start.date {
					// A day for an event with hours: at its hours.
					w := first.start.wall
					m = first.start.at(m.wall.Add(w.Sub(dayOf(w).Time())))
				}
				s.start = m
			}
			list = append(list, s)
		}
	}
	return list, true
}

// exceptions returns the moments and the days on which an event does not happen.
func (f *file) exceptions(c *component) (map[int64]bool, map[civil.Date]bool, bool) {
	gone, days := map[int64]bool{}, map[civil.Date]bool{}
	for _, x := range c.all("EXDATE") {
		for _, text := range strings.Split(x.value, ",") {
			m, err := f.moment(x, text)
			if err != nil {
				f.add(x.line, "EXDATE", "%v", err)
				return nil, nil, false
			}
			if m.date {
				days[dayOf(m.wall)] = true
			} else {
				gone[m.instant().Unix()] = true
			}
		}
	}
	return gone, days, true
}

// freeBusy adds the busy periods of a VFREEBUSY.
func (f *file) freeBusy(c *component, d *Diary) {
	source := &Source{UID: c.text("UID"), Summary: "busy", Line: c.line}
	for _, p := range c.all("FREEBUSY") {
		if strings.EqualFold(p.params["FBTYPE"], "FREE") {
			continue
		}
		for _, text := range strings.Split(p.value, ",") {
			got, err := f.period(p, text)
			if err != nil {
				f.add(p.line, "FREEBUSY", "%v", err)
				return
			}
			f.keep(d, single{start: got.start, exact: got.exact}.event(source))
		}
	}
}
