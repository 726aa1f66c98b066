package contentline

import "strings"

// Line is a content line: RFC 5545 section 3.1.
type Line struct {
	Number int    // of its first physical line, from 1
	Name   string // in upper case
	Params []Param
	Value  string // as written, TEXT still escaped
}

// Param is a parameter of a content line: RFC 5545 section 3.2.
type Param struct {
	Name   string   // in upper case
	Values []string // without their quotes, RFC 6868 decoded
}

// Param returns the first value of a parameter, "" if the line has none.
func (l Line) Param(name string) string {
	for _, p := range l.Params {
		if p.Name == name {
			return p.Values[0]
		}
	}
	return ""
}

// Keyword returns [Line.Param] in upper case, for values that are names: VALUE, RELATED, FBTYPE. RFC 5545 section 2
// makes these the same in either case.
func (l Line) Keyword(name string) string { return strings.ToUpper(l.Param(name)) }

// maxParams bounds the work that a hostile file can ask of who wants all faults; feeds have one parameter at most.
const maxParams = 16

// Line takes the line apart that was read last: name *(";" param) ":" value. It returns false if it is none.
func (r *Reader) Line() (Line, bool) {
	s, number := string(r.Text), r.Number
	i := strings.IndexAny(s, ":;")
	if i < 0 {
		r.faults.Add(number, "RFC 5545 3.1", "found %s, want NAME:value", Short(s))
		return Line{}, false
	}
	l := Line{Number: number, Name: strings.ToUpper(s[:i])}
	if !isToken(l.Name) {
		r.faults.Add(number, "RFC 5545 3.1", "found the name %s, want letters, digits and hyphens", Short(s[:i]))
		return Line{}, false
	}
	s = s[i:]
	for s[0] == ';' {
		p, rest, ok := r.param(s[1:])
		if !ok {
			return Line{}, false
		}
		if s = rest; r.faults != nil {
			for _, q := range l.Params {
				if q.Name == p.Name {
					r.faults.Add(number, "RFC 5545 3.2", "found parameter %s twice", p.Name)
				}
			}
			if len(l.Params) == maxParams {
				r.faults.Add(number, "RFC 5545 3.2", "found more than %d parameters", maxParams)
				return Line{}, false
			}
		}
		l.Params = append(l.Params, p)
	}
	l.Value = s[1:]
	return l, true
}

// param reads a parameter, param-name "=" param-value *("," param-value), and returns what follows it.
func (r *Reader) param(s string) (p Param, rest string, ok bool) {
	said, rest, ok := strings.Cut(s, "=")
	name := strings.TrimSpace(said)
	if !ok || name == "" || strings.ContainsAny(name, ";:") || r.faults != nil && !isToken(said) {
		r.faults.Add(r.Number, "RFC 5545 3.2", "found the parameter %s, want NAME=value", Short(s))
		return p, "", false
	}
	p.Name = strings.ToUpper(name)
	for {
		ends, end := `,;:"`, 0
		quoted := strings.HasPrefix(rest, `"`)
		if quoted {
			ends, rest = `"`, rest[1:]
		}
		for end < len(rest) && strings.IndexByte(ends, rest[end]) < 0 {
			if rest[end] == '\\' && r.faults == nil {
				end++ // what it escapes ends nothing
			}
			end++
		}
		switch {
		case end >= len(rest) && quoted:
			r.faults.Add(r.Number, "RFC 5545 3.2", "found a quote that is not closed in parameter %s", p.Name)
			return p, "", false
		case end >= len(rest):
			r.faults.Add(r.Number, "RFC 5545 3.1", "found no colon after parameter %s", p.Name)
			return p, "", false
		}
		p.Values = append(p.Values, r.paramValue(rest[:end], p.Name))
		if rest = rest[end:]; quoted {
			rest = rest[1:]
		}
		if !strings.HasPrefix(rest, ",") {
			break
		}
		rest = rest[1:]
	}
	if rest == "" || rest[0] != ';' && rest[0] != ':' {
		r.faults.Add(r.Number, "RFC 5545 3.2", "found %s after parameter %s, want a semicolon or a colon", Short(rest),
			p.Name)
		return p, "", false
	}
	return p, rest, true
}

// RFC 6868 section 3 decodes carets, and leaves those alone that encode nothing. A backslash escapes nothing there;
// many programs write one all the same, as in values of type TEXT.
var (
	carets      = strings.NewReplacer("^^", "^", "^n", "\n", "^'", `"`)
	backslashes = strings.NewReplacer(`\\`, `\`, `\`, "")
)

func (r *Reader) paramValue(s, name string) string {
	if strings.Contains(s, `\`) {
		r.faults.Add(r.Number, "RFC 6868 3", `found a backslash in parameter %s, which escapes nothing there`, name)
		if r.faults == nil {
			s = backslashes.Replace(s)
		}
	}
	if strings.Contains(s, "^") {
		s = carets.Replace(s)
	}
	return s
}

const tokens = "ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz0123456789-"

// isToken reports whether s is an iana-token or an x-name: letters, digits and hyphens.
func isToken(s string) bool { return s != "" && strings.Trim(s, tokens) == "" }
