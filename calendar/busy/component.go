package busy

import (
	"fmt"
	"html"
	"strings"

	ics "github.com/arran4/golang-ical"
)

// component is what is kept of a VEVENT or a VFREEBUSY, or of a part of a VTIMEZONE.
type component struct {
	name  string // in upper case
	said  string // as it is written
	line  int
	kept  bool       // its properties are
	cut   bool       // it has no end
	props []property // in the order of the file
}

type property struct {
	name   string // in upper case
	line   int
	params map[string]string // by name in upper case, the first value
	value  string
}

// all returns the properties of a name.
func (c *component) all(name string) []property {
	var list []property
	for _, p := range c.props {
		if p.name == name {
			list = append(list, p)
		}
	}
	return list
}

// value returns the value of the first property of a name, "" if there is none.
func (c *component) value(name string) string {
	for _, p := range c.props {
		if p.name == name {
			return strings.TrimSpace(p.value)
		}
	}
	return ""
}

// one returns a property that may be there once.
func (f *file) one(c *component, name string) (found property, ok bool) {
	for _, p := range c.props {
		switch {
		case p.name != name:
		case !ok:
			found, ok = p, true
		default:
			f.add(p.line, name, "found this twice in the %s of line %d, want it once", c.name, c.line)
			return found, true
		}
	}
	return found, ok
}

// text returns a TEXT value for people to read, on one line.
func (c *component) text(name string) string {
	s := strings.ToValidUTF8(html.UnescapeString(ics.FromText(c.value(name))), "\ufffd")
	s = strings.Join(strings.FieldsFunc(s, func(r rune) bool { return r <= ' ' || r >= 0x7f && r < 0xa0 }), " ")
	if r := []rune(s); len(r) > 80 {
		s = string(r[:79]) + "…"
	}
	return s
}

// plain returns the beginning of the TEXT values of a name, for their words to be read.
func (c *component) plain(name string) string {
	s := ""
	for _, p := range c.props {
		if p.name != name || len(s) > maxProse {
			continue
		}
		if s != "" {
			s += ", "
		}
		s += ics.FromText(p.value)
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
