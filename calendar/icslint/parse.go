// Package icslint says what is wrong with an iCalendar feed, from its bytes up, each finding with the clause it breaks.
//
// Programs that read iCalendar forgive much and each forgives something else, so that a feed which one of them shows is
// not thereby right. This package forgives nothing that RFC 5545, 7986 or 9074 forbid and that a feed of ours could get
// wrong; of recurrence rules, which feeds have only for the clocks of a time zone, it looks at the form; it says nothing of
// attendees and free/busy time, which feeds do not have. It judges an
// earlier feed before its events are carried over byte for byte, and every feed that the tests make. It shares no code
// with what writes feeds.
package icslint

import (
	"bytes"
	"fmt"
	"strings"
	"unicode/utf8"
)

// Finding is one thing that is wrong with a feed.
type Finding struct {
	Line   int    // physical line, from 1; 0 where the feed as a whole is to blame
	Clause string // such as "RFC 5545 3.1"
	Text   string // what was found and what is wanted
}

// String returns "line N: text (clause)".
func (f Finding) String() string { return fmt.Sprintf("line %d: %s (%s)", f.Line, f.Text, f.Clause) }

// MaxFindings is how many findings are collected before the rest of a feed is given up.
const MaxFindings = 100

// Line is a content line: RFC 5545 section 3.1, unfolded.
type Line struct {
	Number     int    // of its first physical line, from 1
	Start, End int    // the bytes of its physical lines, line ends included
	Name       string // in upper case
	Params     []Param
	Value      string // as written, TEXT still escaped
}

// Param is a parameter of a content line.
type Param struct {
	Name   string // in upper case
	Values []string
}

// Param returns the first value of a parameter in upper case, "" if the line has none.
func (l Line) Param(name string) string {
	for _, p := range l.Params {
		if p.Name == name && len(p.Values) > 0 {
			return strings.ToUpper(p.Values[0])
		}
	}
	return ""
}

// Component is what stands between a BEGIN and its END.
type Component struct {
	Name       string // in upper case
	Line       int    // of its BEGIN
	Start, End int    // its bytes, BEGIN and END lines included
	Lines      []Line // its properties
	Children   []*Component
}

// All returns the properties of a name.
func (c *Component) All(name string) []Line {
	var found []Line
	for _, l := range c.Lines {
		if l.Name == name {
			found = append(found, l)
		}
	}
	return found
}

// Value returns the value of the first property of a name as written, "" if there is none.
func (c *Component) Value(name string) string {
	for _, l := range c.Lines {
		if l.Name == name {
			return l.Value
		}
	}
	return ""
}

// findings collects what is wrong.
type findings []Finding

func (f *findings) add(line int, clause, format string, args ...any) {
	if len(*f) < MaxFindings {
		*f = append(*f, Finding{line, clause, fmt.Sprintf(format, args...)})
	}
}

// Parse takes a feed apart. The component is nil where the findings leave nothing to go on with.
func Parse(data []byte) (*Component, []Finding) {
	var f findings
	calendar := nest(contentLines(data, &f), len(data), &f)
	return calendar, f
}

// maxOctets is how long a physical line may be without its line end: RFC 5545 section 3.1.
const maxOctets = 75

// contentLines unfolds the physical lines and takes each content line apart.
func contentLines(data []byte, f *findings) []Line {
	var lines []Line
	var unfolded []byte
	start, first := 0, 1
	end := func(at int) {
		if len(unfolded) > 0 {
			if l, ok := contentLine(string(unfolded), first, f); ok {
				l.Start, l.End = start, at
				lines = append(lines, l)
			}
		}
		unfolded = unfolded[:0]
	}
	number := 0
	for at := 0; at < len(data) && len(*f) < MaxFindings; {
		number++
		line, next := data[at:], len(data)
		if i := bytes.IndexByte(line, '\n'); i >= 0 {
			line, next = line[:i], at+i+1
			if !bytes.HasSuffix(line, []byte{'\r'}) {
				f.add(number, "RFC 5545 3.1", "found a bare LF, want CR LF at the end of a line")
			}
			line = bytes.TrimSuffix(line, []byte{'\r'})
		} else {
			f.add(number, "RFC 5545 3.1", "found the end of the file within a line, want CR LF at the end of every line")
		}
		physical(line, number, f)
		switch {
		case len(line) > 0 && (line[0] == ' ' || line[0] == '\t'):
			if len(unfolded) == 0 {
				f.add(number, "RFC 5545 3.1", "found a continuation of nothing")
			}
			unfolded = append(unfolded, line[1:]...)
		default:
			end(at)
			start, first = at, number
			unfolded = append(unfolded, line...)
			if len(line) == 0 {
				f.add(number, "RFC 5545 3.1", "found an empty line, want a content line")
			}
		}
		at = next
	}
	end(len(data))
	return lines
}

// physical checks what can be seen of a line before it is unfolded.
func physical(line []byte, number int, f *findings) {
	if len(line) > maxOctets {
		f.add(number, "RFC 5545 3.1", "found a line of %d octets, want at most %d: fold it", len(line), maxOctets)
	}
	if !utf8.Valid(line) {
		// Either the text is not UTF-8 or a fold has split a character.
		f.add(number, "RFC 5545 3.1", "found bytes that are not UTF-8 by themselves, want no fold within a character")
	}
	if number == 1 && bytes.HasPrefix(line, []byte("\ufeff")) {
		f.add(number, "RFC 5545 3.4", "found a byte order mark, want BEGIN:VCALENDAR at once")
	}
	for i := 0; i < len(line); {
		r, n := utf8.DecodeRune(line[i:])
		// CONTROL is %x00-08 / %x0A-1F / %x7F: all but the tab. The C1 controls are no ASCII, but no text either.
		if r < 0x20 && r != '\t' || r >= 0x7f && r < 0xa0 {
			f.add(number, "RFC 5545 3.1", "found control character %U, want none but the tab", r)
			return
		}
		i += n
	}
}

// contentLine takes an unfolded line apart: name *(";" param) ":" value.
func contentLine(s string, number int, f *findings) (Line, bool) {
	i := strings.IndexAny(s, ":;")
	if i < 0 {
		f.add(number, "RFC 5545 3.1", "found %s, want NAME:value", short(s))
		return Line{}, false
	}
	l := Line{Number: number, Name: strings.ToUpper(s[:i])}
	if !isToken(l.Name) {
		f.add(number, "RFC 5545 3.1", "found the name %s, want letters, digits and hyphens", short(s[:i]))
		return Line{}, false
	}
	s = s[i:]
	for s[0] == ';' {
		s = s[1:]
		eq := strings.IndexByte(s, '=')
		if eq < 0 || !isToken(s[:eq]) {
			f.add(number, "RFC 5545 3.2", "found the parameter %s, want NAME=value", short(s))
			return Line{}, false
		}
		p := Param{Name: strings.ToUpper(s[:eq])}
		s = s[eq+1:]
		for {
			var value string
			if strings.HasPrefix(s, `"`) {
				end := strings.IndexByte(s[1:], '"')
				if end < 0 {
					f.add(number, "RFC 5545 3.2", "found a quote that is not closed in parameter %s", p.Name)
					return Line{}, false
				}
				value, s = s[1:end+1], s[end+2:]
			} else {
				end := strings.IndexAny(s, `,;:"`)
				if end < 0 {
					f.add(number, "RFC 5545 3.1", "found no colon after parameter %s", p.Name)
					return Line{}, false
				}
				value, s = s[:end], s[end:]
			}
			if strings.Contains(value, `\`) {
				f.add(number, "RFC 6868 3", `found a backslash in parameter %s, which escapes nothing there`, p.Name)
			}
			p.Values = append(p.Values, value)
			if !strings.HasPrefix(s, ",") {
				break
			}
			s = s[1:]
		}
		if s == "" || s[0] != ';' && s[0] != ':' {
			f.add(number, "RFC 5545 3.2", "found %s after parameter %s, want a semicolon or a colon", short(s), p.Name)
			return Line{}, false
		}
		for _, q := range l.Params {
			if q.Name == p.Name {
				f.add(number, "RFC 5545 3.2", "found parameter %s twice", p.Name)
			}
		}
		if len(l.Params) == maxParams {
			f.add(number, "RFC 5545 3.2", "found more than %d parameters", maxParams)
			return Line{}, false
		}
		l.Params = append(l.Params, p)
	}
	l.Value = s[1:]
	return l, true
}

// maxParams and maxDepth bound the work that a hostile file can ask for; feeds have at most one and three.
const (
	maxParams = 16
	maxDepth  = 8
)

// nest builds the tree of components: one VCALENDAR and nothing beside it.
func nest(lines []Line, size int, f *findings) *Component {
	if len(lines) == 0 {
		if len(*f) == 0 {
			f.add(0, "RFC 5545 3.4", "found no content line, want BEGIN:VCALENDAR")
		}
		return nil
	}
	if lines[0].Name != "BEGIN" || !strings.EqualFold(lines[0].Value, "VCALENDAR") {
		f.add(lines[0].Number, "RFC 5545 3.4", "found %s first, want BEGIN:VCALENDAR", short(lines[0].Name+":"+lines[0].Value))
		return nil
	}
	var open []*Component
	var root *Component
	for _, l := range lines {
		switch {
		case root != nil && len(open) == 0:
			f.add(l.Number, "RFC 5545 3.4", "found %s after END:VCALENDAR, want one calendar and nothing after it", l.Name)
			return root
		case l.Name == "BEGIN":
			c := &Component{Name: strings.ToUpper(l.Value), Line: l.Number, Start: l.Start, End: size}
			if len(open) == maxDepth {
				f.add(l.Number, "RFC 5545 3.6", "found components nested more than %d deep", maxDepth)
				return nil
			}
			if len(open) == 0 {
				root = c
			} else {
				parent := open[len(open)-1]
				parent.Children = append(parent.Children, c)
			}
			open = append(open, c)
		case l.Name == "END":
			c := open[len(open)-1]
			if c.Name != strings.ToUpper(l.Value) {
				f.add(l.Number, "RFC 5545 3.6", "found END:%s, want END:%s for line %d", short(l.Value), c.Name, c.Line)
				return nil
			}
			c.End = l.End
			open = open[:len(open)-1]
		default:
			c := open[len(open)-1]
			if len(c.Children) > 0 {
				f.add(l.Number, "RFC 5545 3.6", "found property %s after a component of %s, want properties first", l.Name, c.Name)
			}
			c.Lines = append(c.Lines, l)
		}
	}
	if len(open) > 0 {
		c := open[len(open)-1]
		f.add(c.Line, "RFC 5545 3.6", "found BEGIN:%s without END:%s: the file is cut short", c.Name, c.Name)
		return nil
	}
	return root
}

// isToken reports whether s is an iana-token or an x-name: letters, digits and hyphens.
func isToken(s string) bool {
	for i := range len(s) {
		c := s[i]
		if (c < 'a' || c > 'z') && (c < 'A' || c > 'Z') && (c < '0' || c > '9') && c != '-' {
			return false
		}
	}
	return s != ""
}

// short quotes the beginning of s.
func short(s string) string {
	const most = 40
	if len(s) > most {
		cut := most
		for cut > 0 && !utf8.RuneStart(s[cut]) {
			cut--
		}
		return fmt.Sprintf("%q…", s[:cut])
	}
	return fmt.Sprintf("%q", s)
}
