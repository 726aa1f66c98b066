package busy

import (
	"bytes"
	"strings"

	"treewhen/calendar/contentline"
)

// kept are the properties that are looked at.
var kept = []string{"BEGIN", "END", "DTSTART", "DTEND", "DURATION", "RRULE", "RDATE", "EXDATE", "EXRULE",
	"RECURRENCE-ID", "UID", "SUMMARY", "STATUS", "TRANSP", "TZID", "TZOFFSETFROM", "TZOFFSETTO", "FREEBUSY",
	"CATEGORIES", "DESCRIPTION",
	// Two properties of [MS-OXCICAL] 2.1.3.1.1.20, which a family of programs adds: whole days, and how busy.
	"X-MICROSOFT-CDO-ALLDAYEVENT", "X-MICROSOFT-CDO-BUSYSTATUS"}

// Of properties for people to read, only the beginning is kept.
const (
	maxProse = 200 // characters that are looked at
	maxBrief = 4*maxProse + 200
)

// keptBytes returns how many bytes are kept of the lines of a name, 0 if it is not looked at.
func keptBytes(name []byte) int {
	for _, k := range kept {
		switch {
		case len(name) != len(k) || !strings.EqualFold(string(name), k):
		case k == "CATEGORIES" || k == "DESCRIPTION":
			return maxBrief
		default:
			return maxLine + 1 // of which it is told
		}
	}
	return 0
}

// property takes the line apart that was read last.
func (f *file) property(r *contentline.Reader) (contentline.Line, bool) {
	if len(r.Text) > maxLine {
		f.add(r.Number, "", "found a line of more than %d characters, want one such as DTSTART;VALUE=DATE:20270503",
			maxLine)
		return contentline.Line{}, false
	}
	head := head(r.Text)
	if name, _, ok := bytes.Cut(head, []byte{';'}); ok {
		if keptBytes(name) == maxBrief { // whose parameters say nothing to us
			value := string(r.Text[min(len(head)+1, len(r.Text)):])
			return contentline.Line{Name: strings.ToUpper(string(name)), Number: r.Number, Value: value}, true
		}
		if bytes.Count(head, []byte{';'})+bytes.Count(head, []byte{','}) > maxParams {
			f.add(r.Number, "", "found a property with more than %d parameters, want one such as "+
				"DTSTART;VALUE=DATE:20270503", maxParams)
			return contentline.Line{}, false
		}
	}
	l, ok := r.Line()
	if !ok {
		f.add(r.Number, "", "found %s, want a property such as DTSTART;VALUE=DATE:20270503", clip(string(r.Text)))
	}
	return l, ok
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
