package strictyaml

import (
	"fmt"
	"strings"

	"gopkg.in/yaml.v3"

	"treewhen/phenology/civil"
	"treewhen/phenology/problem"
)

// Value is one value of a document: a scalar, a list or a map.
type Value struct {
	doc  *Document
	node *yaml.Node
	path string
	line int // of the key, 0 if the value has none
}

// Line returns the line of the value's key, or of the value itself where it has no key.
func (v Value) Line() int {
	if v.line > 0 {
		return v.line
	}
	return v.node.Line
}

// IsMap, IsList and IsScalar say what kind of value it is, for keys that take more than one kind.
func (v Value) IsMap() bool { return v.node.Kind == yaml.MappingNode }

// IsList reports whether the value is a list.
func (v Value) IsList() bool { return v.node.Kind == yaml.SequenceNode }

// IsScalar reports whether the value is text, a number, a date or the like.
func (v Value) IsScalar() bool { return v.node.Kind == yaml.ScalarNode && v.node.Tag != "!!null" }

// Report notes a problem with the value.
func (v Value) Report(text string, args ...any) { v.doc.add(v.node.Line, v.path, text, args...) }

// want notes that the value is not of the kind that is wanted. Nulls and tags have been noted already.
func (v Value) want(what string) {
	if v.node.Tag == "!!null" || v.node.Style&yaml.TaggedStyle != 0 {
		return
	}
	v.Report("found %s, want %s", describe(v.node), what)
}

// scalar returns the text of a scalar.
func (v Value) scalar(what string) (string, bool) {
	if !v.IsScalar() || v.node.Style&yaml.TaggedStyle != 0 {
		v.want(what)
		return "", false
	}
	return v.node.Value, true
}

// Map returns the value as keys and values.
func (v Value) Map() (*Map, bool) {
	if !v.IsMap() {
		v.want("keys and values")
		return nil, false
	}
	return newMap(v), true
}

// List returns the items of a list, which may be empty.
func (v Value) List() ([]Value, bool) {
	if !v.IsList() {
		v.want("a list")
		return nil, false
	}
	items := make([]Value, len(v.node.Content))
	for i, n := range v.node.Content {
		items[i] = Value{doc: v.doc, node: n, path: index(v.path, i)}
	}
	return items, true
}

// Text returns text that is not blank, without blanks around it. A number or a date is taken as it is written.
func (v Value) Text() (string, bool) {
	s, ok := v.scalar("text")
	if !ok {
		return "", false
	}
	s = strings.TrimSpace(s)
	if s == "" {
		v.Report("found blank text, want text, or the key left out")
		return "", false
	}
	if err := problem.CheckText(s, 0, true); err != nil {
		v.Report("%v", err)
		return "", false
	}
	return s, true
}

// Name returns text of one line, of [problem.MostName] characters at most: what stands in titles.
func (v Value) Name() (string, bool) {
	s, ok := v.Text()
	if !ok {
		return "", false
	}
	if err := problem.CheckText(s, problem.MostName, false); err != nil {
		v.Report("%v", err)
		return "", false
	}
	return s, true
}

// Texts returns a list of text.
func (v Value) Texts() ([]string, bool) {
	if v.IsScalar() {
		v.Report("found %s, want a list such as [%s]", describe(v.node), clip(v.node.Value))
		return nil, false
	}
	return all(v, Value.Text)
}

// Float returns a number.
func (v Value) Float() (float64, bool) { return numeric(v, decimal) }

// FloatIn returns a number from low to high.
func (v Value) FloatIn(low, high float64) (float64, bool) {
	f, ok := v.Float()
	if ok && (f < low || f > high) {
		v.Report("found %v, want a number from %v to %v", f, low, high)
		return 0, false
	}
	return f, ok
}

// Floats returns a list of numbers.
func (v Value) Floats() ([]float64, bool) { return all(v, Value.Float) }

// Int returns a whole number.
func (v Value) Int() (int, bool) { return numeric(v, whole) }

// IntIn returns a whole number from low to high.
func (v Value) IntIn(low, high int) (int, bool) {
	n, ok := v.Int()
	if ok && (n < low || n > high) {
		v.Report("found %d, want a whole number from %d to %d", n, low, high)
		return 0, false
	}
	return n, ok
}

// Bool returns true or false.
func (v Value) Bool() (value, ok bool) {
	s, ok := v.scalar("true or false")
	if !ok {
		return false, false
	}
	if quoted(v.node) || s != "true" && s != "false" {
		v.want("true or false")
		return false, false
	}
	return s == "true", true
}

// Date returns a date written YYYY-MM-DD.
func (v Value) Date() (civil.Date, bool) { return As(v, civil.Parse) }

// MonthDay returns a day of every year, written MM-DD.
func (v Value) MonthDay() (civil.MonthDay, bool) { return As(v, civil.ParseMonthDay) }

// Quantity returns a number with its unit, in the dimension's first unit.
func (v Value) Quantity(d Dimension) (float64, bool) {
	low, _, ok := v.quantities(d, false)
	return low, ok
}

// QuantityRange returns a quantity, or a run of them as in "1 to 5 C". Low and high are equal for a single one.
func (v Value) QuantityRange(d Dimension) (low, high float64, ok bool) { return v.quantities(d, true) }

// FloatRange returns a number, or a run of them as in "3 to 7". Low and high are equal for a single one.
func (v Value) FloatRange() (low, high float64, ok bool) { return v.quantities(Dimension{}, true) }

// As returns a scalar as parse reads it. What parse says is wrong should read "found ..., want ...".
func As[T any](v Value, parse func(string) (T, error)) (T, bool) {
	var zero T
	s, ok := v.scalar("a single value")
	if !ok {
		return zero, false
	}
	t, err := parse(s)
	if err != nil {
		v.Report("%s", clipLong(err))
		return zero, false
	}
	return t, true
}

// clipLong keeps the message of a parser that repeats its input to a readable length.
func clipLong(err error) string {
	s := err.Error()
	const most = 400
	if len(s) > most {
		return strings.ToValidUTF8(s[:most], "") + "…"
	}
	return s
}

// all reads every item of a list; ok is false if one of them is wrong.
func all[T any](v Value, read func(Value) (T, bool)) ([]T, bool) {
	items, ok := v.List()
	if !ok {
		return nil, false
	}
	list := make([]T, 0, len(items))
	for _, item := range items {
		t, good := read(item)
		if !good {
			ok = false
			continue
		}
		list = append(list, t)
	}
	return list, ok
}

// OneOf returns a word that is one of those allowed.
func OneOf[T ~string](v Value, allowed ...T) (T, bool) {
	words := make([]string, len(allowed))
	for i, w := range allowed {
		words[i] = string(w)
	}
	s, ok := v.scalar("one of " + strings.Join(words, ", "))
	if !ok {
		return "", false
	}
	for _, w := range allowed {
		if string(w) == s {
			return w, true
		}
	}
	want := "one of " + strings.Join(words, ", ")
	if near := problem.Nearest(s, words); near != "" {
		want = fmt.Sprintf("%s; did you mean %q?", want, near)
	}
	v.Report("found %q, want %s", clip(s), want)
	return "", false
}
