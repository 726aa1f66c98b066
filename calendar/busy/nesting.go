package busy

import (
	"slices"
	"strings"

	"treewhen/calendar/contentline"
)

// nesting puts properties into the components that they stand in. What its methods find wrong is noted; they return
// false where it is of no use to read on.
type nesting struct {
	*file
	*contentline.Reader
	open       contentline.Nesting
	calendars  int
	components int  // events and the like
	strayed    bool // what stands outside of a calendar has been told
}

// line puts the line in its place that was read last.
func (n *nesting) line() bool {
	if len(n.open) == 0 && (len(n.Text) < 6 || !strings.EqualFold(string(n.Text[:6]), "BEGIN:")) {
		return n.outside()
	}
	if !n.Wanted {
		return true
	}
	switch l, ok := n.property(n.Reader); {
	case !ok:
		return true
	case l.Name == "BEGIN":
		return n.begin(l)
	case l.Name == "END":
		n.end(l)
		return true
	default:
		return n.keep(l)
	}
}

func (n *nesting) begin(l contentline.Line) bool {
	said := strings.TrimSpace(l.Value)
	what := strings.ToUpper(said)
	if len(n.open) == 0 && what != "VCALENDAR" {
		return n.outside()
	}
	// Neither holds another of its kind: the one before it was broken off.
	for i, c := range n.open {
		if c.Name == what && (what == "VCALENDAR" || isEvent(what)) {
			n.breakOff(n.open[i:])
			n.open = n.open[:i]
			break
		}
	}
	in := n.open.Innermost()
	c := n.open.Begin(said, n.Reader)
	switch {
	case c == nil:
		n.add(l.Number, "", "found components nested more than %d deep, want a calendar", contentline.MaxDepth)
		return false
	case in == nil:
		n.calendars++
	case isEvent(what):
		if n.components++; n.components > MaxEvents {
			n.add(l.Number, "", "found more than %d events, want a calendar of at most that many", MaxEvents)
			return false
		}
		c.Lines = make([]contentline.Line, 0, 10) // most have no more
		n.events = append(n.events, component{c})
	case in.Name == "VTIMEZONE" && what != "VTIMEZONE":
		in.Children = append(in.Children, c)
	}
	return true
}

func (n *nesting) end(l contentline.Line) {
	what := strings.TrimSpace(l.Value)
	c, broken := n.open.End(what, n.Reader)
	n.breakOff(broken)
	switch {
	case c == nil:
		n.note(l.Number, "END:%s ends nothing that has begun", clip(what))
	case c.Name == "VTIMEZONE":
		n.readZone(component{c})
	}
}

// readZone reads a zone. What is wrong with one is a note: its events may name a zone that everybody knows.
func (n *nesting) readZone(c component) {
	before := len(n.wrong)
	n.zone(c)
	if n.spent || len(n.wrong) == before {
		return
	}
	n.note(n.wrong[before].Line, "time zone %s is not read: %s", clip(c.value("TZID")), n.wrong[before].Text)
	n.wrong = n.wrong[:before]
}

// breakOff gives up components that have no end.
func (n *nesting) breakOff(list []*contentline.Component) {
	for _, c := range list {
		if isEvent(c.Name) {
			n.note(c.Line, "an event that has no end is not read%s", component{c}.named())
		}
	}
}

// named returns how a note names an event.
func (c component) named() string {
	if title := c.text("SUMMARY"); title != "" {
		return ": " + title
	}
	return ""
}

// outside tells of what stands before or behind a calendar, and returns whether the file is one at all.
func (n *nesting) outside() bool {
	if n.calendars == 0 {
		n.add(n.Number, "", "found %s, want an iCalendar file, which begins with BEGIN:VCALENDAR", clip(string(n.Text)))
		return false
	}
	if !n.strayed {
		n.strayed = true
		n.note(n.Number, "what stands outside of a calendar is not read: %s", clip(string(n.Text)))
	}
	return true
}

func (n *nesting) keep(l contentline.Line) bool {
	c := n.open.Innermost()
	if !isEvent(c.Name) && c.Name != "VTIMEZONE" && (len(n.open) < 2 || n.open[len(n.open)-2].Name != "VTIMEZONE") {
		return true
	}
	if len(c.Lines) >= maxProps {
		n.add(l.Number, l.Name, "found more than %d properties in the %s of line %d", maxProps, clip(c.Said), c.Line)
		return false
	}
	c.Lines = append(c.Lines, l)
	return true
}

// finish tells of what is missing at the end of the file.
func (n *nesting) finish() {
	switch {
	case n.full():
	case n.calendars == 0:
		n.add(0, "", "found no calendar, want an iCalendar file, which begins with BEGIN:VCALENDAR")
	case len(n.open) > 0:
		n.note(n.open.Innermost().Line, "the file is cut short: what is whole of it is read")
		n.breakOff(n.open)
	}
	n.events = slices.DeleteFunc(n.events, func(c component) bool { return c.End == 0 })
}
