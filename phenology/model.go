package phenology

import (
	"math"

	"treewhen/phenology/civil"
)

// Model dates a phase in one season. The models are [ThermalTime], [Lag], [RunCount] and [RunShare].
type Model interface {
	// Kind is the model's name in a profile.
	Kind() string

	// date returns the phase's day of the season along a track, and the first day it looked at; ok is false where the
	// track does not reach the phase or lacks days.
	date(p *pass) (day float64, from civil.Date, ok bool)
}

// pass is one look at one species along one track.
type pass struct {
	temps  *Temperatures
	track  track
	season Season
	rule   *RunRule
	// other gives the day of another phase of the same species along the same track.
	other func(Phase) (float64, bool)
}

// lastDay is the day of the season after which no model looks for a phase that temperatures drive: the year's end.
const lastDay = 365

// crossing sums a forcing from a day of the season on.
func (p *pass) crossing(f forcing, start int, requirement float64) (float64, civil.Date, bool) {
	first := p.season.Date(float64(start))
	d, ok := p.temps.crossing(p.track, f, first, p.season.Date(lastDay), requirement)
	return float64(p.season.Day(d)), first, ok
}

// ForcingMethod is how a day's warmth above a base is reckoned from its minimum and maximum.
type ForcingMethod string

// The ways of reckoning a day's warmth.
const (
	SineForcing    ForcingMethod = "sine"    // integrate a sine through minimum and maximum over the base
	AverageForcing ForcingMethod = "average" // mean of minimum and maximum, less the base, not below 0
)

// ThermalTime is the thermal-time model: the phase comes on the day on which degree-days summed from a start day reach
// a requirement. With DayLengthExponent k above 0 each day's degree-days are weighted by (day length / 12 h)^k.
type ThermalTime struct {
	Start             int     // day of the season on which summing begins; 1 is 1 January in the north
	Base              float64 // degrees Celsius
	Method            ForcingMethod
	DayLengthExponent float64
	Requirement       float64 // degree-days
}

// Kind returns "thermal-time".
func (ThermalTime) Kind() string { return "thermal-time" }

func (m ThermalTime) date(p *pass) (float64, civil.Date, bool) {
	return p.crossing(forcing{method: m.Method, base: m.Base, exponent: m.DayLengthExponent}, m.Start, m.Requirement)
}

// Lag is a number of days after another phase; negative, before it.
type Lag struct {
	After  Phase
	Days   float64
	Spread float64 // standard deviation, days
}

// Kind returns "lag".
func (Lag) Kind() string { return "lag" }

func (m Lag) date(p *pass) (float64, civil.Date, bool) {
	day, ok := p.other(m.After)
	return day + m.Days, p.season.Date(day), ok
}

// RunCount is the day on which the sap runs expected since a start day sum to so many: see [RunRule].
type RunCount struct {
	Start int     // day of the season
	Runs  float64 // expected run days
}

// Kind returns "run-count".
func (RunCount) Kind() string { return "run-count" }

func (m RunCount) date(p *pass) (float64, civil.Date, bool) {
	if p.rule == nil {
		return math.NaN(), 0, false
	}
	return p.crossing(p.rule.forcing(), m.Start, m.Runs)
}

// RunShare is the day by which a share of all sap runs from a start day up to another phase has come.
type RunShare struct {
	Start  int     // day of the season
	Share  float64 // in (0, 1)
	Before Phase
}

// Kind returns "run-share".
func (RunShare) Kind() string { return "run-share" }

func (m RunShare) date(p *pass) (float64, civil.Date, bool) {
	end, ok := p.other(m.Before)
	if p.rule == nil || !ok {
		return math.NaN(), 0, false
	}
	first, last := p.season.Date(float64(m.Start)), p.season.Date(end)
	total := p.temps.along(p.track, p.rule.forcing(), first, last)
	if total == 0 {
		return math.NaN(), first, false
	}
	return p.crossing(p.rule.forcing(), m.Start, m.Share*total)
}
