package ical

import (
	"errors"
	"fmt"
	"io"
	"slices"
	"strconv"
	"strings"
	"time"

	ics "github.com/arran4/golang-ical"

	"treewhen/calendar"
	"treewhen/calendar/contentline"
	"treewhen/calendar/icslint"
	"treewhen/phenology/civil"
	"treewhen/phenology/problem"
)

// MaxFeed is how large a feed may be that is built upon, in bytes: some ten thousand events.
const MaxFeed = 32 << 20

// MostRead is how large a feed may be that calendar programs are known to take, in bytes: one of them takes no more
// than a megabyte.
const MostRead = 1_000_000

// Previous is a feed as it was last published.
type Previous struct {
	data     []byte
	modified time.Time
	events   []publishedEvent
}

// publishedEvent is an event of a feed: its bytes, and what the next revision must know of it.
type publishedEvent struct {
	raw []byte
	event
}

func (e *event) cancelled() bool { return e.status == ics.ObjectStatusCancelled }

// known returns the facts of the event, those that its text tells if it has none of its own.
func (p *publishedEvent) known() *facts {
	if p.facts == nil {
		return factsBefore(&p.event)
	}
	return p.facts
}

// wayOut is what to do about a file that cannot be built upon.
const wayOut = "move the file away to begin the feed afresh; programs then see its events as new, and those no " +
	"longer expected vanish without being cancelled first"

// ReadPrevious reads a feed that [WriteICS] has written, of [MaxFeed] bytes at most. Its events are carried over byte
// for byte, so that the file must be whole, ours and right. Its error is a [problem.Problem] whose File is "previous
// feed": put the file's name there.
func ReadPrevious(r io.Reader) (*Previous, error) {
	wrong := func(line int, format string, args ...any) (*Previous, error) {
		text := fmt.Sprintf(format, args...)
		return nil, problem.Problem{File: "previous feed", Line: line, Text: text, Hint: wayOut}
	}
	data, err := io.ReadAll(io.LimitReader(r, MaxFeed+1))
	if err != nil {
		return nil, fmt.Errorf("previous feed: %w", err)
	}
	if len(data) == 0 {
		return wrong(0, "found an empty file, want a feed that treewhen wrote")
	}
	if len(data) > MaxFeed {
		return wrong(0, "found more than %d MiB, want a feed that treewhen wrote", MaxFeed>>20)
	}
	calendar, found := contentline.Parse(data)
	if calendar != nil && calendar.Value("PRODID") != productID {
		return wrong(calendar.Line, "found a calendar of PRODID %q, want a feed that treewhen wrote (%s)",
			calendar.Value("PRODID"), productID)
	}
	found = append(found, icslint.Validate(calendar)...)
	if len(found) > 0 {
		slices.SortStableFunc(found, func(a, b icslint.Finding) int { return a.Line - b.Line })
		return wrong(found[0].Line, "%s (%s): damaged, or changed by another program", found[0].Text, found[0].Clause)
	}
	p := &Previous{data: data}
	if calendar.Value("METHOD") != "" {
		return wrong(calendar.Line, "found METHOD:%s, want none: changed by another program", calendar.Value("METHOD"))
	}
	if p.modified, err = stamp(calendar.Value("LAST-MODIFIED")); err != nil {
		return wrong(calendar.Line, "LAST-MODIFIED of the calendar: %v", err)
	}
	p.events = make([]publishedEvent, 0, len(calendar.Children))
	at := make(map[string]int, len(calendar.Children))
	for _, c := range calendar.Children {
		if c.Name == "VTIMEZONE" {
			continue
		}
		e, err := readEvent(c, data)
		if err != nil {
			return wrong(c.Line, "%v", err)
		}
		if of := e.ringsFor(); of != "" {
			if i, ok := at[of]; !ok || !p.events[i].attach(e) {
				return wrong(c.Line, "found an event that rings for another, want it behind that one, with one alarm")
			}
			continue
		}
		at[e.uid] = len(p.events)
		p.events = append(p.events, e)
	}
	return p, nil
}

// Memory returns what the feed tells of its events, by UID.
func (p *Previous) Memory() map[string]calendar.Memory {
	memory := make(map[string]calendar.Memory, len(p.events))
	for i := range p.events {
		e := &p.events[i]
		memory[e.uid] = e.memory(e.facts)
	}
	return memory
}

// memory returns what an event tells, of which some facts are known; nil for none.
func (e *event) memory(f *facts) calendar.Memory {
	m := calendar.Memory{Window: e.window, Cancelled: e.cancelled(), Hours: e.hours, Chance: noChance}
	if f == nil {
		return m
	}
	m.Best, m.Moved, m.State, m.Chance = f.best, f.moved, f.state, f.chance
	if f.version != 0 { // else it was read out of words
		m.Told = make(map[string]string, len(f.essence))
		for _, fact := range f.essence {
			m.Told[fact.name] = fact.value
		}
	}
	return m
}

// readEvent reads what [event.render] writes. Properties of another version of this program stay in the bytes alone.
func readEvent(c *contentline.Component, data []byte) (publishedEvent, error) {
	if c.Name != "VEVENT" {
		return publishedEvent{}, fmt.Errorf("found a %s, want a VEVENT", c.Name)
	}
	e := publishedEvent{raw: data[c.Start:c.End]}
	for _, l := range c.Lines {
		// What leans on another component could be left without it. Zones are defined anew from their names.
		zoned := l.Param("TZID") != "" && l.Name != "DTSTART" && l.Name != "DTEND"
		if l.Name == "RECURRENCE-ID" || l.Name == "RRULE" || zoned {
			return e, fmt.Errorf("found %s that recurs or has a time zone, want single days", l.Name)
		}
	}
	e.uid = c.Value("UID")
	if u, err := calendar.ParseUUID(e.uid); err != nil || u.String() != e.uid {
		return e, fmt.Errorf("UID: found %q, want a UUID in lower case", e.uid)
	}
	var err error
	if err = e.readWindow(c); err != nil {
		return e, err
	}
	if e.stamp, err = stamp(c.Value("DTSTAMP")); err != nil {
		return e, fmt.Errorf("DTSTAMP: %w", err)
	}
	e.sequence, err = strconv.Atoi(c.Value("SEQUENCE"))
	if err != nil || e.sequence < 0 || e.sequence > mostRevisions {
		return e, fmt.Errorf("SEQUENCE: found %q, want a whole number to %d", c.Value("SEQUENCE"), mostRevisions)
	}
	e.status = ics.ObjectStatus(strings.ToUpper(c.Value("STATUS")))
	if e.status == "" {
		return e, errors.New("found no STATUS, want one")
	}
	e.summary = ics.FromText(c.Value("SUMMARY"))
	e.description = ics.FromText(c.Value("DESCRIPTION"))
	e.location = ics.FromText(c.Value("LOCATION"))
	e.geo = c.Value("GEO")
	e.color = c.Value("COLOR")
	for _, l := range c.All("CATEGORIES") {
		e.categories = append(e.categories, ics.FromText(l.Value))
	}
	for _, l := range c.All("RELATED-TO") {
		e.after = append(e.after, l.Value)
	}
	for _, a := range c.Children {
		zoned := slices.ContainsFunc(a.Lines, func(l contentline.Line) bool { return l.Param("TZID") != "" })
		if a.Name != "VALARM" || zoned || len(a.Children) > 0 {
			return e, fmt.Errorf("found a %s in an event, want a VALARM without a time zone", a.Name)
		}
		e.alarms = append(e.alarms, alarm{
			uid: a.Value("UID"), trigger: a.Value("TRIGGER"), text: ics.FromText(a.Value("DESCRIPTION")),
		})
	}
	if told := c.Value(string(factsProperty)); told != "" {
		if e.facts, err = readFacts(ics.FromText(told)); err != nil {
			return e, fmt.Errorf("%s: %w", factsProperty, err)
		}
	}
	return e, nil
}

// readWindow reads the days of an event, or its hours, from DTSTART and DTEND.
func (e *publishedEvent) readWindow(c *contentline.Component) error {
	hours := c.Value("DTSTART") != "" && len(c.Value("DTSTART")) > len("20060102")
	for i, name := range []string{"DTSTART", "DTEND"} {
		text, layout, want := c.Value(name), "20060102", "a date such as 20270309"
		if hours {
			layout, want = "20060102T150405", "a time such as 20270309T090000"
		}
		zone := c.First(name).Param("TZID")
		if hours && zone == "" {
			layout += "Z"
		}
		t, err := time.Parse(layout, text)
		if err != nil {
			return fmt.Errorf("%s: found %q, want %s", name, text, want)
		}
		d := civil.FromTime(t)
		switch {
		case hours && i == 0:
			e.window, e.zone, e.hours.Start = civil.Span{First: d, Last: d}, zone, t.Hour()*60+t.Minute()
		case hours:
			e.hours.End = int(t.Sub(e.window.First.Time()) / time.Minute)
			if zone != e.zone || e.hours.End <= e.hours.Start || e.hours.End > 2*24*60 {
				return fmt.Errorf("DTEND: found %s, want a time of the same day in the zone of DTSTART", text)
			}
		case i == 0:
			e.window.First = d
		default:
			e.window.Last = d - 1 // DTEND is the day after
		}
	}
	if e.zone != "" && loadZone(e.zone) == nil {
		return fmt.Errorf("found time zone %q, want an IANA time zone", e.zone)
	}
	if !writable(e.window.First) || !writable(e.window.Last) {
		return fmt.Errorf("found window %v, want the years 1 to 9998", e.window)
	}
	return nil
}

// stamp reads a moment in UTC that leaves room for later ones.
func stamp(s string) (time.Time, error) {
	t, err := time.Parse("20060102T150405Z", s)
	if err != nil || !writable(civil.FromTime(t)) {
		return time.Time{}, fmt.Errorf("found %q, want a moment such as 20270309T000000Z", s)
	}
	return t, nil
}
