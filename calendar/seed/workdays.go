package seed

import (
	"slices"
	"time"

	"treewhen/calendar"
	"treewhen/calendar/busy"
	"treewhen/phenology"
	"treewhen/phenology/civil"
)

// Workdays are the days on which a crew works, from a first one on.
type Workdays struct {
	First    civil.Date     // today, or the first day that is asked for
	Weekdays []time.Weekday // as the plan has them, or Monday to Friday
	aWeek    int            // how many those are
	off      []bool         // by day from First on; days past its end are as their weekday is
	reach    civil.Date     // the last day for which calendars were read
}

// workReach is how far past the span work may lie: seed of the last week is sown in the second spring.
const workReach = 2 * 366

var mondayToFriday = []time.Weekday{time.Monday, time.Tuesday, time.Wednesday, time.Thursday, time.Friday}

// newWorkdays reads a plan's rules for its crew. A day off is one that an event takes as a whole: a meeting of an hour
// leaves a day on which work can be done, and half a day too.
func newWorkdays(o *calendar.Outings, site *phenology.Site, first, last civil.Date) Workdays {
	w := Workdays{First: first, Weekdays: o.Weekdays, reach: last + workReach}
	if len(w.Weekdays) == 0 {
		w.Weekdays = mondayToFriday
	}
	w.aWeek = len(w.Weekdays)
	span := civil.Span{First: first, Last: w.reach}
	zone := site.Zone
	if zone == nil {
		zone = time.UTC
	}
	const noon = 12 * 60
	taken := busy.Blocks(o.Busy, span, noon-1, noon+1, zone, func(e *busy.Event) bool {
		return !e.ByTheDay() || e.State != busy.Taken
	})
	w.off = make([]bool, span.Days())
	for d := span.First; d <= span.Last; d++ {
		contains := func(s civil.Span) bool { return s.Contains(d) }
		w.off[d-first] = !slices.Contains(w.Weekdays, d.Weekday()) || taken[d-first] != nil ||
			len(o.Terms) > 0 && !slices.ContainsFunc(o.Terms, contains) || slices.ContainsFunc(o.Closed, contains)
	}
	return w
}

// open reports whether the crew works on a day; never before the first.
func (w *Workdays) open(d civil.Date) bool {
	return d >= w.First && d <= w.reach && !w.off[d-w.First]
}

// in returns the working days of a span.
func (w *Workdays) in(s civil.Span) (days []civil.Date) {
	for d := max(s.First, w.First); d <= min(s.Last, w.reach); d++ {
		if w.open(d) {
			days = append(days, d)
		}
	}
	return days
}

// nearest returns the working day of a span nearest to a day, the later of two equally near; false if there is none.
func (w *Workdays) nearest(d civil.Date, s civil.Span) (best civil.Date, ok bool) {
	for off := civil.Date(0); d+off <= s.Last || d-off >= s.First; off++ {
		for _, day := range []civil.Date{d + off, d - off} {
			if s.Contains(day) && w.open(day) {
				return day, true
			}
		}
	}
	return 0, false
}

// onWorkday moves the best day of work to come to the nearest day of its window on which the crew works: of what
// follows other work, or takes its days, to the next if there is one, and of what leaves no day to lose, to the one
// before.
func (w *Work) onWorkday(e *calendar.Entry) {
	if e.State.Over() || w.crew.open(e.Best) {
		return
	}
	days := e.Window
	switch f := e.Facts.(type) {
	case *Cleaning, *Store, *Sprouting, *Test, *Sow:
		days.First = e.Best
	case *Stratification:
		if f.Step > 1 {
			days.First = e.Best
		} else if f.LastStart == 0 {
			days.Last = e.Best
		}
	}
	for _, days := range []civil.Span{days, e.Window} {
		if day, ok := w.crew.nearest(e.Best, days); ok {
			e.Best = day
			return
		}
	}
}

// after returns the first working day from a day on, and the day itself where there is none within reach.
func (w *Workdays) after(d civil.Date) civil.Date {
	d = max(d, w.First)
	for day := d; day <= w.reach; day++ {
		if w.open(day) {
			return day
		}
	}
	return d
}
