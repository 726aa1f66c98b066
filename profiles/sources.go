package profiles

import (
	"io"
	"maps"
	"regexp"
	"slices"

	"treewhen/phenology"
	"treewhen/phenology/problem"
	"treewhen/profiles/strictyaml"
)

// Sources is a bibliography: sources by the key that profiles cite them by.
type Sources map[string]phenology.Source

// marks are the marks that a source in a bibliography can have.
var marks = []phenology.Mark{
	phenology.MarkSeen, phenology.MarkMemory, phenology.MarkPractice, phenology.MarkComputed, phenology.MarkFitted,
}

var keyForm = regexp.MustCompile(`^[a-z0-9]+(-[a-z0-9]+)*$`)

// readSources reads a bibliography of its own file, and returns it together with the one it adds to.
func readSources(r io.Reader, name string, shared Sources) (Sources, error) {
	doc, err := strictyaml.Parse(r, name)
	if err != nil {
		return nil, err
	}
	return addSources(doc.Map(), shared), doc.Err()
}

// addSources reads keys with citations and marks, and returns them together with those there are.
func addSources(m *strictyaml.Map, shared Sources) Sources {
	all := maps.Clone(shared)
	if all == nil {
		all = Sources{
			phenology.FromMemory.Key:     phenology.FromMemory,
			phenology.CommonPractice.Key: phenology.CommonPractice,
		}
	}
	for key, v := range m.All() {
		entry, ok := v.Map()
		if !ok {
			continue
		}
		entry.Required("citation", "mark")
		citation, _ := entry.Text("citation")
		mark, _ := strictyaml.GetOneOf(entry, "mark", marks...)
		entry.Done()
		switch other, taken := shared[key]; {
		case !keyForm.MatchString(key):
			v.Report("found source key %q, want lower-case letters, digits and hyphens", key)
		case key == phenology.FromMemory.Key || key == phenology.CommonPractice.Key:
			v.Report("found source key %q, which is reserved, want another", key)
		case taken && (other.Citation != citation || other.Mark != mark):
			v.Report("found source key %q, which is another source in the shared bibliography, want a key of its own",
				key)
		default:
			all[key] = phenology.Source{Key: key, Citation: citation, Mark: mark}
		}
	}
	return all
}

// source reads the required source of the figures beside it.
func (p *profile) source(m *strictyaml.Map) phenology.Source {
	m.Required("source")
	if v, ok := m.Get("source"); ok {
		return p.sourceAt(v)
	}
	return phenology.Source{}
}

// sourcesOf reads one required source or a list of them.
func (p *profile) sourcesOf(m *strictyaml.Map) (first phenology.Source, also []phenology.Source) {
	v, ok := m.Get("source")
	if !ok || !v.IsList() {
		return p.source(m), nil
	}
	list, _ := v.List()
	for i, v := range list {
		if s := p.sourceAt(v); i == 0 {
			first = s
		} else {
			also = append(also, s)
		}
	}
	if len(list) == 0 {
		m.ReportKey("source", "found an empty list, want a source")
	}
	return first, also
}

func (p *profile) sourceAt(v strictyaml.Value) phenology.Source {
	key, ok := v.Text()
	if !ok {
		return phenology.Source{}
	}
	s, ok := p.sources[key]
	if ok {
		p.cited[key] = true
	} else if near := problem.Nearest(key, slices.Sorted(maps.Keys(p.sources))); near != "" {
		v.Report("found source %q, which is in no bibliography; did you mean %q?", key, near)
	} else {
		v.Report("found source %q, which is in no bibliography, want one of the keys under sources, memory or "+
			"common-practice", key)
	}
	return s
}
