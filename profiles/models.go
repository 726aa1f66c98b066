package profiles

import (
	"time"

	"treewhen/phenology"
	"treewhen/phenology/civil"
	"treewhen/profiles/strictyaml"
)

// modelKinds says how each kind of model is written in a profile. A kind that is not here cannot be read.
var modelKinds = []struct {
	kind string
	read func(phenology.Phase, *strictyaml.Map) phenology.Model
}{
	{phenology.ThermalTime{}.Kind(), thermalTime},
	{phenology.Lag{}.Kind(), lag},
	{phenology.RunCount{}.Kind(), runCount},
	{phenology.RunShare{}.Kind(), runShare},
	{phenology.LastRun{}.Kind(), lastRun},
}

// model reads one model of a phase, nil if its kind is not known.
func (p *profile) model(phase phenology.Phase, m *strictyaml.Map) phenology.Model {
	m.Required("kind")
	kinds := make([]string, len(modelKinds))
	for i, k := range modelKinds {
		kinds[i] = k.kind
	}
	kind, ok := strictyaml.GetOneOf(m, "kind", kinds...)
	if !ok {
		return nil
	}
	for _, k := range modelKinds {
		if k.kind == kind {
			defer m.Done()
			return k.read(phase, m)
		}
	}
	return nil
}

func thermalTime(phase phenology.Phase, m *strictyaml.Map) phenology.Model {
	m.Required("start", "base", "requirement")
	t := phenology.ThermalTime{Method: phenology.SineForcing}
	if start, ok := m.MonthDay("start"); ok {
		t.Start = seasonDay(start, phase)
	}
	t.Base, _ = m.Quantity("base", strictyaml.Temperature)
	t.Requirement, _ = m.Float("requirement")
	if method, ok := strictyaml.GetOneOf(m, "method", phenology.SineForcing, phenology.AverageForcing); ok {
		t.Method = method
	}
	t.DayLengthExponent, _ = m.FloatIn("day-length-exponent", 0, 20)
	return t
}

// seasonDay turns a day of the northern calendar into a day of the season. For what happens before the leaves turn, a
// day from September on is of the autumn before, and so not above 0.
func seasonDay(d civil.MonthDay, phase phenology.Phase) int {
	day := d.YearDay()
	if phase < phenology.LeafColor && d.Month >= time.September {
		day -= 365
	}
	return day
}

func lag(_ phenology.Phase, m *strictyaml.Map) phenology.Model {
	m.Required("after", "days", "spread")
	var l phenology.Lag
	l.After, _ = strictyaml.GetAs(m, "after", phenology.ParsePhase)
	l.Days, _ = m.FloatIn("days", -365, 365)
	l.Spread, _ = m.Float("spread")
	return l
}

func runCount(phase phenology.Phase, m *strictyaml.Map) phenology.Model {
	m.Required("start", "runs")
	var r phenology.RunCount
	if start, ok := m.MonthDay("start"); ok {
		r.Start = seasonDay(start, phase)
	}
	r.Runs, _ = m.Float("runs")
	return r
}

func runShare(phase phenology.Phase, m *strictyaml.Map) phenology.Model {
	m.Required("start", "share", "before")
	var r phenology.RunShare
	if start, ok := m.MonthDay("start"); ok {
		r.Start = seasonDay(start, phase)
	}
	r.Share, _ = m.Float("share")
	r.Before, _ = strictyaml.GetAs(m, "before", phenology.ParsePhase)
	return r
}

func lastRun(phase phenology.Phase, m *strictyaml.Map) phenology.Model {
	m.Required("start", "before")
	var r phenology.LastRun
	if start, ok := m.MonthDay("start"); ok {
		r.Start = seasonDay(start, phase)
	}
	r.Before, _ = strictyaml.GetAs(m, "before", phenology.ParsePhase)
	return r
}

// dependsOn returns the phase that a model counts from, and whether there is one.
func dependsOn(m phenology.Model) (phenology.Phase, bool) {
	switch m := m.(type) {
	case phenology.Lag:
		return m.After, true
	case phenology.RunShare:
		return m.Before, true
	case phenology.LastRun:
		return m.Before, true
	}
	return 0, false
}
