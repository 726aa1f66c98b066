package busy

import (
	"bytes"
	"fmt"
	"io"
	"slices"
	"strings"

	ics "github.com/arran4/golang-ical"

	"treewhen/phenology/civil"
	"treewhen/phenology/problem"
)

// The limits of what is read. A school's calendar of several years is a tenth of each.
const (
	MaxBytes   = 32 << 20 // of a file
	MaxEvents  = 100_000  // components
	maxTimes   = 500_000  // times of events within the days asked for
	maxLine    = 256 << 10
	maxParams  = 32   // of a property, and their values: the library's time grows with their square
	maxProps   = 5000 // kept of a component
	maxDepth   = 8    // of components
	maxZones   = 500
	maxChanges = 200     // STANDARD and DAYLIGHT components of a zone
	maxOnsets  = 100_000 // changes of the clocks that all zones of a file make until [zoneHorizon]
	maxWrong   = 20      // problems listed
)

// Read reads the days of span in a calendar file of [MaxBytes] at most. Everything wrong with the file comes back at once, as a
// [problem.List].
func Read(r io.Reader, name string, span civil.Span) (*Diary, error) {
	data, err := io.ReadAll(io.LimitReader(r, MaxBytes+1))
	if err != nil {
		return nil, fmt.Errorf("%s: %w", name, err)
	}
	f := &file{name: name, zones: map[string]*fileZone{}, known: map[string]zone{}}
	if len(data) > MaxBytes {
		f.wrong.Add(name, 0, "", "found more than %d MiB, want a calendar of %d MiB at most", MaxBytes>>20, MaxBytes>>20)
		return nil, f.wrong.Err()
	}
	f.read(data)
	if err := f.wrong.Err(); err != nil {
		return nil, err
	}
	d := f.expand(span)
	if err := f.wrong.Err(); err != nil {
		return nil, err
	}
	d.sort()
	return d, nil
}

// file is a calendar file being read.
type file struct {
	name   string
	wrong  problem.List
	events []*component
	zones  map[string]*fileZone
	known  map[string]zone // by TZID, once looked up

	spent bool // a limit of the whole file is reached: nothing behind it is read
	told  bool // and that has been said

	rules, barren, emitted, onsets, times int // what has been worked out so far, against the limits
}

// component is what is kept of a VEVENT or a VFREEBUSY, or of a part of a VTIMEZONE.
type component struct {
	name  string // in upper case
	said  string // as it is written
	line  int
	kept  bool       // its properties are
	props []property // in the order of the file
}

type property struct {
	name   string // in upper case
	line   int
	params map[string]string // by name in upper case, the first value
	value  string
}

// kept are the properties that are looked at.
var kept = []string{"BEGIN", "END", "DTSTART", "DTEND", "DURATION", "RRULE", "RDATE", "EXDATE", "EXRULE", "RECURRENCE-ID", "UID", "SUMMARY",
	"STATUS", "TRANSP", "TZID", "TZOFFSETFROM", "TZOFFSETTO", "FREEBUSY"}

func (f *file) add(line int, path, format string, args ...any) {
	switch {
	case f.told: // what goes beyond the limits of the whole file is said once
	case f.spent:
		f.told = true
		f.wrong.Add(f.name, line, path, format, args...)
	case len(f.wrong) < maxWrong:
		f.wrong.Add(f.name, line, path, format, args...)
	case len(f.wrong) == maxWrong:
		f.wrong.Add(f.name, line, "", "more is wrong further down; mend this first")
	}
}

func (f *file) full() bool { return f.told || len(f.wrong) > maxWrong }

// read takes the file apart into components.
func (f *file) read(data []byte) {
	lines := contentLines{data: bytes.TrimPrefix(data, []byte("\xef\xbb\xbf"))}
	n := &nesting{file: f}
	for lines.next() && !f.full() {
		if len(n.open) == 0 && !isBegin(lines.text) {
			f.notACalendar(lines.first, lines.text, n.calendars)
			return
		}
		if !lines.known {
			continue
		}
		p, ok := f.property(lines.first, lines.text)
		if !ok {
			continue
		}
		switch p.name {
		case "BEGIN":
			ok = n.begin(p, lines.text)
		case "END":
			ok = n.end(p)
		default:
			ok = n.keep(p)
		}
		if !ok {
			return
		}
	}
	n.finish()
}

// contentLines takes a file apart into its content lines, RFC 5545 section 3.1, without the empty ones.
type contentLines struct {
	data      []byte
	at, lines int

	first int    // number of the line's first physical line
	text  []byte // unfolded, if it is looked at
	known bool   // it may be of a property that is looked at
}

// next goes on to the next line.
func (l *contentLines) next() bool {
	for l.at < len(l.data) {
		l.read()
		if len(bytes.TrimSpace(l.text)) > 0 { // an empty line says nothing
			return true
		}
	}
	return false
}

func (l *contentLines) read() {
	l.lines++
	l.first = l.lines
	line, next := physical(l.data, l.at)
	l.text, l.known = line, true
	if i := bytes.IndexAny(line, ":;"); i >= 0 {
		_, l.known = keptName(line[:i])
	}
	folded := false
	for next < len(l.data) && (l.data[next] == ' ' || l.data[next] == '\t') {
		var more []byte
		more, next = physical(l.data, next)
		l.lines++
		if !l.known {
			continue
		}
		if !folded {
			l.text, folded = slices.Clone(line), true
		}
		if len(l.text) <= maxLine {
			l.text = append(l.text, more[1:]...)
		}
	}
	l.at = next
}

// nesting puts properties into the components that they stand in. What its methods find wrong is noted; they return false
// where it is of no use to read on.
type nesting struct {
	*file
	open       []*component
	zoneParts  []*component // of the last zone
	calendars  int
	components int // events and the like
}

func (n *nesting) begin(p property, text []byte) bool {
	what := strings.ToUpper(strings.TrimSpace(p.value))
	if len(n.open) == 0 && what != "VCALENDAR" {
		n.notACalendar(p.line, text, n.calendars)
		return false
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
		c.kept = true
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
	c := n.open[len(n.open)-1]
	if what := strings.TrimSpace(p.value); strings.ToUpper(what) != c.name {
		n.add(p.line, "", "found END:%s, want END:%s for the BEGIN on line %d", clip(what), clip(c.said), c.line)
		return false
	}
	n.open = n.open[:len(n.open)-1]
	if c.name == "VTIMEZONE" {
		n.zone(c, n.zoneParts)
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
		c := n.open[len(n.open)-1]
		n.add(c.line, "", "found BEGIN:%s without END:%s: the file is cut short", clip(c.said), clip(c.said))
	}
}

// physical returns the line of data at a place, without its end, and where the next one begins.
func physical(data []byte, at int) (line []byte, next int) {
	line, next = data[at:], len(data)
	if i := bytes.IndexByte(line, '\n'); i >= 0 {
		line, next = line[:i], at+i+1
	}
	return bytes.TrimSuffix(line, []byte{'\r'}), next
}

// keptName returns a property's name in upper case, if it is one that is looked at.
func keptName(name []byte) (string, bool) {
	for _, k := range kept {
		if len(name) == len(k) && strings.EqualFold(string(name), k) {
			return k, true
		}
	}
	return "", false
}

func isBegin(line []byte) bool {
	return len(line) >= 6 && strings.EqualFold(string(line[:6]), "BEGIN:")
}

func (f *file) notACalendar(line int, text []byte, calendars int) {
	if calendars > 0 {
		f.add(line, "", "found %s after the end of the calendar, want nothing or another BEGIN:VCALENDAR", clip(string(text)))
		return
	}
	f.add(line, "", "found %s, want an iCalendar file, which begins with BEGIN:VCALENDAR", clip(string(text)))
}

// property takes a content line apart.
func (f *file) property(line int, text []byte) (property, bool) {
	if len(text) > maxLine {
		f.add(line, "", "found a line of more than %d characters, want one such as DTSTART;VALUE=DATE:20270503", maxLine)
		return property{}, false
	}
	if name, value, ok := bytes.Cut(text, []byte{':'}); ok && !bytes.ContainsAny(name, ";\"") {
		if name, ok := keptName(name); ok {
			return property{name: name, line: line, value: string(value)}, true
		}
	}
	if head := head(text); bytes.Count(head, []byte{';'})+bytes.Count(head, []byte{','}) > maxParams {
		f.add(line, "", "found a property with more than %d parameters, want one such as DTSTART;VALUE=DATE:20270503", maxParams)
		return property{}, false
	}
	b, err := ics.ParseProperty(ics.ContentLine(text))
	if err != nil || b == nil {
		f.add(line, "", "found %s, want a property such as DTSTART;VALUE=DATE:20270503", clip(string(text)))
		return property{}, false
	}
	p := property{name: strings.ToUpper(b.IANAToken), line: line, value: b.Value}
	for k, v := range b.ICalParameters {
		if len(v) > 0 {
			if p.params == nil {
				p.params = map[string]string{}
			}
			p.params[strings.ToUpper(k)] = v[0]
		}
	}
	return p, true
}

// head returns what stands before the value: up to the first colon that no quotes enclose.
func head(text []byte) []byte {
	quoted := false
	for i, c := range text {
		switch {
		case c == '"':
			quoted = !quoted
		case c == ':' && !quoted:
			return text[:i]
		}
	}
	return text
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
	s := strings.ToValidUTF8(ics.FromText(c.value(name)), "\ufffd")
	s = strings.Join(strings.FieldsFunc(s, func(r rune) bool { return r <= ' ' || r >= 0x7f && r < 0xa0 }), " ")
	if r := []rune(s); len(r) > 80 {
		s = string(r[:79]) + "…"
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
