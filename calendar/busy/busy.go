// Package busy answers: on which days, at which hours, is somebody not free? It reads the calendars that people keep:
// iCalendar files, RFC 5545.
//
// What it takes as busy: events, whole days and timed, each time they recur, less their exceptions and with those that
// were moved; and the periods of VFREEBUSY components. What it does not: events that were cancelled, events marked
// transparent, tasks, journals. Times are read in the zone that their property names, be it an IANA zone or one that the
// file defines; times without a zone, and whole days, are the days and hours of whatever place is asked about, which is
// what RFC 5545 section 3.3.5 calls floating.
//
// Files come from anywhere. What is not to the letter of the standard but leaves no doubt is read (bare line feeds, a
// byte order mark, lines too long); what leaves doubt about when somebody is busy is refused with its line; and what
// would take long, by malice or by mistake, is refused as well: see the limits in this package. A rule that repeats
// within the day is read only where it has no BY part.
package busy

import (
	"cmp"
	"slices"
	"time"

	"treewhen/phenology/civil"
)

// Diary is what a calendar file says of some days.
type Diary struct {
	Name   string     // of the file
	Span   civil.Span // the days that it was read for
	Events []Event    // by their beginning
	Free   int        // events of the file that take nothing, being cancelled or marked transparent
	Notes  []string   // what was read otherwise than the file may mean it
}

// Event is one time of one event. There may be hundreds of thousands of them, so they are kept small.
type Event struct {
	*Source
	days       civil.Span // of an event of whole days; empty for one with hours
	start, end int64      // of one with hours, seconds: moments, or, where it floats, what any clock shows written as UTC
	floating   bool
}

// Source is what all times of an event share.
type Source struct {
	UID, Summary string
	Line         int // of its BEGIN
}

// WholeDays reports whether the event takes whole days.
func (e *Event) WholeDays() bool { return !e.days.Empty() }

// In returns the beginning and the end of an event with hours, at a place in zone. The end is not part of it.
func (e *Event) In(zone *time.Location) (start, end time.Time) {
	start, end = time.Unix(e.start, 0), time.Unix(e.end, 0)
	if e.floating {
		z := ianaZone{zone}
		return z.instant(start.UTC()), z.instant(end.UTC())
	}
	return start.In(zone), end.In(zone)
}

// Blocks returns, for every day of a span, the first event that takes any of the minutes of that day from one to
// another, nil where the day is free. Events of which ignore reports true do not count; ignore may be nil.
func Blocks(diaries []*Diary, span civil.Span, from, to int, zone *time.Location, ignore func(*Event) bool) []*Event {
	blocked := make([]*Event, span.Days())
	for _, diary := range diaries {
		for i := range diary.Events {
			e := &diary.Events[i]
			if ignore != nil && ignore(e) {
				continue
			}
			days := e.days
			var start, end time.Time
			if !e.WholeDays() {
				start, end = e.In(zone)
				days = civil.Span{First: civil.FromTime(start), Last: civil.FromTime(end)}
			}
			days = days.Intersect(span)
			for d := days.First; d <= days.Last; d++ {
				if blocked[d-span.First] != nil {
					continue
				}
				if !e.WholeDays() && !(start.Before(clock(d, to, zone)) && clock(d, from, zone).Before(end)) {
					continue
				}
				blocked[d-span.First] = e
			}
		}
	}
	return blocked
}

// clock returns the moment at which the clocks of a zone show so many minutes after midnight.
func clock(d civil.Date, minutes int, zone *time.Location) time.Time {
	return ianaZone{zone}.instant(d.Time().Add(time.Duration(minutes) * time.Minute))
}

// Clock returns the moment at which, on a day, the clocks of a zone show so many minutes after midnight: the first, if
// they show it twice; the moment as far after the change as the time would have been, if they skip it (RFC 5545 section
// 3.3.5).
func Clock(d civil.Date, minutes int, zone *time.Location) time.Time { return clock(d, minutes, zone) }

func (d *Diary) sort() {
	slices.SortStableFunc(d.Events, func(a, b Event) int { return cmp.Compare(a.begins(), b.begins()) })
}

func (e *Event) begins() int64 {
	if e.WholeDays() {
		return e.days.First.Time().Unix()
	}
	return e.start
}
