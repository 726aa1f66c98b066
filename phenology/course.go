package phenology

import "math"

// Course is what a model gathers along one season: with which requirement it would have dated its phase at the end of
// each day. It never falls, so that dating a season with any requirement is a search in it.
type Course struct {
	first SeasonDay
	by    []float64
}

// Course returns what a model gathers in a season up to a day, 365 at the latest; it is cut short where the record ends
// or lacks a day. It is false where the record does not cover the model's first day.
func (t *Temperatures) Course(m Fittable, s Season, last SeasonDay) (Course, bool) {
	p := t.plainPass(s)
	defer p.release()
	c := Course{first: m.begins()}
	last = min(last, lastDay)
	for last >= c.first && !t.coveredAlong(p.member, p.on(c.first), p.on(last)) {
		last--
	}
	if last < c.first {
		return c, false
	}
	c.by = make([]float64, last-c.first+1)
	gathered := func(day float64) (float64, bool) { return m.gathered(p, day) }
	if sequence, ok := m.(ChillingThenForcing); ok {
		gathered = sequence.afterChilling(p)
	}
	for k := range c.by {
		if sum, ok := gathered((c.first + SeasonDay(k)).End()); ok {
			c.by[k] = sum
		}
	}
	return c, true
}

// Ends returns the moment up to which the course covers the season.
func (c Course) Ends() float64 { return (c.first + SeasonDay(len(c.by)) - 1).End() }

// At returns what was gathered by a moment of the season, in the unit of the model's requirement; 0 before the model
// begins.
func (c Course) At(moment float64) float64 {
	whole := math.Floor(moment)
	k := int(SeasonDay(whole) - c.first)
	switch {
	case k < -1:
		return 0
	case k >= len(c.by)-1:
		return c.by[len(c.by)-1]
	}
	before := 0.0
	if k >= 0 {
		before = c.by[k]
	}
	return before + (moment-whole)*(c.by[k+1]-before)
}

// Reaches returns the moment by which a requirement is met, and whether it is. It looks first about the place near,
// which it keeps for the next time, since whoever fits asks again and again with requirements that differ little; near
// points to 0 to begin with.
func (c Course) Reaches(requirement float64, near *int) (float64, bool) {
	k := *near
	for k > 0 && c.by[k-1] >= requirement {
		k--
	}
	for k < len(c.by) && c.by[k] < requirement {
		k++
	}
	*near = min(k, len(c.by)-1)
	if k == len(c.by) {
		return math.NaN(), false
	}
	before := 0.0
	if k > 0 {
		before = c.by[k-1]
	}
	part := 0.0
	if requirement > before {
		part = (requirement - before) / (c.by[k] - before)
	}
	return (c.first + SeasonDay(k)).End() - 1 + part, true
}
