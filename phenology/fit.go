package phenology

import (
	"math"
	"sync"
)

// Fittable is a model with one free number, its requirement, that observations can set once the rest is given.
type Fittable interface {
	Model

	// Need returns the model's requirement, in its own unit: degree-days, or what else it sums.
	Need() float64

	// WithNeed returns the model with another requirement.
	WithNeed(requirement float64) Model

	// gathered returns the requirement with which the model would date the phase on a day.
	gathered(p *pass, day float64) (float64, bool)
}

// Gathered returns the requirement with which a model would have dated a phase to a moment of a season: what had been
// summed up by then. It is NaN and false where the record lacks days, or more than a third of them were filled.
func (t *Temperatures) Gathered(m Fittable, s Season, day float64) (float64, bool) {
	p := t.plainPass(s)
	defer p.release()
	first, last := s.Date(m.begins()), s.Date(SeasonDay(math.Ceil(day)))
	if last < first || !t.coveredAlong(p.member, first, last) ||
		t.inventedShare(p.member, first, last) > refuseInvented {
		return math.NaN(), false
	}
	return m.gathered(p, day)
}

// DateBy returns the moment of a season at which a model has a phase, by the season's own temperatures. It serves
// models that look at temperatures alone, not those that [DependsOn] tells of. It is NaN and false where the
// requirement is not met, the record lacks days, or more than a third of them were filled.
func (t *Temperatures) DateBy(m Model, s Season) (float64, bool) {
	p := t.plainPass(s)
	defer p.release()
	x, ok := m.date(p)
	if !ok || t.inventedShare(p.member, x.from, x.to) > refuseInvented {
		return math.NaN(), false
	}
	return x.day, true
}

// noEstimator knows of no other phase and of no rule of sap. Passes only read it.
var noEstimator = &estimator{species: &Species{}}

// passes are used again: making room for one takes as long as dating a season by it.
var passes = sync.Pool{New: func() any { return &pass{estimator: noEstimator, mean: math.NaN()} }}

// plainPass is a pass along a season's own days, which is to be released.
func (t *Temperatures) plainPass(s Season) *pass {
	p := passes.Get().(*pass)
	p.temps, p.season, p.anchor = t, s, s.Anchor()
	p.member = member{cut: min(t.Last(), p.on(lastDay)), donor: s.Year, shift: -1 << 20}
	return p
}

// release lets go of a plain pass.
func (p *pass) release() {
	p.temps, p.usualOf = nil, [2]SeasonDay{}
	passes.Put(p)
}

// until sums a forcing from a day of the season on to a day, of which a part may count.
func (p *pass) until(f forcing, start SeasonDay, day float64) float64 {
	whole := math.Floor(day)
	first, last := p.on(start), p.on(SeasonDay(whole))
	sum := 0.0
	if last >= first {
		sum = p.total(f, first, last)
	}
	if part := day - whole; part > 0 && last+1 >= first {
		sum += part * p.total(f, last+1, last+1)
	}
	return sum
}

// Need returns the requirement, degree-days.
func (m ThermalTime) Need() float64 { return m.Requirement }

// WithNeed returns the model with another requirement.
func (m ThermalTime) WithNeed(requirement float64) Model {
	m.Requirement = requirement
	return m
}

func (m ThermalTime) gathered(p *pass, day float64) (float64, bool) {
	return p.until(m.forcing(), m.Start, day), true
}

// Need returns the requirement that is left after endless cold, degree-days.
func (m ChillingThermalTime) Need() float64 { return m.Requirement }

// WithNeed returns the model with another requirement; Extra keeps its proportion to it.
func (m ChillingThermalTime) WithNeed(requirement float64) Model {
	if m.Requirement > 0 {
		m.Extra *= requirement / m.Requirement
	}
	m.Requirement = requirement
	return m
}

func (m ChillingThermalTime) gathered(p *pass, day float64) (float64, bool) {
	warm, cold := m.forcings()
	if m.Requirement <= 0 {
		return math.NaN(), false
	}
	need := m.Needed(p.until(cold, m.ChillStart, day)) / m.Requirement
	return p.until(warm, m.Start, day) / need, true
}

// Need returns the forcing requirement.
func (m ChillingThenForcing) Need() float64 { return m.Requirement }

// WithNeed returns the model with another forcing requirement.
func (m ChillingThenForcing) WithNeed(requirement float64) Model {
	m.Requirement = requirement
	return m
}

func (m ChillingThenForcing) gathered(p *pass, day float64) (float64, bool) {
	return m.afterChilling(p)(day)
}

// afterChilling returns what gives the forcing gathered by a day, once the chilling is done.
func (m ChillingThenForcing) afterChilling(p *pass) func(day float64) (float64, bool) {
	warm, _ := m.forcings()
	chilled, ok := m.chilled(p)
	done := p.dayOf(chilled.to)
	return func(day float64) (float64, bool) {
		if !ok || done.End() >= day {
			return math.NaN(), false
		}
		return p.until(warm, done+1, day), true
	}
}

// Need returns the requirement of the sum of cold.
func (m AutumnCooling) Need() float64 { return m.Requirement }

// WithNeed returns the model with another requirement.
func (m AutumnCooling) WithNeed(requirement float64) Model {
	m.Requirement = requirement
	return m
}

func (m AutumnCooling) gathered(p *pass, day float64) (float64, bool) {
	return p.until(m.forcing(), longestDay, day), true
}
