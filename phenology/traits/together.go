package traits

import (
	"math"
	"slices"

	"treewhen/phenology/civil"
	"treewhen/phenology/normal"
)

// together is the correlation between the dates of one phase on different species at one place, from year to year: one
// spring moves them all, though not by the same number of days. Computed from Harvard Forest's species means of 1990 to
// 2005 (archive HF003): the median over all pairs of species is 0.68 for bud break, 0.66 for open flowers, 0.84 for
// leaves, 0.60 for autumn color and 0.62 for leaf fall.
const together = 0.65

// AnyOn returns the probability that at least one of several spells is on that day, each on a species of its own.
//
// Chances of species at one place can be neither multiplied, as if each had a spring of its own, nor taken to be early
// or late in step. Here every date's place between the earliest and the latest that it can have, as a normal deviate,
// is part common to all and part the species' own, so that any two are correlated by 0.65. Vasicek (1987) and others
// use such a single common factor for many events that go together; the form is from memory.
func AnyOn(spells []*Spell, d civil.Date) float64 {
	if len(spells) == 1 {
		return spells[0].On(d)
	}
	return 1 - meanProduct(spells, d, 0, func(on float64) float64 { return 1 - on })
}

// AllOn returns the probability that all of several spells are on that day: see [AnyOn]. It is 1 for none. Below a
// least chance it may return any that is lower than that, since it then stops.
func AllOn(spells []*Spell, d civil.Date, least float64) float64 {
	if len(spells) == 1 {
		return spells[0].On(d)
	}
	const coarse = 0.05 // more than the mean over the seasons of one spell lies off its chance
	if least > 0.1+coarse && slices.ContainsFunc(spells, func(s *Spell) bool { return s.unlikely(d) }) {
		return 0
	}
	for _, s := range spells {
		if on := s.On(d); on < least-coarse { // nor are all of them likelier than one
			return on
		}
	}
	return meanProduct(spells, d, least, func(on float64) float64 { return on })
}

// seasonNodes are normal deviates of as many seasons as there are, the earliest first, each as likely as the next.
var seasonNodes = func() (z [64]float64) {
	for i := range z {
		z[i] = normal.Quantile((float64(i) + 0.5) / float64(len(z)))
	}
	return z
}()

// meanProduct returns the mean over all seasons of the product over the spells of a function, within [0, 1], of the
// chance that each is on in a season that is so early or late. Once it is less than a least mean it is not followed on.
func meanProduct(spells []*Spell, d civil.Date, least float64, of func(on float64) float64) (mean float64) {
	shared, own := math.Sqrt(together), math.Sqrt(1-together)
	product := [len(seasonNodes)]float64{}
	for i := range product {
		product[i] = 1
	}
	mean = 1
	for _, s := range spells {
		come, gone := s.Come(d), s.Gone(d)
		never := come <= gone
		from, to := deviate(gone), deviate(come)
		always := (to-shared*seasonNodes[len(seasonNodes)-1])/own >= normal.Reach &&
			(from-shared*seasonNodes[0])/own <= -normal.Reach
		switch { // most spells are on, or not, in every season there is
		case never && of(0) == 0, always && of(1) == 0:
			return 0
		case never, always:
			continue
		}
		sum := 0.0
		for i, z := range seasonNodes {
			product[i] *= of(normal.CDF((to-shared*z)/own) - normal.CDF((from-shared*z)/own))
			sum += product[i]
		}
		if mean = sum / float64(len(product)); mean < least {
			break
		}
	}
	return mean
}

// deviate is the normal quantile, infinite at both ends.
func deviate(p float64) float64 {
	switch {
	case p <= 0:
		return math.Inf(-1)
	case p >= 1:
		return math.Inf(1)
	}
	return normal.Quantile(p)
}
