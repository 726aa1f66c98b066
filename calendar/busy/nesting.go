package busy

import (
	"slices"
	"strings"
)

// nesting puts properties into the components that they stand in. What its methods find wrong is noted; they return
// false where it is of no use to read on.
type nesting struct {
	*file
	open       []*component
	zoneParts  []*component // of the last zone
	calendars  int
	components int  // events and the like
	strayed    bool // what stands outside of a calendar has been told
}

func (n *nesting) begin(p property, text []byte) bool {
	what := strings.ToUpper(strings.TrimSpace(p.value))
	if len(n.open) == 0 && what != "VCALENDAR" {
		return n.outside(p.line, text)
	}
	// Neither holds another of its kind: the one before it was broken off.
	for i, c := range n.open {
		if c.name == what && (what == "VCALENDAR" || what == "VEVENT" || what == "VFREEBUSY") {
			n.close(i)
			break
		}
	}
	if len(n.open) == maxDepth {
		n.add(p.line, "", "found components nested more than %d deep, want a calendar", maxDepth)
		return false
	}
	c := &component{name: what, said: strings.TrimSpace(p.value), line: p.line}
	switch {
	case len(n.open) == 0:
		n.calendars++
	case what == "VEVENT" || what == "VFREEBUSY":
		if n.components++; n.components > MaxEvents {
			n.add(p.line, "", "found more than %d events, want a calendar of at most that many", MaxEvents)
			return false
		}
		c.kept, c.props = true, make([]property, 0, 10) // most have no more
		n.events = append(n.events, c)
	case what == "VTIMEZONE":
		c.kept, n.zoneParts = true, nil
	case n.open[len(n.open)-1].name == "VTIMEZONE":
		c.kept, n.zoneParts = true, append(n.zoneParts, c)
	}
	n.open = append(n.open, c)
	return true
}

func (n *nesting) end(p property) bool {
	what := strings.TrimSpace(p.value)
	for i := len(n.open) - 1; i >= 0; i-- {
		c := n.open[i]
		if c.name != strings.ToUpper(what) {
			continue
		}
		n.close(i + 1)
		n.open = n.open[:i]
		if c.name == "VTIMEZONE" {
			n.readZone(c)
		}
		return true
	}
	n.note(p.line, "END:%s ends nothing that has begun", clip(what))
	return true
}

// readZone reads a zone. What is wrong with one is a note: its events may name a zone that everybody knows.
func (n *nesting) readZone(c *component) {
	before := len(n.wrong)
	n.zone(c, n.zoneParts)
	if n.spent || len(n.wrong) == before {
		return
	}
	n.note(n.wrong[before].Line, "time zone %s is not read: %s", clip(c.value("TZID")), n.wrong[before].Text)
	n.wrong = n.wrong[:before]
}

// close gives up the components from the i-th open one on, which have no end.
func (n *nesting) close(i int) {
	for _, c := range n.open[i:] {
		if c.name == "VEVENT" || c.name == "VFREEBUSY" {
			c.cut = true
			n.note(c.line, "an event that has no end is not read%s", c.named())
		}
	}
	n.open = n.open[:i]
}

// named returns how a note names an event.
func (c *component) named() string {
	if title := c.text("SUMMARY"); title != "" {
		return ": " + title
	}
	return ""
}

// outside tells of what stands before or behind a calendar, and returns whether the file is one at all.
func (n *nesting) outside(line int, text []byte) bool {
	if n.calendars == 0 {
		n.add(line, "", "found %s, want an iCalendar file, which begins with BEGIN:VCALENDAR", clip(string(text)))
		return false
	}
	if !n.strayed {
		n.strayed = true
		n.note(line, "what stands outside of a calendar is not read: %s", clip(string(text)))
	}
	return true
}

func (n *nesting) keep(p property) bool {
	c := n.open[len(n.open)-1]
	if !c.kept {
		return true
	}
	if len(c.props) >= maxProps {
		n.add(p.line, p.name, "found more than %d properties in the %s of line %d", maxProps, clip(c.said), c.line)
		return false
	}
	c.props = append(c.props, p)
	return true
}

// finish tells of what is missing at the end of the file.
func (n *nesting) finish() {
	switch {
	case n.full():
	case n.calendars == 0:
		n.add(0, "", "found no calendar, want an iCalendar file, which begins with BEGIN:VCALENDAR")
	case len(n.open) > 0:
		n.note(n.open[len(n.open)-1].line, "the file is cut short: what is whole of it is read")
		n.close(0)
	}
	n.events = slices.DeleteFunc(n.events, func(c *component) bool { return c.cut })
}
