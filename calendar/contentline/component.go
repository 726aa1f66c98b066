package contentline

import "strings"

// Component is what stands between a BEGIN and its END: RFC 5545 section 3.6.
type Component struct {
	Name       string // in upper case
	Said       string // as it is written
	Line       int    // of its BEGIN
	Start, End int    // its bytes, BEGIN and END lines included; End is 0 until that is found
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

// First returns the first property of a name, one without a value if there is none.
func (c *Component) First(name string) Line {
	for _, l := range c.Lines {
		if l.Name == name {
			return l
		}
	}
	return Line{}
}

// Value returns the value of the first property of a name as written, "" if there is none.
func (c *Component) Value(name string) string { return c.First(name).Value }

// MaxDepth is how deep components may be nested; feeds have three within each other.
const MaxDepth = 8

// Nesting is the components that have begun and not ended, each within the one before it.
type Nesting []*Component

// Innermost returns the component that a line stands in, nil if it stands in none.
func (n Nesting) Innermost() *Component {
	if len(n) == 0 {
		return nil
	}
	return n[len(n)-1]
}

// Begin begins a component of a name within the innermost one, at the line that a reader has read last. It returns nil
// if that would be deeper than [MaxDepth].
func (n *Nesting) Begin(name string, r *Reader) *Component {
	if len(*n) == MaxDepth {
		return nil
	}
	c := &Component{Name: strings.ToUpper(name), Said: name, Line: r.Number, Start: r.Start}
	*n = append(*n, c)
	return c
}

// End ends the innermost component of a name. It returns that one, nil if there is none, and those within it that were
// broken off.
func (n *Nesting) End(name string, r *Reader) (ended *Component, broken []*Component) {
	name = strings.ToUpper(name)
	for i := len(*n) - 1; i >= 0; i-- {
		if c := (*n)[i]; c.Name == name {
			broken, *n, c.End = (*n)[i+1:], (*n)[:i], r.End
			return c, broken
		}
	}
	return nil, nil
}

// Parse takes a file apart that is one VCALENDAR and nothing beside it, and returns every fault in the order of lines.
// The component is nil where they leave nothing to go on with.
func Parse(data []byte) (*Component, []Fault) {
	t := tree{Reader: NewReader(data, nil, new(Faults))}
	for reading := true; t.Next(); {
		if len(t.Text) == 0 {
			continue
		}
		if l, ok := t.Line(); ok && reading {
			reading = t.add(l)
		}
	}
	switch c := t.open.Innermost(); {
	case c != nil && t.root != nil:
		t.faults.Add(c.Line, "RFC 5545 3.6", "found BEGIN:%s without END:%s: the file is cut short", c.Name, c.Name)
		t.root = nil
	case len(*t.faults) == 0 && t.root == nil:
		t.faults.Add(0, "RFC 5545 3.4", "found no content line, want BEGIN:VCALENDAR")
	}
	return t.root, *t.faults
}

type tree struct {
	*Reader
	open Nesting
	root *Component
}

// add puts a line in its place, and returns whether the next one has a place.
func (t *tree) add(l Line) bool {
	in := t.open.Innermost()
	fail := func(clause, format string, args ...any) bool {
		t.faults.Add(l.Number, clause, format, args...)
		t.root = nil
		return false
	}
	switch {
	case t.root == nil && (l.Name != "BEGIN" || !strings.EqualFold(l.Value, "VCALENDAR")):
		return fail("RFC 5545 3.4", "found %s first, want BEGIN:VCALENDAR", Short(l.Name+":"+l.Value))
	case t.root != nil && in == nil:
		t.faults.Add(l.Number, "RFC 5545 3.4", "found %s after END:VCALENDAR, want one calendar and nothing after it",
			l.Name)
		return false
	case l.Name == "BEGIN":
		c := t.open.Begin(l.Value, t.Reader)
		switch {
		case c == nil:
			return fail("RFC 5545 3.6", "found components nested more than %d deep", MaxDepth)
		case in == nil:
			t.root = c
		default:
			in.Children = append(in.Children, c)
		}
	case l.Name == "END":
		if c, _ := t.open.End(l.Value, t.Reader); c != in {
			return fail("RFC 5545 3.6", "found END:%s, want END:%s for line %d", Short(l.Value), in.Name, in.Line)
		}
	default:
		if len(in.Children) > 0 {
			t.faults.Add(l.Number, "RFC 5545 3.6", "found property %s after a component of %s, want properties first",
				l.Name, in.Name)
		}
		in.Lines = append(in.Lines, l)
	}
	return true
}
