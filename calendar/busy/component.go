package busy

import (
	"fmt"
	"html"
	"strings"

	ics "github.com/arran4/golang-ical"

	"treewhen/calendar/contentline"
)

// component is a VEVENT or a VFREEBUSY, a VTIMEZONE or a part of one, with the properties of it that are looked at.
type component struct{ *contentline.Component }

// isEvent reports whether components of a name are times of somebody.
func isEvent(name string) bool { return name == "VEVENT" || name == "VFREEBUSY" }

// value returns the value of the first property of a name, "" if there is none.
func (c component) value(name string) string { return strings.TrimSpace(c.Value(name)) }

// one returns a property that may be there once.
func (f *file) one(c component, name string) (found contentline.Line, ok bool) {
	for _, l := range c.Lines {
		switch {
		case l.Name != name:
		case !ok:
			found, ok = l, true
		default:
			f.add(l.Number, name, "found this twice in the %s of line %d, want it once", c.Name, c.Line)
			return found, true
		}
	}
	return found, ok
}

// text returns a TEXT value for people to read, on one line.
func (c component) text(name string) string {
	s := strings.ToValidUTF8(html.UnescapeString(ics.FromText(c.value(name))), "\ufffd")
	s = strings.Join(strings.FieldsFunc(s, func(r rune) bool { return r <= ' ' || r >= 0x7f && r < 0xa0 }), " ")
	if r := []rune(s); len(r) > 80 {
		s = string(r[:79]) + "…"
	}
	return s
}

// plain returns the beginning of the TEXT values of a name, for their words to be read.
func (c component) plain(name string) string {
	s := ""
	for _, l := range c.Lines {
		if l.Name != name || len(s) > maxProse {
			continue
		}
		if s != "" {
			s += ", "
		}
		s += ics.FromText(l.Value)
	}
	if len(s) > maxProse {
		if r := []rune(s); len(r) > maxProse {
			s = string(r[:maxProse])
		}
	}
	return s
}

// clip quotes the beginning of what was found.
func clip(s string) string {
	s = strings.ToValidUTF8(s, "\ufffd")
	if r := []rune(s); len(r) > 40 {
		return fmt.Sprintf("%q…", string(r[:40]))
	}
	return fmt.Sprintf("%q", s)
}
