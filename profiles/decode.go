package profiles

import (
	"io"
	"regexp"

	"treewhen/phenology"
	"treewhen/phenology/problem"
	"treewhen/profiles/strictyaml"
)

// profile is one species being read.
type profile struct {
	doc     *strictyaml.Document
	species *phenology.Species
	sources Sources
	cited   map[string]bool
	notes   problem.List
}

// Decode reads one profile and checks it, citing the built-in bibliography and the profile's own sources. The error is
// a [problem.List], in which name is the file.
func Decode(r io.Reader, name string) (*phenology.Species, error) {
	p, err := decode(r, name, sharedSources())
	if err != nil {
		return nil, err
	}
	return p.species, nil
}

func decode(r io.Reader, name string, shared Sources) (*profile, error) {
	doc, err := strictyaml.Parse(r, name)
	if err != nil {
		return nil, err
	}
	p := &profile{doc: doc, species: &phenology.Species{}, sources: shared, cited: map[string]bool{}}
	p.read(doc.Map())
	if err := doc.Err(); err != nil {
		return nil, err // the biology of half a profile is not worth judging
	}
	for _, found := range Check(p.species) {
		doc.Report(found.Field, "%s", found.Text)
	}
	for _, found := range doubts(p.species) {
		p.notes.Add(name, doc.Line(found.Field), found.Field, "%s", found.Text)
	}
	return p, doc.Err()
}

func (p *profile) read(m *strictyaml.Map) {
	s := p.species
	m.Required("id", "botanical", "common", "family", "sap", "phases")
	own, hasOwn := m.Map("sources")
	if hasOwn {
		p.sources = addSources(own, p.sources)
	}
	s.ID, _ = m.Text("id")
	s.Botanical, _ = m.Text("botanical")
	s.Common, _ = m.Texts("common")
	s.Family, _ = m.Text("family")
	if r, ok := m.Map("range"); ok {
		s.Range = p.rangeBox(r)
	}
	if sap, ok := m.Map("sap"); ok {
		s.Sap = p.sap(sap)
	}
	if phases, ok := m.Map("phases"); ok {
		s.Phases = p.phases(phases)
	}
	if seed, ok := m.Map("seed"); ok {
		s.Seed = p.seed(seed)
	}
	s.Traits = each(m, "traits", p.trait)
	s.Cautions = each(m, "cautions", p.caution)
	s.Regulated = each(m, "regulated", p.regulation)
	s.Disputes = each(m, "disputes", p.dispute)
	m.Done()
	if hasOwn {
		for _, key := range own.Keys() {
			if !p.cited[key] {
				path := "sources." + key
				p.notes.Add(p.doc.Name(), p.doc.Line(path), path, "found a source that no figure cites")
			}
		}
	}
}

// each reads a list of maps, and tells each map that it has been read.
func each[T any](m *strictyaml.Map, key string, read func(*strictyaml.Map) T) []T {
	maps, _ := m.Maps(key)
	var list []T
	for _, item := range maps {
		list = append(list, read(item))
		item.Done()
	}
	return list
}

func (p *profile) rangeBox(m *strictyaml.Map) *phenology.Range {
	defer m.Done()
	m.Required("south", "north", "west", "east")
	var r phenology.Range
	readBox(m, &r)
	r.Note, _ = m.Text("note")
	r.Source = p.source(m)
	r.Parts = each(m, "parts", func(part *strictyaml.Map) phenology.Range {
		part.Required("south", "north", "west", "east")
		box := phenology.Range{Source: r.Source}
		readBox(part, &box)
		return box
	})
	if wild, ok := m.Map("naturalized"); ok {
		wild.Required("south", "north", "west", "east")
		r.Naturalized = &phenology.Range{Source: r.Source}
		readBox(wild, r.Naturalized)
		wild.Done()
	}
	return &r
}

func readBox(m *strictyaml.Map, r *phenology.Range) {
	r.South, _ = m.FloatIn("south", -90, 90)
	r.North, _ = m.FloatIn("north", -90, 90)
	r.West, _ = m.FloatIn("west", -180, 180)
	r.East, _ = m.FloatIn("east", -180, 180)
}

func (p *profile) sap(m *strictyaml.Map) (sap phenology.Sap) {
	defer m.Done()
	m.Required("tapped")
	sap.Tapped, _ = strictyaml.GetOneOf(m, "tapped",
		phenology.TappedCommonly, phenology.TappedSometimes, phenology.TappedNever)
	sap.Note, _ = m.Text("note")
	sap.Source = p.source(m)
	sap.SugarPercent = p.quantity(m, "sugar-percent", strictyaml.Value.FloatRange)
	sap.PerTap = p.quantity(m, "litres-per-tap", strictyaml.Value.FloatRange)
	if sap.Tapped == phenology.TappedNever {
		if m.Has("run") {
			m.ReportKey("run", "found a run rule for a species that is not tapped, want it left out")
		}
		return sap
	}
	m.Required("run")
	switch v, ok := m.Get("run"); {
	case !ok:
	case v.IsScalar():
		strictyaml.OneOf(v, "none") // tapped, but what makes its sap run is not known well enough to date it
	default:
		if run, ok := v.Map(); ok {
			sap.Run = p.run(run)
		}
	}
	return sap
}

// run reads what makes sap run: a freeze and a thaw, or mild nights and days.
func (p *profile) run(m *strictyaml.Map) *phenology.RunRule {
	defer m.Done()
	rule := &phenology.RunRule{Drive: phenology.FreezeThaw}
	night, day := "min-below", "max-above"
	if m.Has("nights-above") || m.Has("days-above") {
		rule.Drive, night, day = phenology.RootPressure, "nights-above", "days-above"
	}
	m.Required(night, day)
	rule.Night.Low, rule.Night.High, _ = m.QuantityRange(night, strictyaml.Temperature)
	rule.Day.Low, rule.Day.High, _ = m.QuantityRange(day, strictyaml.Temperature)
	rule.Source = p.source(m)
	return rule
}

// quantity reads {value: ..., source: ...}, nil if it is not there.
func (p *profile) quantity(m *strictyaml.Map, key string,
	read func(strictyaml.Value) (low, high float64, ok bool)) *phenology.Quantity {
	q, ok := m.Map(key)
	if !ok {
		return nil
	}
	defer q.Done()
	q.Required("value")
	out := &phenology.Quantity{Source: p.source(q)}
	if v, ok := q.Get("value"); ok {
		out.Low, out.High, _ = read(v)
	}
	return out
}

// value is what a getter of a map returned: the zero value where there is nothing, or nothing right, which it told of.
func value[T any](v T, _ bool) T { return v }

func (p *profile) statement(m *strictyaml.Map) phenology.Statement {
	m.Required("text")
	return phenology.Statement{Text: value(m.Text("text")), Source: p.source(m)}
}

var seenForm = regexp.MustCompile(`^([a-z-]+(?:\+\d+)?) to ([a-z-]+(?:\+\d+)?)$`)

func (p *profile) trait(m *strictyaml.Map) (t phenology.Trait) {
	m.Required("organ", "name", "seen")
	t.Organ, _ = strictyaml.GetOneOf(m, "organ", organs...)
	t.Name, _ = m.Text("name")
	t.States, _ = m.Texts("states")
	t.Low, t.High, _ = m.FloatRange("measure")
	t.Unit, _ = m.Text("unit")
	t.Text, _ = m.Text("text")
	t.NeedsHandling, _ = m.Bool("handling")
	t.Source, t.Also = p.sourcesOf(m)
	if !m.Has("measure") {
		m.Required("states")
	} else if m.Required("unit"); m.Has("states") {
		m.ReportKey("states", "found states beside a measure, want one of the two")
	}
	if v, ok := m.Get("seen"); ok {
		text, _ := v.Text()
		phases := seenForm.FindStringSubmatch(text)
		switch {
		case text == "all-year":
			t.AllYear = true
		case phases == nil:
			v.Report("found %q, want all-year, or two moments such as bud-break+7 to leaf-color or august to bud-break",
				text)
		default:
			var err error
			if t.From, err = phenology.ParseMoment(phases[1]); err != nil {
				v.Report("%v", err)
			}
			if t.To, err = phenology.ParseMoment(phases[2]); err != nil {
				v.Report("%v", err)
			}
		}
	}
	return t
}

func (p *profile) caution(m *strictyaml.Map) phenology.Caution {
	m.Required("text")
	return phenology.Caution{
		Activities: value(m.Texts("activities")), InLeaf: value(m.Bool("in-leaf")), Text: value(m.Text("text")),
		Source: p.source(m),
	}
}

func (p *profile) regulation(m *strictyaml.Map) phenology.Regulation {
	m.Required("where", "text", "collecting")
	return phenology.Regulation{
		Where: value(m.Text("where")), Text: value(m.Text("text")), Collecting: value(m.Bool("collecting")),
		Source: p.source(m),
	}
}

func (p *profile) dispute(m *strictyaml.Map) phenology.Dispute {
	m.Required("about", "used", "other", "why")
	return phenology.Dispute{
		About: value(m.Text("about")), Used: value(m.Text("used")), Other: value(m.Text("other")),
		Why: value(m.Text("why")), Source: p.source(m),
	}
}
