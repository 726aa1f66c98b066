package traits

import (
	"slices"

	"treewhen/phenology"
	"treewhen/phenology/civil"
)

// Spell is the time of one season in which something can be seen: from the day on which one phase has come until the
// day on which another has.
//
// The two dates are taken to be early or late together, as they are within one spring or autumn. Put every outcome on a
// line from 0, the earliest season there is, to 1, the latest: on a day, the spell is on for the outcomes above
// [Spell.Gone] and up to [Spell.Come]. Both rise from day to day, so that what several days show together is the union
// of such stretches. For a single day it is the chance that the one phase has come less the chance that the other has,
// whatever the two dates have to do with each other, as long as the second never comes before the first.
type Spell struct {
	From, To phenology.Estimate

	come, gone *onset // what a watch remembers of the two, nil where there is no watch
}

// Come returns the probability that the spell has begun by a day.
func (s *Spell) Come(d civil.Date) float64 {
	if s.come != nil {
		return s.come.by(d)
	}
	return s.From.By(d)
}

// Gone returns the probability that the spell is over by a day.
func (s *Spell) Gone(d civil.Date) float64 {
	if s.gone != nil {
		return s.gone.by(d)
	}
	return s.To.By(d)
}

// DaysOn returns how many of some days, rising, it can be expected to be on.
func (s *Spell) DaysOn(days []civil.Date) (sum float64) {
	if s.come != nil { // none before the first chance and, but for what rounding left, behind the last
		first, _ := slices.BinarySearch(days, s.come.moves.First)
		last, _ := slices.BinarySearch(days, max(s.come.moves.Last, s.gone.moves.Last)+1)
		sum, days = max(0, s.come.all-s.gone.all)*float64(len(days)-last), days[first:last]
	}
	for _, d := range days {
		sum += s.On(d)
	}
	return sum
}

// unlikely reports whether it is known, without working out a chance, that the spell is on with less than a tenth.
func (s *Spell) unlikely(d civil.Date) bool {
	return s.come != nil && (d < s.come.open.First || d > s.gone.open.Last)
}

// On returns the probability that the spell is on that day.
func (s *Spell) On(d civil.Date) float64 { return max(0, s.Come(d)-s.Gone(d)) }
