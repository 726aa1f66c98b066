package strictyaml

import (
	"iter"
	"slices"
	"strings"

	"gopkg.in/yaml.v3"

	"treewhen/phenology/civil"
	"treewhen/phenology/problem"
)

// Map is keys and values being read. It remembers which keys were asked for: see [Map.Done].
type Map struct {
	Value
	keys   []string // in the file's order, each once
	values map[string]Value
	asked  []string // every key that a reader asked for, there or not
	known  map[string]bool
}

func newMap(v Value) *Map {
	m := &Map{Value: v, values: map[string]Value{}, known: map[string]bool{}}
	for i := 0; i+1 < len(v.node.Content); i += 2 {
		key := v.node.Content[i]
		if key.Kind != yaml.ScalarNode || key.Tag == "!!merge" {
			continue // noted when the document was parsed
		}
		if _, twice := m.values[key.Value]; twice {
			continue // likewise
		}
		m.keys = append(m.keys, key.Value)
		m.values[key.Value] = Value{
			doc: v.doc, node: v.node.Content[i+1], path: join(v.path, key.Value), line: key.Line,
		}
	}
	return m
}

// Get returns the value of a key as it stands.
func (m *Map) Get(key string) (Value, bool) {
	if !m.known[key] {
		m.known[key] = true
		m.asked = append(m.asked, key)
	}
	v, ok := m.values[key]
	return v, ok
}

// Has reports whether the key is there, whatever its value.
func (m *Map) Has(key string) bool {
	_, ok := m.Get(key)
	return ok
}

// Required notes each of the keys that is not there.
func (m *Map) Required(keys ...string) {
	for _, key := range keys {
		if !m.Has(key) {
			m.doc.add(m.Line(), m.path, "found no key %q, want it", key)
		}
	}
}

// ReportKey notes a problem with the value of a key, or with the map where the key is not there.
func (m *Map) ReportKey(key, text string, args ...any) {
	if v, ok := m.values[key]; ok {
		v.Report(text, args...)
		return
	}
	m.doc.add(m.Line(), join(m.path, key), text, args...)
}

// All returns the keys and values in the file's order, for maps whose keys are the user's own. All of them count as
// asked for.
func (m *Map) All() iter.Seq2[string, Value] {
	return func(yield func(string, Value) bool) {
		for _, key := range m.keys {
			m.known[key] = true
		}
		for _, key := range m.keys {
			if !yield(key, m.values[key]) {
				return
			}
		}
	}
}

// Done notes every key that nobody asked for, and offers the nearest one that somebody did.
func (m *Map) Done() {
	for _, key := range m.keys {
		if m.known[key] {
			continue
		}
		v := m.values[key]
		if m.doc.full() {
			m.doc.add(v.Line(), m.path, "")
			continue
		}
		if near := problem.Nearest(key, m.asked); near != "" {
			m.doc.add(v.Line(), m.path, "found unknown key %q; did you mean %q?", clip(key), near)
			continue
		}
		m.doc.add(v.Line(), m.path, "found unknown key %q, want one of %s", clip(key), strings.Join(m.asked, ", "))
	}
}

// get reads a key with one of the getters of [Value].
func get[T any](m *Map, key string, read func(Value) (T, bool)) (T, bool) {
	v, ok := m.Get(key)
	if !ok {
		var zero T
		return zero, false
	}
	return read(v)
}

// Text returns text: see [Value.Text].
func (m *Map) Text(key string) (string, bool) { return get(m, key, Value.Text) }

// Name returns the text of a key that stands in titles: one line, of [problem.MostName] characters at most.
func (m *Map) Name(key string) (string, bool) { return get(m, key, Value.Name) }

// Texts returns a list of text.
func (m *Map) Texts(key string) ([]string, bool) { return get(m, key, Value.Texts) }

// Float returns a number.
func (m *Map) Float(key string) (float64, bool) { return get(m, key, Value.Float) }

// FloatIn returns a number from low to high.
func (m *Map) FloatIn(key string, low, high float64) (float64, bool) {
	return get(m, key, func(v Value) (float64, bool) { return v.FloatIn(low, high) })
}

// Floats returns a list of numbers.
func (m *Map) Floats(key string) ([]float64, bool) { return get(m, key, Value.Floats) }

// FloatRange returns a number, or a run of them as in "3 to 7".
func (m *Map) FloatRange(key string) (low, high float64, ok bool) {
	v, ok := m.Get(key)
	if !ok {
		return 0, 0, false
	}
	return v.FloatRange()
}

// IntIn returns a whole number from low to high.
func (m *Map) IntIn(key string, low, high int) (int, bool) {
	return get(m, key, func(v Value) (int, bool) { return v.IntIn(low, high) })
}

// Bool returns true or false.
func (m *Map) Bool(key string) (value, ok bool) { return get(m, key, Value.Bool) }

// Date returns a date written YYYY-MM-DD.
func (m *Map) Date(key string) (civil.Date, bool) { return get(m, key, Value.Date) }

// MonthDay returns a day of every year, written MM-DD.
func (m *Map) MonthDay(key string) (civil.MonthDay, bool) { return get(m, key, Value.MonthDay) }

// Quantity returns a number with its unit, in the dimension's first unit.
func (m *Map) Quantity(key string, d Dimension) (float64, bool) {
	return get(m, key, func(v Value) (float64, bool) { return v.Quantity(d) })
}

// QuantityRange returns a quantity, or a run of them as in "1 to 5 C".
func (m *Map) QuantityRange(key string, d Dimension) (low, high float64, ok bool) {
	v, ok := m.Get(key)
	if !ok {
		return 0, 0, false
	}
	return v.QuantityRange(d)
}

// List returns the items of a list.
func (m *Map) List(key string) ([]Value, bool) { return get(m, key, Value.List) }

// Map returns the keys and values under a key.
func (m *Map) Map(key string) (*Map, bool) { return get(m, key, Value.Map) }

// Maps returns a list of keys and values.
func (m *Map) Maps(key string) ([]*Map, bool) {
	return get(m, key, func(v Value) ([]*Map, bool) { return all(v, Value.Map) })
}

// GetAs returns the value of a key as parse reads it: see [As].
func GetAs[T any](m *Map, key string, parse func(string) (T, error)) (T, bool) {
	return get(m, key, func(v Value) (T, bool) { return As(v, parse) })
}

// GetOneOf returns the value of a key that is one of the words allowed.
func GetOneOf[T ~string](m *Map, key string, allowed ...T) (T, bool) {
	return get(m, key, func(v Value) (T, bool) { return OneOf(v, allowed...) })
}

// Keys returns the keys in the file's order.
func (m *Map) Keys() []string { return slices.Clone(m.keys) }
