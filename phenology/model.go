package phenology

import (
	"math"
	"slices"

	"treewhen/phenology/civil"
)

// Model dates a phase in one season. The models are [ThermalTime], [ChillingThermalTime], [ChillingThenForcing],
// [DegreeDayLag], [Lag], [AutumnCooling], [WarmthShift], [RunCount], [RunShare] and
// [LastRun].
//
// Days of models that sum are interpolated: a requirement met halfway through what day 120 brings is met on day 119.5,
// since the end of day 120 is day 120. A phase seen on day 120 is one that had come by that day's end, so fitting and
// dating count alike.
type Model interface {
	// Kind is the model's name in a profile.
	Kind() string

	// date returns the phase's day of the season along a member, and the days it looked at; ok is false where the
	// member does not reach the phase or lacks days.
	date(p *pass) (fix, bool)

	// begins is the first day of the season that the model looks at, where that is fixed; else 1.
	begins() SeasonDay
}

// DependsOn returns the phase from which a model counts, and whether there is one.
func DependsOn(m Model) (Phase, bool) {
	switch m := m.(type) {
	case Lag:
		return m.After, true
	case DegreeDayLag:
		return m.After, true
	case RunShare:
		return m.Before, true
	case LastRun:
		return m.Before, true
	}
	return 0, false
}

// fix is a phase's day along one member.
type fix struct {
	day      float64    // of the season
	from, to civil.Date // the days that decided it
}

// pass is one look at one species along one member.
type pass struct {
	estimator *estimator
	rule      *RunRule
	temps     *Temperatures
	season    Season
	anchor    civil.Date // of the season: asking the calendar again and again costs more than the rest
	member    member
	index     int          // of the member
	mean      float64      // the phase's mean day at the site, NaN where it is not known
	earlier   SeasonDay    // by which models start earlier at the site than where they were fitted
	sums      []forcingSum // those asked for so far: a handful, so a list is faster than a map
	// The last usual mean temperature asked for, and of which days of the season.
	usual      float64
	usualKnown bool
	usualOf    [2]SeasonDay
}

// on is [Season.Date], and dayOf is [Season.Day].
func (p *pass) on(day SeasonDay) civil.Date  { return p.anchor + civil.Date(day) - 1 }
func (p *pass) dayOf(d civil.Date) SeasonDay { return SeasonDay(d-p.anchor) + 1 }

// other gives the day of another phase of the same species along the same member.
func (p *pass) other(phase Phase) (float64, bool) {
	got := p.estimator.done[phase]
	if got == nil || p.index >= len(got.days) || math.IsNaN(got.days[p.index]) {
		return math.NaN(), false
	}
	return got.days[p.index], true
}

type forcingSum struct {
	forcing forcing
	sums    []float64
	ahead   [][]float64 // by member
}

// sumsOf returns the member with a forcing's running sums.
func (p *pass) sumsOf(f forcing) memberSums {
	if p.estimator.ensemble == nil {
		return memberSums{member: p.member, sums: p.temps.sum(f)}
	}
	i := slices.IndexFunc(p.sums, func(s forcingSum) bool { return s.forcing == f })
	if i < 0 {
		i = len(p.sums)
		p.sums = append(p.sums, forcingSum{f, p.temps.sum(f), p.estimator.ensemble.sum(f)})
	}
	r := memberSums{member: p.member, sums: p.sums[i].sums}
	if ahead := p.sums[i].ahead; ahead != nil {
		r.ahead = ahead[p.index]
	}
	return r
}

// lastDay is the day of the season after which no model looks for a phase that temperatures drive: the year's end.
const lastDay SeasonDay = 365

// crossing sums a forcing from a day of the season on.
func (p *pass) crossing(f forcing, start SeasonDay, requirement float64) (fix, bool) {
	first := p.on(start)
	d, part, ok := p.temps.crossing(p.sumsOf(f), first, p.on(lastDay), requirement)
	return fix{p.dayOf(d).End() - 1 + part, first, d}, ok
}

// wholeDay is a crossing dated by the whole day that meets the requirement.
func (p *pass) wholeDay(f forcing, start SeasonDay, requirement float64) (fix, bool) {
	x, ok := p.crossing(f, start, requirement)
	x.day = p.dayOf(x.to).End()
	return x, ok
}

// total sums a forcing over days, both included.
func (p *pass) total(f forcing, first, last civil.Date) float64 {
	return p.temps.along(p.sumsOf(f), first, last)
}

// ThermalTime is the thermal-time model: the phase comes when degree-days summed from a start day reach a requirement.
// With DayLengthExponent k above 0 each day's degree-days are weighted by (day length / 12 h)^k: the photothermal form,
// in which the same warmth does more in longer days.
//
// Source: Réaumur (1735) had the idea; Wang (1960), A critique of the heat unit approach to plant response studies,
// Ecology 41:785-790, reviews it; the weight by day length to a power as in Blümel & Chmielewski (2012), Shortcomings
// of classical phenological forcing models and a way to overcome them, Agricultural and Forest Meteorology 164:10-19,
// with 12 hours for their 10 (all from memory).
type ThermalTime struct {
	Start             SeasonDay // day on which summing begins; 1 is 1 January in the north
	Base              float64   // degrees Celsius
	Method            ForcingMethod
	DayLengthExponent float64
	Upper             float64     // degrees Celsius; counts only with a Cutoff
	Cutoff            UpperCutoff // what becomes of warmth above Upper; "" for no such threshold
	Requirement       float64     // degree-days
}

// Kind returns "thermal-time".
func (ThermalTime) Kind() string { return "thermal-time" }

func (m ThermalTime) begins() SeasonDay { return m.Start }

func (m ThermalTime) forcing() forcing {
	f := forcing{method: m.Method, base: m.Base, exponent: m.DayLengthExponent, cutoff: m.Cutoff}
	if m.Cutoff != "" {
		f.upper = m.Upper
	}
	return f
}

func (m ThermalTime) date(p *pass) (fix, bool) {
	return p.crossing(m.forcing(), m.starting(p.earlier).Start, m.Requirement)
}

// Lag is a number of days after another phase; negative, before it. What is known of the one is known of the other,
// less surely by Spread.
type Lag struct {
	After  Phase
	Days   float64 // a part of a day may count
	Spread float64 // standard deviation, days
}

// Kind returns "lag".
func (Lag) Kind() string { return "lag" }

func (Lag) begins() SeasonDay { return 1 }

func (m Lag) date(p *pass) (fix, bool) {
	day, ok := p.other(m.After)
	on := p.on(NearestDay(day))
	return fix{day + m.Days, on, on}, ok
}

// DegreeDayLag is a number of degree-days after another phase: fruit after flowering, full leaves after bud break.
// Summing begins when the other phase has come, be it seen or modelled.
//
// Source: thermal time as in [ThermalTime], counted from an event instead of a date; common practice.
type DegreeDayLag struct {
	After       Phase         // from which summing begins
	Base        float64       // degrees Celsius
	Method      ForcingMethod // how a day's warmth over Base is reckoned
	Requirement float64       // degree-days
}

// Kind returns "degree-day-lag".
func (DegreeDayLag) Kind() string { return "degree-day-lag" }

func (DegreeDayLag) begins() SeasonDay { return 1 }

func (m DegreeDayLag) forcing() forcing { return forcing{method: m.Method, base: m.Base} }

func (m DegreeDayLag) date(p *pass) (fix, bool) {
	day, ok := p.other(m.After)
	if !ok || math.IsNaN(day) {
		return fix{}, false
	}
	// Of the day during which the other phase came, the rest counts.
	whole := math.Floor(day)
	next := SeasonDay(whole) + 1
	first := p.on(next)
	before := (day - whole) * p.total(m.forcing(), first, first)
	return p.crossing(m.forcing(), next, m.Requirement+before)
}

// RunCount is the day on which the sap runs expected since a start day sum to so many: see [RunRule]. It is a whole
// day, and needs a species with a rule.
type RunCount struct {
	Start SeasonDay // from which runs are counted
	Runs  float64   // expected run days
}

// Kind returns "run-count".
func (RunCount) Kind() string { return "run-count" }

func (m RunCount) begins() SeasonDay { return m.Start }

func (m RunCount) date(p *pass) (fix, bool) {
	rule := p.estimator.species.Sap.Run
	if rule == nil {
		return fix{}, false
	}
	return p.wholeDay(rule.forcing(), m.Start, m.Runs)
}

// RunShare is the day by which a share of all sap runs from a start day up to another phase has come: see [RunRule]. It
// is a whole day, and needs a species with a rule. There is none in a season without any run.
type RunShare struct {
	Start  SeasonDay // from which runs are counted
	Share  float64   // in (0, 1)
	Before Phase     // up to which they are
}

// Kind returns "run-share".
func (RunShare) Kind() string { return "run-share" }

func (m RunShare) begins() SeasonDay { return m.Start }

func (m RunShare) date(p *pass) (fix, bool) {
	end, ok := p.other(m.Before)
	rule := p.estimator.species.Sap.Run
	if rule == nil || !ok {
		return fix{}, false
	}
	first, last := p.on(m.Start), p.on(NearestDay(end))
	total := p.total(rule.forcing(), first, last)
	if total == 0 {
		return fix{}, false
	}
	return p.wholeDay(rule.forcing(), m.Start, m.Share*total)
}
