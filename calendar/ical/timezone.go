package ical

import (
	"bytes"
	"cmp"
	"fmt"
	"slices"
	"time"

	ics "github.com/arran4/golang-ical"

	"treewhen/calendar"
	"treewhen/calendar/busy"
	"treewhen/phenology/civil"
)

// timed reports whether the entry is an outing of one day at hours, and not days on which work can be done.
func timed(e *calendar.Entry) bool {
	return e.Hours.End > e.Hours.Start && e.Window.First == e.Window.Last
}

// setHours gives an event its hours in its site's zone. Where the zone has no name that other programs know, they are
// written as UTC.
func (v *event) setHours(e *calendar.Entry) {
	v.hours = e.Hours
	zone := e.Site.Zone
	if zone == nil || zone == time.UTC || zone.String() == "UTC" {
		return
	}
	if _, err := time.LoadLocation(zone.String()); err == nil && zone.String() != "Local" && zone.String() != "" {
		v.zone = zone.String()
		return
	}
	start := busy.Clock(e.Window.First, e.Hours.Start, zone).UTC()
	end := busy.Clock(e.Window.First, e.Hours.End, zone).UTC()
	first := civil.FromTime(start)
	minute := func(t time.Time) int { return int(t.Sub(first.Time()) / time.Minute) }
	v.window = civil.Span{First: first, Last: first}
	v.hours = calendar.Hours{Start: minute(start), End: minute(end)}
}

// beginsAt returns the minute of its site's day at which an entry's event begins.
func (v *event) beginsAt(e *calendar.Entry) int {
	if v.hours == (calendar.Hours{}) {
		return 0
	}
	return e.Hours.Start
}

// clock writes a minute of an event's day: RFC 5545 section 3.3.5, form 2 in UTC, form 3 in a zone. Minute 1440 is
// midnight at the end of the day.
func (e event) clock(minute int) string {
	t := e.window.First.Time().Add(time.Duration(minute) * time.Minute)
	if e.zone == "" {
		return t.Format("20060102T150405Z")
	}
	return t.Format("20060102T150405")
}

func (e event) zoneParameter() []ics.PropertyParameter {
	if e.zone == "" {
		return nil
	}
	return []ics.PropertyParameter{ics.WithTZID(e.zone)}
}

// zonesOf returns the definitions of the zones that events are in, by name.
func zonesOf(events []publishedEvent) ([]ics.Component, error) {
	spans := map[string]civil.Span{}
	var names []string
	for _, e := range events {
		if e.hours == (calendar.Hours{}) || e.zone == "" {
			continue
		}
		s, ok := spans[e.zone]
		if !ok {
			s = e.window
			names = append(names, e.zone)
		}
		spans[e.zone] = civil.Span{First: min(s.First, e.window.First), Last: max(s.Last, e.window.Last)}
	}
	slices.Sort(names)
	var zones []ics.Component
	for _, name := range names {
		loc, err := time.LoadLocation(name)
		if err != nil {
			return nil, fmt.Errorf("found time zone %q, want an IANA time zone", name)
		}
		raw, err := vtimezone(name, loc, spans[name])
		if err != nil {
			return nil, err
		}
		zones = append(zones, rawComponent(raw))
	}
	return zones, nil
}

// zoneBeginning is the onset that is written for a zone whose clocks have not changed since before it.
var zoneBeginning = time.Date(1970, 1, 1, 0, 0, 0, 0, time.UTC)

// onset is a moment from which the clocks of a zone show something new.
type onset struct {
	at       time.Time // the moment
	from, to int       // seconds east of UTC, before and after
	name     string    // such as EDT
	summer   bool
}

// onsets returns the changes of a zone's clocks that count in the years of some days: the last one before them, and
// those within. Whole years keep a definition as it is while events come and go, and some programs want both summer
// and winter.
func onsets(loc *time.Location, days civil.Span) []onset {
	// A day more at either end, whatever the offset is.
	t, end := (civil.Of(days.First.Year(), 1, 1) - 1).Time().In(loc), civil.Of(days.Last.Year()+1, 1, 2).Time()
	var list []onset
	for {
		name, to := t.Zone()
		start, next := t.ZoneBounds()
		o := onset{at: start, from: to, to: to, name: name, summer: t.IsDST()}
		if start.IsZero() || start.Before(zoneBeginning) {
			o.at = zoneBeginning.Add(-time.Duration(to) * time.Second)
		} else {
			_, o.from = start.Add(-time.Second).Zone()
		}
		// Past the database's own table, package time puts a bound at every New Year, at which nothing changes.
		if n := len(list); n == 0 || list[n-1].to != o.to || list[n-1].name != o.name || list[n-1].summer != o.summer {
			list = append(list, o)
		}
		if next.IsZero() || !next.Before(end) {
			return list
		}
		if !next.After(t) {
			next = t.Add(24 * time.Hour) // there, the last day of a leap year is bounded by a moment before it
		}
		t = next
	}
}

// vtimezone writes the definition of a zone for the years of some days: RFC 5545 section 3.6.5. Each change of the
// clocks stands for itself, as the time zone database has it; no rule is made up for years that no event is in.
func vtimezone(name string, loc *time.Location, days civil.Span) ([]byte, error) {
	list := onsets(loc, days)
	slices.SortFunc(list, func(a, b onset) int { return cmp.Compare(a.at.Unix(), b.at.Unix()) })
	zone := ics.NewTimezone(name)
	for _, o := range list {
		var c *ics.ComponentBase
		if o.summer {
			summer := &ics.Daylight{}
			c, zone.Components = &summer.ComponentBase, append(zone.Components, summer)
		} else {
			standard := ics.NewStandard()
			c, zone.Components = &standard.ComponentBase, append(zone.Components, standard)
		}
		// The onset is what the clocks show that are about to change.
		shows := o.at.UTC().Add(time.Duration(o.from) * time.Second)
		c.SetProperty(ics.ComponentPropertyDtStart, shows.Format("20060102T150405"))
		c.SetProperty("TZOFFSETFROM", offsetText(o.from))
		c.SetProperty("TZOFFSETTO", offsetText(o.to))
		c.SetProperty("TZNAME", o.name)
	}
	var b bytes.Buffer
	err := zone.SerializeTo(&b, &ics.SerializationConfiguration{MaxLength: 75, PropertyMaxLength: 75, NewLine: "\r\n"})
	return b.Bytes(), err
}

// offsetText writes an offset from UTC: RFC 5545 section 3.3.14.
func offsetText(seconds int) string {
	sign := '+'
	if seconds < 0 {
		sign, seconds = '-', -seconds
	}
	text := fmt.Sprintf("%c%02d%02d", sign, seconds/3600, seconds/60%60)
	if s := seconds % 60; s != 0 {
		text += fmt.Sprintf("%02d", s)
	}
	return text
}
