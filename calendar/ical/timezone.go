package ical

import (
	"bytes"
	"fmt"
	"maps"
	"slices"
	"strconv"
	"strings"
	"sync"
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
	if loadZone(zone.String()) != nil {
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
	add := func(e *event) {
		if !e.timed() || e.zone == "" {
			return
		}
		s, ok := spans[e.zone]
		if !ok {
			s = e.window
		}
		spans[e.zone] = civil.Span{First: min(s.First, e.window.First), Last: max(s.Last, e.window.Last)}
	}
	for i := range events {
		add(&events[i].event)
		for short := range events[i].shorts() {
			add(short)
		}
	}
	var zones []ics.Component
	for _, name := range slices.Sorted(maps.Keys(spans)) {
		raw, err := definition(name, spans[name])
		if err != nil {
			return nil, err
		}
		zones = append(zones, ready(raw))
	}
	return zones, nil
}

// Feeds of a plan share a few zones, and each event that has a clock asks for its own: they are read once.
var (
	zonesByName sync.Map // *time.Location
	definitions sync.Map // by name and years: []byte
)

// loadZone returns a zone by its IANA name; nil if there is none of that name.
func loadZone(name string) *time.Location {
	if known, ok := zonesByName.Load(name); ok {
		return known.(*time.Location)
	}
	loc, err := time.LoadLocation(name)
	if err != nil || name == "" || name == "Local" {
		return nil
	}
	zonesByName.Store(name, loc)
	return loc
}

// definition returns the definition of a zone for the years of some days.
func definition(name string, days civil.Span) ([]byte, error) {
	key := struct {
		name        string
		first, last int
	}{name, days.First.Year(), days.Last.Year()}
	if known, ok := definitions.Load(key); ok {
		return known.([]byte), nil
	}
	loc := loadZone(name)
	if loc == nil {
		return nil, fmt.Errorf("found time zone %q, want an IANA time zone", name)
	}
	raw, err := vtimezone(name, loc, days)
	if err == nil {
		definitions.Store(key, raw)
	}
	return raw, err
}

// zoneBeginning is from when on a zone is defined: no feed has an event before it, and programs that misread a
// definition which begins later, or which lists changes of the clocks one by one, read one that is a rule from then
// on.
var zoneBeginning = time.Date(1970, 1, 1, 0, 0, 0, 0, time.UTC)

// onset is a moment from which the clocks of a zone show something new, and, if there is a rule, the like of it in
// other years.
type onset struct {
	shows    time.Time // what the clocks show that are about to change, as if it were UTC
	from, to int       // seconds east of UTC, before and after
	name     string    // such as EDT
	summer   bool
	rule     string // RRULE; "" where the onset stands for itself
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
		o := onset{from: to, to: to, name: name, summer: t.IsDST(), shows: zoneBeginning}
		if !start.IsZero() && !start.Before(zoneBeginning) {
			_, o.from = start.Add(-time.Second).Zone()
			o.shows = start.UTC().Add(time.Duration(o.from) * time.Second)
		}
		// Past the database's own table, package time puts a bound at every New Year, at which nothing changes.
		if n := len(list); n == 0 || !list[n-1].alike(o) {
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

// alike reports whether the clocks show the same after two onsets.
func (o onset) alike(p onset) bool { return o.to == p.to && o.name == p.name && o.summer == p.summer }

// ruleYears is for how many years beyond the events' own a zone's changes are looked at to find their rule: in 28 of
// them each day of the year falls on each day of the week, whatever leap years do but at the end of a century.
const ruleYears = 28

// ruled returns the changes of a zone's clocks as rules from 1970 on, if that is what they are in the years of some
// days and after them. The law of earlier years may have been another; no event is in them.
func ruled(loc *time.Location, days civil.Span) ([]onset, bool) {
	list := onsets(loc, civil.Span{First: days.First, Last: days.Last.AddYears(ruleYears)})
	if len(list) == 1 { // they never change
		o := list[0]
		o.from, o.shows = o.to, zoneBeginning
		return []onset{o}, true
	}
	var kinds [2][]onset // by turns
	for i, o := range list[1:] {
		kind := kinds[i%2]
		if len(kind) > 0 && (!kind[0].alike(o) || kind[0].from != o.from) {
			return nil, false
		}
		kinds[i%2] = append(kind, o)
	}
	var rules []onset
	for _, kind := range kinds {
		o, ok := yearly(kind)
		if !ok {
			return nil, false
		}
		rules = append(rules, o)
	}
	return rules, true
}

// yearly returns the first of some onsets as it would have been in 1970, with the rule that all of them follow: once
// a year, at one time of one day of the week among seven days of one month. Without such a rule it returns false.
func yearly(list []onset) (onset, bool) {
	if len(list) < ruleYears {
		return onset{}, false
	}
	o := list[0]
	first, last := 31, 1
	for i, p := range list {
		same := p.shows.Month() == o.shows.Month() && p.shows.Weekday() == o.shows.Weekday() &&
			p.shows.Year() == o.shows.Year()+i && p.shows.Sub(p.shows.Truncate(24*time.Hour)) ==
			o.shows.Sub(o.shows.Truncate(24*time.Hour))
		if !same {
			return onset{}, false
		}
		first, last = min(first, p.shows.Day()), max(last, p.shows.Day())
	}
	month := o.shows.Month()
	if last-first > 6 {
		return onset{}, false
	}
	day := strings.ToUpper(o.shows.Weekday().String()[:2])
	switch days := civil.Of(1971, month+1, 1) - civil.Of(1971, month, 1); {
	case first%7 == 1 && first < 29:
		day = strconv.Itoa(first/7+1) + day // the so-and-so-manieth of the month
	case first == int(days)-6:
		day = "-1" + day
	default:
		numbers := make([]string, 7)
		for i := range numbers {
			numbers[i] = strconv.Itoa(first + i)
		}
		day += ";BYMONTHDAY=" + strings.Join(numbers, ",")
	}
	o.rule = fmt.Sprintf("FREQ=YEARLY;BYMONTH=%d;BYDAY=%s", int(month), day)
	in1970 := civil.Of(1970, month, first).Time()
	in1970 = in1970.AddDate(0, 0, int(o.shows.Weekday()-in1970.Weekday()+7)%7)
	o.shows = in1970.Add(o.shows.Sub(o.shows.Truncate(24 * time.Hour)))
	return o, true
}

// vtimezone writes the definition of a zone: RFC 5545 section 3.6.5. Where the clocks follow no rule in the years of
// the days, as where they go by the moon, each change in these years stands for itself.
func vtimezone(name string, loc *time.Location, days civil.Span) ([]byte, error) {
	list, ok := ruled(loc, days)
	if !ok {
		list = onsets(loc, days)
	}
	slices.SortFunc(list, func(a, b onset) int { return a.shows.Compare(b.shows) })
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
		c.SetProperty(ics.ComponentPropertyDtStart, o.shows.Format("20060102T150405"))
		if o.rule != "" {
			c.SetProperty(ics.ComponentPropertyRrule, o.rule)
		}
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
