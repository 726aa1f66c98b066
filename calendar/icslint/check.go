// Package icslint says what is wrong with an iCalendar feed, from its bytes up, each finding with the clause it breaks.
//
// Programs that read iCalendar forgive much and each forgives something else, so that a feed which one of them shows is
// not thereby right. This package forgives nothing that RFC 5545, 7986 or 9074 forbid and that a feed of ours could get
// wrong; of recurrence rules, which feeds have only for the clocks of a time zone, it looks at the form; it says
// nothing of attendees and free/busy time, which feeds do not have. It judges an earlier feed before its events are
// carried over byte for byte, and every feed that the tests make. It shares no code with what writes feeds.
package icslint

import (
	"slices"

	"treewhen/calendar/contentline"
)

// Finding is one thing that is wrong with a feed.
type Finding = contentline.Fault

func short(s string) string { return contentline.Short(s) }

// Check returns what is wrong with a feed, nil if nothing is.
func Check(data []byte) []Finding {
	calendar, found := contentline.Parse(data)
	return append(found, Validate(calendar)...)
}

// Validate returns what is wrong with a feed that [contentline.Parse] has taken apart, beyond what that has found.
func Validate(calendar *contentline.Component) []Finding {
	if calendar == nil {
		return nil
	}
	c := checker{alarms: map[string]int{}, events: map[string]int{}, zones: map[string]bool{}}
	c.calendar(calendar)
	return c.Faults
}

type checker struct {
	contentline.Faults
	method string
	events map[string]int  // line of each event's UID
	alarms map[string]int  // line of each alarm's UID
	zones  map[string]bool // TZIDs that the calendar defines
}

// counts are the numbers of times that a component may have a property.
type counts struct {
	clause      string
	once        []string // must be there, once
	atMostOnce  []string
	subordinate []string // components that may stand within
}

var rules = map[string]counts{
	"VCALENDAR": {
		clause: "RFC 5545 3.6, RFC 7986 4",
		once:   []string{"PRODID", "VERSION"},
		atMostOnce: []string{"CALSCALE", "METHOD", "UID", "LAST-MODIFIED", "URL", "REFRESH-INTERVAL", "SOURCE", "COLOR",
			"X-WR-CALNAME", "X-WR-TIMEZONE", "X-PUBLISHED-TTL"},
		subordinate: []string{"VEVENT", "VTODO", "VJOURNAL", "VFREEBUSY", "VTIMEZONE"},
	},
	"VEVENT": {
		clause: "RFC 5545 3.6.1, RFC 7986 5",
		once:   []string{"UID", "DTSTAMP"},
		atMostOnce: []string{"DTSTART", "CLASS", "CREATED", "DESCRIPTION", "GEO", "LAST-MODIFIED", "LOCATION",
			"ORGANIZER", "PRIORITY", "SEQUENCE", "STATUS", "SUMMARY", "TRANSP", "URL", "RECURRENCE-ID", "DTEND",
			"DURATION", "COLOR",
			"X-TREEWHEN-FACTS"},
		subordinate: []string{"VALARM"},
	},
	"VALARM": {
		clause:     "RFC 5545 3.6.6, RFC 9074 4",
		once:       []string{"ACTION", "TRIGGER"},
		atMostOnce: []string{"DURATION", "REPEAT", "UID", "ACKNOWLEDGED", "DESCRIPTION", "SUMMARY"},
	},
	"VTIMEZONE": {
		clause:      "RFC 5545 3.6.5",
		once:        []string{"TZID"},
		atMostOnce:  []string{"LAST-MODIFIED", "TZURL"},
		subordinate: []string{"STANDARD", "DAYLIGHT"},
	},
	"STANDARD": {clause: "RFC 5545 3.6.5", once: []string{"DTSTART", "TZOFFSETTO", "TZOFFSETFROM"},
		atMostOnce: []string{"RRULE"}},
	"DAYLIGHT": {clause: "RFC 5545 3.6.5", once: []string{"DTSTART", "TZOFFSETTO", "TZOFFSETFROM"},
		atMostOnce: []string{"RRULE"}},
}

func (c *checker) calendar(calendar *contentline.Component) {
	c.method = calendar.Value("METHOD")
	if len(calendar.Children) == 0 {
		c.Add(calendar.Line, "RFC 5545 3.6", "found no component, want at least one")
	}
	for _, child := range calendar.Children {
		if child.Name == "VTIMEZONE" {
			c.zones[child.Value("TZID")] = true
		}
	}
	c.component(calendar)
}

func (c *checker) component(comp *contentline.Component) {
	rule, ok := rules[comp.Name]
	if !ok {
		return // a component of another standard, or one that feeds do not have
	}
	seen := map[string]int{}
	for _, l := range comp.Lines {
		seen[l.Name]++
	}
	for _, name := range rule.once {
		switch {
		case seen[name] == 0:
			c.Add(comp.Line, rule.clause, "found a %s without %s, want one", comp.Name, name)
		case seen[name] > 1:
			c.Add(comp.Line, rule.clause, "found a %s with %d of %s, want one", comp.Name, seen[name], name)
		}
	}
	for _, name := range rule.atMostOnce {
		if seen[name] > 1 {
			c.Add(comp.Line, rule.clause, "found a %s with %d of %s, want at most one", comp.Name, seen[name], name)
		}
	}
	for _, l := range comp.Lines {
		c.property(comp, l)
	}
	switch comp.Name {
	case "VEVENT":
		c.event(comp, seen)
	case "VALARM":
		c.alarm(comp, seen)
	case "VTIMEZONE":
		if len(comp.Children) == 0 {
			c.Add(comp.Line, rule.clause, "found a VTIMEZONE without STANDARD or DAYLIGHT")
		}
	}
	for _, child := range comp.Children {
		if _, known := rules[child.Name]; known && !slices.Contains(rule.subordinate, child.Name) {
			c.Add(child.Line, rule.clause, "found a %s within a %s", child.Name, comp.Name)
		}
		c.component(child)
	}
}

// event checks what several properties of an event say together.
func (c *checker) event(e *contentline.Component, seen map[string]int) {
	if seen["DTSTART"] == 0 && c.method == "" {
		c.Add(e.Line, "RFC 5545 3.6.1", "found an event without DTSTART, want one where the calendar has no METHOD")
	}
	if c.method != "" && seen["ORGANIZER"] == 0 {
		c.Add(e.Line, "RFC 5546 3.2.1", "found METHOD:%s and an event without ORGANIZER; a feed does best without "+
			"METHOD", c.method)
	}
	if seen["DTEND"] > 0 && seen["DURATION"] > 0 {
		c.Add(e.Line, "RFC 5545 3.6.1", "found both DTEND and DURATION, want one of them")
	}
	if start, end := e.All("DTSTART"), e.All("DTEND"); len(start) > 0 && len(end) > 0 {
		switch s, t := start[0], end[0]; {
		case s.Keyword("VALUE") != t.Keyword("VALUE"):
			c.Add(t.Number, "RFC 5545 3.8.2.2", "found DTEND and DTSTART of different types, want the same")
		case s.Keyword("TZID") == t.Keyword("TZID") && t.Value <= s.Value:
			c.Add(t.Number, "RFC 5545 3.8.2.2", "found DTEND %s not after DTSTART %s; an end is not part of the event",
				short(t.Value), short(s.Value))
		}
	}
	if stamp, modified := e.Value("DTSTAMP"), e.Value("LAST-MODIFIED"); c.method == "" && modified != "" &&
		stamp != modified {
		c.Add(e.Line, "RFC 5545 3.8.7.2", "found DTSTAMP %s and LAST-MODIFIED %s, want the same where there is no "+
			"METHOD", short(stamp), short(modified))
	}
	if uid := e.Value("UID"); uid != "" && seen["RECURRENCE-ID"] == 0 {
		if line, twice := c.events[uid]; twice {
			c.Add(e.Line, "RFC 5545 3.8.4.7", "found UID %s, which line %d has already", short(uid), line)
		}
		c.events[uid] = e.Line
	}
}

func (c *checker) alarm(a *contentline.Component, seen map[string]int) {
	want := func(names ...string) {
		for _, name := range names {
			if seen[name] == 0 {
				c.Add(a.Line, "RFC 5545 3.6.6", "found a %s alarm without %s", a.Value("ACTION"), name)
			}
		}
	}
	switch a.Value("ACTION") {
	case "DISPLAY":
		want("DESCRIPTION")
	case "EMAIL":
		want("DESCRIPTION", "SUMMARY", "ATTENDEE")
	}
	if (seen["DURATION"] > 0) != (seen["REPEAT"] > 0) {
		c.Add(a.Line, "RFC 5545 3.6.6", "found one of DURATION and REPEAT, want both or neither")
	}
	if uid := a.Value("UID"); uid != "" {
		if line, twice := c.alarms[uid]; twice {
			c.Add(a.Line, "RFC 9074 4", "found alarm UID %s, which line %d has already", short(uid), line)
		}
		c.alarms[uid] = a.Line
	}
}
