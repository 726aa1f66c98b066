package busy

import (
	"bytes"
	"slices"
	"strings"

	ics "github.com/arran4/golang-ical"
)

// kept are the properties that are looked at.
var kept = []string{"BEGIN", "END", "DTSTART", "DTEND", "DURATION", "RRULE", "RDATE", "EXDATE", "EXRULE", "RECURRENCE-ID", "UID", "SUMMARY",
	"STATUS", "TRANSP", "TZID", "TZOFFSETFROM", "TZOFFSETTO", "FREEBUSY", "CATEGORIES", "DESCRIPTION",
	// Two properties of [MS-OXCICAL] 2.1.3.1.1.20, which a family of programs adds: whole days, and how busy.
	"X-MICROSOFT-CDO-ALLDAYEVENT", "X-MICROSOFT-CDO-BUSYSTATUS"}

// Of properties for people to read, only the beginning is kept.
const (
	maxProse = 200 // characters that are looked at
	maxBrief = 4*maxProse + 200
)

func isBrief(name string) bool { return name == "CATEGORIES" || name == "DESCRIPTION" }

// contentLines takes a file apart into its content lines, RFC 5545 section 3.1, without the empty ones.
type contentLines struct {
	data      []byte
	at, lines int

	first int    // number of the line's first physical line
	text  []byte // unfolded, if it is looked at
	known bool   // it may be of a property that is looked at
	most  int    // bytes of it that are kept
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
	l.text, l.known, l.most = line, true, maxLine
	if i := bytes.IndexAny(line, ":;"); i >= 0 {
		var name string
		if name, l.known = keptName(line[:i]); isBrief(name) {
			l.most = maxBrief
			l.text = line[:min(len(line), maxBrief)]
		}
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
			l.text, folded = slices.Clone(l.text), true
		}
		if len(l.text) <= l.most {
			l.text = append(l.text, more[1:]...)
		}
	}
	l.at = next
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
	if name, _, _ := bytes.Cut(text, []byte{';'}); len(name) < len(text) {
		if name, ok := keptName(name); ok && isBrief(name) { // whose parameters say nothing to us
			head := head(text)
			return property{name: name, line: line, value: string(text[min(len(head)+1, len(text)):])}, true
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
