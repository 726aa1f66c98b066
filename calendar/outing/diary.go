package outing

import (
	"slices"
	"time"

	"treewhen/calendar"
	"treewhen/calendar/busy"
	"treewhen/phenology"
	"treewhen/phenology/civil"
)

// bar is why people cannot go out on a day.
type bar uint8

// The bars, in the order in which they are looked for: a day counts for the first that it meets.
const (
	noBar bar = iota
	otherWeekday
	outOfTerm
	closedDay
	busyDay
	darkDay
	bars // how many there are
)

// diary says of every day of a span whether people can go out, and if not, why.
type diary struct {
	span  civil.Span
	why   []bar         // by day
	busy  []*busy.Event // by day; the event that takes it, nil if none does
	taken [bars]int     // how many days each bar took
}

// newDiary reads a plan's rules for outings and the calendars that it names. The events of own are the plan's own
// entries, which may have found their way into one of them, and take nothing.
func newDiary(o *calendar.Outings, site *phenology.Site, span civil.Span, usual []time.Weekday,
	own map[string]bool) *diary {
	d := &diary{span: span, why: make([]bar, span.Days())}
	weekdays := o.Weekdays
	if len(weekdays) == 0 {
		weekdays = usual
	}
	zone := zoneOf(site)
	away := o.Away()
	d.busy = busy.Blocks(o.Busy, span, away.Start, min(24*60, away.End+o.Bus.Margin), zone,
		func(e *busy.Event) bool { return own[e.UID] })
	for day := span.First; day <= span.Last; day++ {
		i := day - span.First
		contains := func(s civil.Span) bool { return s.Contains(day) }
		rise, set, ok := phenology.SunTimes(site.Latitude, site.Longitude, day)
		switch {
		case len(weekdays) > 0 && !slices.Contains(weekdays, day.Weekday()):
			d.why[i] = otherWeekday
		case len(o.Terms) > 0 && !slices.ContainsFunc(o.Terms, contains):
			d.why[i] = outOfTerm
		case slices.ContainsFunc(o.Closed, contains):
			d.why[i] = closedDay
		case d.busy[i] != nil:
			d.why[i] = busyDay
		case !ok && phenology.DayLengthAt(site.Latitude, site.Longitude, day) < 12:
			d.why[i] = darkDay
		case ok && (busy.Clock(day, o.Hours.Start, zone).Before(rise) || busy.Clock(day, o.Hours.End, zone).After(set)):
			d.why[i] = darkDay
		}
		d.taken[d.why[i]]++
	}
	return d
}

// ShutDays returns the days of a span on which a place's people cannot go out because of their terms, their closings or
// what stands in their calendars, whatever the day of the week and the light. Runs are joined over weekends.
func ShutDays(o *calendar.Outings, site *phenology.Site, span civil.Span) []civil.Span {
	d := newDiary(o, site, span, schoolDays, nil)
	var list []civil.Span
	for day := span.First; day <= span.Last; day++ {
		switch why := d.why[day-span.First]; {
		case why != outOfTerm && why != closedDay && why != busyDay:
		case len(list) > 0 && d.otherwise(list[len(list)-1].Last+1, day-1):
			list[len(list)-1].Last = day
		default:
			list = append(list, civil.Span{First: day, Last: day})
		}
	}
	return list
}

// otherwise reports whether all days from one to another are of no weekday on which people go out.
func (d *diary) otherwise(from, to civil.Date) bool {
	for ; from <= to; from++ {
		if d.why[from-d.span.First] != otherWeekday {
			return false
		}
	}
	return true
}

// zoneOf returns the time zone of a site's clocks.
func zoneOf(site *phenology.Site) *time.Location {
	if site.Zone == nil {
		return time.UTC
	}
	return site.Zone
}

// open reports whether people can go out on a day; days outside the span are closed.
func (d *diary) open(day civil.Date) bool {
	return d.span.Contains(day) && d.why[day-d.span.First] == noBar
}

// event returns the event that takes a day, nil if none does.
func (d *diary) event(day civil.Date) *busy.Event {
	if !d.span.Contains(day) {
		return nil
	}
	return d.busy[day-d.span.First]
}

var schoolDays = []time.Weekday{time.Monday, time.Tuesday, time.Wednesday, time.Thursday, time.Friday}
