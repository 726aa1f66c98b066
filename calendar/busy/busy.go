// Package busy answers: on which days, at which hours, is somebody not free? It reads the calendars that people keep:
// iCalendar files, RFC 5545.
//
// What an event takes, words in its title decide first, since programs write whole days as free or as busy without
// asking anybody: a closed day, a half day, an ordinary one, by rules in English and French and by words of the
// plan's own (see [Words]). Events with hours take them, unless they are marked transparent; whole days that
// nobody's words explain take nothing, and are told (see [Diary.NotUnderstood]). Each time of an event counts as it
// recurs, less its exceptions and with those that were moved; so do the periods of VFREEBUSY components. Tasks and
// journals do not.
//
// Times are read in the zone that their property names, be it an IANA zone, one that the file defines, or one by
// the name that desktop programs give it; times without a zone or in an unknown one, and whole days, are the days
// and hours of whatever place is asked about, which is what RFC 5545 section 3.3.5 calls floating.
//
// Files come from anywhere. What is not to the letter of the standard but leaves no doubt is read (bare line feeds,
// a byte order mark, lines too long, whole days written as midnights or with their last day as their end); what is
// broken off or has no day is left out, and that is said; what leaves doubt about when somebody is busy is refused
// with its line; and what would take long, by malice or by mistake, is refused as well: see the limits in this
// package. A rule that repeats within the day is read only where it has no BY part.
package busy

import (
	"cmp"
	"slices"
	"time"

	"treewhen/phenology/civil"
)

// Diary is what a calendar file says of some days.
type Diary struct {
	Name    string     // of the file
	Span    civil.Span // the days that it was read for
	Events  []Event    // those that take something, by their beginning
	Free    []Event    // those that take nothing; [MostFree] at most
	Notes   []string   // what was not read, or otherwise than the file may mean it
	Remarks []string   // how the file was understood, where there was a choice
}

// MostFree is how many times of events that take nothing are kept.
const MostFree = 50_000

// Event is one time of one event. There may be hundreds of thousands of them, so they are kept small.
type Event struct {
	*Source
	days civil.Span // of an event of whole days; empty for one with hours
	// of one with hours, in seconds: moments, or, where it floats, what clocks show written as UTC
	start, end int64
	floating   bool
}

// Source is what all times of an event share.
type Source struct {
	UID, Summary string
	Line         int // of its BEGIN
	reading
}

// WholeDays reports whether the event has days and no hours.
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

// DaysIn returns the days that an event touches, at a place in zone.
func (e *Event) DaysIn(zone *time.Location) civil.Span {
	if e.WholeDays() {
		return e.days
	}
	start, end := e.In(zone)
	days := civil.Span{First: civil.FromTime(start), Last: civil.FromTime(end)}
	if days.Last > days.First && minuteOf(end) == 0 {
		days.Last-- // the end is not part of it
	}
	return days
}

// ByTheDay reports whether an event takes its days, or leaves half of them, and not only its hours.
func (e *Event) ByTheDay() bool { return e.WholeDays() || e.whole }

// Lost returns which minutes after midnight an event takes of each of its days, where it does so by the day.
func (e *Event) Lost(zone *time.Location) (from, to int) {
	switch {
	case e.State == Taken:
		return 0, 24 * 60
	case e.State == Free:
		return 0, 0
	case e.WholeDays():
		return e.half.lost()
	}
	start, end := e.In(zone)
	return e.half.hoursLost(minuteOf(start), minuteOf(end))
}

func minuteOf(t time.Time) int { return 60*t.Hour() + t.Minute() }

// Blocks returns, for every day of a span, the first event that takes any of the minutes of that day from one to
// another, nil where they are free. Events of which ignore reports true do not count; ignore may be nil.
func Blocks(diaries []*Diary, span civil.Span, from, to int, zone *time.Location, ignore func(*Event) bool) []*Event {
	blocked := make([]*Event, span.Days())
	for _, diary := range diaries {
		for i := range diary.Events {
			e := &diary.Events[i]
			if ignore != nil && ignore(e) {
				continue
			}
			byTheDay := e.ByTheDay()
			days := e.days
			var start, end time.Time
			if byTheDay {
				if a, b := e.Lost(zone); b <= from || to <= a {
					continue // the half that remains
				}
				days = e.DaysIn(zone)
			} else {
				start, end = e.In(zone)
				days = civil.Span{First: civil.FromTime(start), Last: civil.FromTime(end)}
			}
			days = days.Intersect(span)
			for d := days.First; d <= days.Last; d++ {
				if blocked[d-span.First] != nil {
					continue
				}
				if !byTheDay && !(start.Before(Clock(d, to, zone)) && Clock(d, from, zone).Before(end)) {
					continue
				}
				blocked[d-span.First] = e
			}
		}
	}
	return blocked
}

// NotUnderstood returns the whole days within a span that no rule and no word of the plan explains, each title
// once, those left free first.
func (d *Diary) NotUnderstood(span civil.Span) []*Source {
	var list []*Source
	seen := map[string]bool{}
	for _, events := range [][]Event{d.Free, d.Events} {
		for i := range events {
			e := &events[i]
			if !e.Basis.Understood() && !seen[e.Summary] && e.days.Overlaps(span) {
				seen[e.Summary] = true
				list = append(list, e.Source)
			}
		}
	}
	return list
}

// Clock returns the moment at which, on a day, the clocks of a zone show so many minutes after midnight: the first, if
// they show it twice; the moment as far after the change as the time would have been, if they skip it (RFC 5545 section
// 3.3.5).
func Clock(d civil.Date, minutes int, zone *time.Location) time.Time {
	return ianaZone{zone}.instant(d.Time().Add(time.Duration(minutes) * time.Minute))
}

// sort orders the events by their beginning, and those that begin together as they stand in the file.
func (d *Diary) sort() {
	for _, list := range [][]Event{d.Events, d.Free} {
		slices.SortFunc(list, func(a, b Event) int {
			return cmp.Or(cmp.Compare(a.begins(), b.begins()), cmp.Compare(a.Line, b.Line), cmp.Compare(a.end, b.end))
		})
	}
}

func (e *Event) begins() int64 {
	if e.WholeDays() {
		return e.days.First.Time().Unix()
	}
	return e.start
}
