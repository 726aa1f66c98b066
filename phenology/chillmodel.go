package phenology

import (
	"math"
	"sort"

	"treewhen/phenology/civil"
)

// ChillingThermalTime is thermal time whose requirement falls with winter cold. The phase comes when degree-days summed
// from Start reach
//
//	Requirement + Extra exp(-Decay x chill days)
//
// where a chill day is one whose mean is at or below ChillBelow, counted from ChillStart up to the phase itself: cold
// and warmth are gathered side by side.
//
// Source: Cannell & Smith (1983), Thermal time, chill days and prediction of budburst in Picea sitchensis, Journal of
// Applied Ecology 20:951-963: base and chill threshold 5 degrees, degree-days from 1 February, chill days from 1
// November (seen in its summary); for Sitka spruce 67.4 + 4401.8 exp(-0.042 C) (coefficients from memory).
type ChillingThermalTime struct {
	Start       SeasonDay // day on which degree-days begin
	Base        float64   // degrees Celsius
	Method      ForcingMethod
	ChillStart  SeasonDay // day on which chill days begin; below 1 in the autumn before
	ChillBelow  float64   // degrees Celsius
	Requirement float64   // degree-days that are needed however cold the winter was
	Extra       float64   // degree-days needed on top where there was no chill day
	Decay       float64   // per chill day
}

// Kind returns "chilling-thermal-time".
func (ChillingThermalTime) Kind() string { return "chilling-thermal-time" }

func (m ChillingThermalTime) begins() SeasonDay { return min(m.Start, m.ChillStart) }

// Needed returns the degree-days needed after so many chill days.
func (m ChillingThermalTime) Needed(chillDays float64) float64 {
	return m.Requirement + m.Extra*math.Exp(-m.Decay*chillDays)
}

func (m ChillingThermalTime) forcings() (warm, cold forcing) {
	return forcing{method: m.Method, base: m.Base}, forcing{method: chillDayMethod, base: m.ChillBelow}
}

func (m ChillingThermalTime) date(p *pass) (fix, bool) {
	warm, cold := m.forcings()
	first, chillFirst := p.on(m.Start), p.on(m.ChillStart)
	last := p.on(lastDay)
	// What is still lacking at the end of a day. Warmth only grows and the need only falls, so it only falls.
	lacking := func(n int) float64 {
		day := first + civil.Date(n)
		return m.Needed(p.total(cold, chillFirst, day)) - p.total(warm, first, day)
	}
	n := sort.Search(int(last-first)+1, func(n int) bool { return lacking(n) <= 0 })
	on := first + civil.Date(n)
	if on > last || !p.temps.coveredAlong(p.member, min(first, chillFirst), on) {
		return fix{}, false
	}
	part := 1.0
	if n > 0 {
		if before, after := lacking(n-1), lacking(n); before > after {
			part = before / (before - after)
		}
	}
	return fix{p.dayOf(on).End() - 1 + part, min(first, chillFirst), on}, true
}

// ChillingThenForcing is two sums, one after the other: chilling from ChillStart until ChillRequirement is met, then
// forcing until Requirement is met. Warmth before the chilling is done counts for nothing.
//
// Source: Sarvas (1974), Hänninen (1990) and Kramer (1994), named at [SarvasChilling] and [SarvasForcing], whose rates
// are the usual ones (from memory). Chilling in hours or units followed by degree-days is the orchards' form of it:
// Richardson, Seeley & Walker (1974), named at [ChillUnits], and Weinberger (1950), named at [ChillHours].
type ChillingThenForcing struct {
	ChillStart       SeasonDay // below 1 in the autumn before
	ChillingBy       ChillingMethod
	Chilling         TriangularChilling // by rate
	ChillRequirement float64            // days of full chilling, chilling hours or chill units, as ChillingBy says
	Method           ForcingMethod      // "" for the sigmoid; else degree-days above Base
	Forcing          SigmoidForcing     // without a Method
	Base             float64            // degrees Celsius, with a Method
	Requirement      float64            // forcing units, or degree-days
}

// ChillingMethod is how chilling is reckoned.
type ChillingMethod string

// The ways of reckoning chilling.
const (
	ChillingByRate  ChillingMethod = ""      // a rate by the day's mean, summed to days of full chilling
	ChillingByHours ChillingMethod = "hours" // [ChillHours]
	ChillingByUnits ChillingMethod = "units" // [ChillUnits]: warm days take some away
)

// Kind returns "chilling-then-forcing".
func (ChillingThenForcing) Kind() string { return "chilling-then-forcing" }

func (m ChillingThenForcing) begins() SeasonDay { return m.ChillStart }

func (m ChillingThenForcing) forcings() (warm, cold forcing) {
	warm = forcing{method: sigmoidMethod, base: m.Forcing.Midpoint, middle: m.Forcing.Steepness,
		upper: m.Forcing.Ceiling}
	if m.Method != "" {
		warm = forcing{method: m.Method, base: m.Base}
	}
	switch m.ChillingBy {
	case ChillingByHours:
		return warm, forcing{method: chillHourMethod}
	case ChillingByUnits:
		return warm, forcing{method: chillUnitMethod}
	}
	return warm, forcing{method: chillRateMethod, base: m.Chilling.Low, middle: m.Chilling.Optimum,
		upper: m.Chilling.High}
}

// chilled returns the day on which the chilling was done.
func (m ChillingThenForcing) chilled(p *pass) (fix, bool) {
	_, cold := m.forcings()
	if m.ChillingBy == ChillingByUnits {
		return p.walk(cold, m.ChillStart, m.ChillRequirement)
	}
	return p.crossing(cold, m.ChillStart, m.ChillRequirement)
}

// walk is crossing for what can fall as well as grow: it goes from day to day.
func (p *pass) walk(f forcing, start SeasonDay, requirement float64) (fix, bool) {
	first, last, sum, sums := p.on(start), p.on(lastDay), 0.0, p.sumsOf(f)
	for d := first; d <= last && p.temps.coveredAlong(p.member, d, d); d++ {
		more := p.temps.along(sums, d, d)
		if sum+more >= requirement {
			return fix{p.dayOf(d).End() - 1 + (requirement-sum)/more, first, d}, true
		}
		sum += more
	}
	return fix{}, false
}

func (m ChillingThenForcing) date(p *pass) (fix, bool) {
	warm, _ := m.forcings()
	chilled, ok := m.chilled(p)
	if !ok {
		return fix{}, false
	}
	got, ok := p.crossing(warm, p.dayOf(chilled.to)+1, m.Requirement)
	got.from = chilled.from
	return got, ok
}
