package busy

import (
	"fmt"
	"strings"
	"time"

	"treewhen/phenology/civil"
)

// length returns the first time of an event.
func (f *file) length(c component, start moment) (single, bool) {
	s := single{start: start, days: 1}
	endProp, hasEnd := f.one(c, "DTEND")
	durProp, hasDur := f.one(c, "DURATION")
	switch {
	case hasEnd && hasDur:
		f.add(durProp.Number, "DURATION", "found both DTEND and DURATION, want one of them")
		return s, false
	case hasEnd:
		end, err := f.moment(endProp, endProp.Value)
		if !f.good(endProp, err) {
			return s, false
		}
		if end.date != start.date {
			f.add(endProp.Number, "DTEND", "found a day and a time as the ends of an event, want two of a kind")
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
		s.days = int(civil.FromTime(end.wall) - civil.FromTime(start.wall))
		if s.exact < 0 {
			f.add(endProp.Number, "DTEND", "found the end of an event before its beginning on line %d", c.Line)
			return s, false
		}
		if start.date && f.endsAreLast {
			s.days++
		}
		s.whole = midnights(c, start, end)
		if s.whole {
			s.days = int((s.exact + 12*time.Hour) / (24 * time.Hour))
		}
		s.days = max(s.days, 1) // an end on the same day is a common slip
	case hasDur:
		l, err := parseLength(durProp.Value)
		if !f.good(durProp, err) {
			return s, false
		}
		s.days = max(1, l.days)
		s.exact = l.from(start)
		end := start.at(start.wall.AddDate(0, 0, l.days).Add(l.exact))
		if s.whole = midnights(c, start, end); s.whole {
			s.days = max(1, int(civil.FromTime(end.wall)-civil.FromTime(start.wall)))
		}
	}
	const longest = 10 * 366
	if s.start.date && s.days > longest || s.exact > longest*24*time.Hour {
		f.add(c.Line, "", "found an event of more than ten years, want a shorter one")
		return s, false
	}
	return s, true
}

// midnights reports whether an event with hours is one of whole days: from one midnight to another of the same
// clocks. At UTC's that is a coincidence of zones, unless the program says so; then they are midnights somewhere.
func midnights(c component, start, end moment) bool {
	if start.date || end.date || !end.instant().After(start.instant()) {
		return false
	}
	if start.isUTC || end.isUTC {
		said := strings.EqualFold(c.value("X-MICROSOFT-CDO-ALLDAYEVENT"), "TRUE")
		return said && start.wall.Minute() == 0 && start.wall.Hour() == end.wall.Hour()
	}
	return start.wall.Equal(civil.FromTime(start.wall).Time()) && end.wall.Equal(civil.FromTime(end.wall).Time())
}

// lastDaysAsEnds reports whether the file gives its whole days an end that is their last day, and not the day after
// it as RFC 5545 section 3.6.1 has it: events of one day show that, if those that end on the day they begin are no
// slip, being as many as those that end on the next.
func (f *file) lastDaysAsEnds(d *Diary) bool {
	same, next, line := 0, 0, 0
	for _, c := range f.events {
		start, end := c.value("DTSTART"), c.value("DTEND")
		if len(start) != 8 || len(end) != 8 {
			continue
		}
		a, errA := time.Parse("20060102", start)
		b, errB := time.Parse("20060102", end)
		switch {
		case errA != nil || errB != nil:
		case a.Equal(b):
			if same++; line == 0 {
				line = c.Line
			}
		case a.AddDate(0, 0, 1).Equal(b):
			next++
		}
	}
	if same == 0 || same < next {
		return false
	}
	d.Remarks = append(d.Remarks, fmt.Sprintf(
		"The DTEND of whole days is read as their last day, since one-day events end on the day they begin (line %d).",
		line,
	))
	return true
}
