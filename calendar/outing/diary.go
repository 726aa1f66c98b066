package outing

import (
	"fmt"
	"slices"
	"time"

	"treewhen/calendar"
	"treewhen/calendar/busy"
	"treewhen/calendar/phrase"
	"treewhen/phenology"
	"treewhen/phenology/civil"
)

// diary says of every day of a span whether people can go out, and if not, why.
type diary struct {
	span civil.Span
	why  []string       // by day; "" if they can
	busy []*busy.Event  // by day; the event that takes it, nil if none does
	from map[string]int // how many days each reason took that nothing else before it had taken
}

// newDiary reads a plan's rules for outings and the calendars that it names. The events of own are the plan's own entries,
// which may have found their way into one of them, and take nothing.
func newDiary(o *calendar.Outings, site *phenology.Site, span civil.Span, usual []time.Weekday, own map[string]bool) *diary {
	d := &diary{span: span, why: make([]string, span.Days()), from: map[string]int{}}
	weekdays := o.Weekdays
	if len(weekdays) == 0 {
		weekdays = usual
	}
	zone := site.Zone
	if zone == nil {
		zone = time.UTC
	}
	d.busy = busy.Blocks(o.Busy, span, o.Hours.Start, o.Hours.End, zone, func(e *busy.Event) bool { return own[e.UID] })
	for day := span.First; day <= span.Last; day++ {
		i := day - span.First
		contains := func(s civil.Span) bool { return s.Contains(day) }
		rise, set, ok := phenology.SunTimes(site.Latitude, site.Longitude, day)
		switch {
		case len(weekdays) > 0 && !slices.Contains(weekdays, day.Weekday()):
			d.why[i] = "day of the week"
		case len(o.Terms) > 0 && !slices.ContainsFunc(o.Terms, contains):
			d.why[i] = "out of term"
		case slices.ContainsFunc(o.Closed, contains):
			d.why[i] = "closed"
		case d.busy[i] != nil:
			d.why[i] = "busy"
		case !ok && phenology.DayLengthAt(site.Latitude, site.Longitude, day) < 12:
			d.why[i] = "dark"
		case ok && (busy.Clock(day, o.Hours.Start, zone).Before(rise) || busy.Clock(day, o.Hours.End, zone).After(set)):
			d.why[i] = "dark"
		}
		if d.why[i] != "" {
			d.from[d.why[i]]++
		}
	}
	return d
}

// open reports whether people can go out on a day; days outside the span are closed.
func (d *diary) open(day civil.Date) bool {
	return d.span.Contains(day) && d.why[day-d.span.First] == ""
}

// event returns the event that takes a day, nil if none does.
func (d *diary) event(day civil.Date) *busy.Event {
	if !d.span.Contains(day) {
		return nil
	}
	return d.busy[day-d.span.First]
}

var schoolDays = []time.Weekday{time.Monday, time.Tuesday, time.Wednesday, time.Thursday, time.Friday}

// conditions say what an outing's hours are usually like.
type conditions struct {
	sun         string // "sun 05:41 to 19:47"
	temperature string // "usually 7 to 12 °C in these hours"; or that nobody knows
	low, high   float64
	known       bool // the temperatures are
}

// conditions returns what the hours of a day are usually like at the place.
func (w *Work) conditions(d civil.Date, h calendar.Hours) conditions {
	return conditionsAt(w.Place.Outlook, d, h)
}

func conditionsAt(o *phenology.Outlook, d civil.Date, h calendar.Hours) conditions {
	site := &o.Site
	zone := site.Zone
	if zone == nil {
		zone = time.UTC
	}
	var c conditions
	if rise, set, ok := phenology.SunTimes(site.Latitude, site.Longitude, d); ok {
		c.sun = fmt.Sprintf("sun %s to %s", rise.In(zone).Format("15:04"), set.In(zone).Format("15:04"))
	} else if phenology.DayLengthAt(site.Latitude, site.Longitude, d) > 12 {
		c.sun = "the sun does not set"
	} else {
		c.sun = "the sun does not rise"
	}
	c.temperature = "no temperatures here to tell how warm it usually is"
	if o.Temps == nil {
		return c
	}
	tmin, tmax, _, ok := o.Temps.Usual(d)
	if !ok {
		return c
	}
	at := func(minutes int) float64 {
		return phenology.TemperatureAt(site.Latitude, site.Longitude, d, tmin, tmax, busy.Clock(d, minutes, zone))
	}
	a, b := at(h.Start), at(h.End)
	c.low, c.high, c.known = min(a, b), max(a, b), true
	c.temperature = fmt.Sprintf("usually %s to %s °C in these hours, after nights of %s °C", phrase.Celsius(c.low), phrase.Celsius(c.high), phrase.Celsius(tmin))
	if o.Temps.Drawn() {
		c.temperature += ", by the monthly normals"
	}
	return c
}
