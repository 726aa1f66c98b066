package profiles

import (
	"fmt"
	"slices"
	"strings"

	"treewhen/phenology"
	"treewhen/phenology/problem"
)

// Library is a set of species. Names are known from the start; a species is decoded when it is first asked for, and
// then is the same for all who ask. The set does not change, so any number of goroutines may use it.
type Library struct {
	entries []*entry          // by id
	names   map[string]*entry // by folded name
	notes   problem.List
}

// entry is a species of a library.
type entry struct {
	id, botanical string
	common        []string
	file          string // for problems
	species       func() *phenology.Species
}

// decoded is the entry of a species that is at hand.
func decoded(s *phenology.Species, file string) *entry {
	return &entry{s.ID, s.Botanical, s.Common, file, func() *phenology.Species { return s }}
}

// index makes the table of names, and returns each name that two species lay claim to.
func (l *Library) index() (problems problem.List) {
	l.names = make(map[string]*entry, 5*len(l.entries))
	for _, e := range l.entries {
		for _, name := range append([]string{e.id, e.botanical}, e.common...) {
			key := fold(name)
			other, taken := l.names[key]
			if taken && other != e {
				problems.Add(e.file, 0, "common", "found name %q, which %s has too (%s), want it in one of them",
					name, other.id, other.file)
				continue
			}
			l.names[key] = e
		}
	}
	return problems
}

// Len returns how many species there are.
func (l *Library) Len() int { return len(l.entries) }

// All returns every species, by id. It decodes those that nobody has asked for yet: who wants a few asks
// [Library.Lookup], and who looks for one that has something, [Library.Any].
func (l *Library) All() []*phenology.Species {
	all := make([]*phenology.Species, len(l.entries))
	for i, e := range l.entries {
		all[i] = e.species()
	}
	return all
}

// Any reports whether something holds of any species.
func (l *Library) Any(holds func(*phenology.Species) bool) bool {
	return slices.ContainsFunc(l.entries, func(e *entry) bool { return holds(e.species()) })
}

// Notes returns what is doubtful about the profiles, though not wrong: a source that nothing cites, a state of a trait
// that is in no other profile.
func (l *Library) Notes() problem.List { return slices.Clone(l.notes) }

// Lookup returns the species that a name is the id, the botanical or a common name of; case, hyphens and spaces do not
// count.
func (l *Library) Lookup(name string) (*phenology.Species, bool) {
	e, ok := l.names[fold(name)]
	if !ok {
		return nil, false
	}
	return e.species(), true
}

// Find is [Library.Lookup] with an error that says what was found, and which names are near it.
func (l *Library) Find(name string) (*phenology.Species, error) {
	if s, ok := l.Lookup(name); ok {
		return s, nil
	}
	if near := l.Nearest(name); len(near) > 0 {
		return nil, fmt.Errorf("found species %q, which is not in the library; did you mean %s?",
			name, strings.Join(near, " or "))
	}
	return nil, fmt.Errorf("found species %q, which is not among the %d of the library (treewhen species lists them)",
		name, l.Len())
}

// Nearest returns the names most like one that is not in the library: slips of the pen, then names that hold it as a
// part, such as "maple". It may return none, and at most five.
func (l *Library) Nearest(name string) []string {
	const most = 5
	var all, near []string
	for _, e := range l.entries {
		all = append(all, e.id)
		all = append(all, e.common...)
		all = append(all, e.botanical)
	}
	if slip := problem.Nearest(name, all); slip != "" {
		return []string{slip}
	}
	part := fold(name)
	if len(part) < 3 {
		return nil
	}
	for _, e := range l.entries {
		for _, n := range append(slices.Clone(e.common), e.botanical) {
			if len(near) < most && strings.Contains(fold(n), part) {
				near = append(near, n)
				break
			}
		}
	}
	return near
}

// fold brings the spellings of a name together: Box elder, box-elder, boxelder.
func fold(name string) string {
	return strings.Map(func(r rune) rune {
		switch r {
		case ' ', '-', '_', '\'', '’', '.', '×', '\t':
			return -1
		}
		return r
	}, strings.ToLower(name))
}

// slug is the id that goes with a botanical name: its words in lower case, joined by hyphens. The sign of a hybrid is
// left out.
func slug(botanical string) string {
	words := strings.FieldsFunc(strings.ToLower(botanical), func(r rune) bool { return r < 'a' || r > 'z' })
	words = slices.DeleteFunc(words, func(w string) bool { return w == "x" })
	return strings.Join(words, "-")
}
