package phenology

import "math"

// habitShare is the part of what a date may be off elsewhere that all species seen there share: the observer's way of
// dating a phase, and what else is of the place. Of volunteers' first breaking buds at some 200 places (USA National
// Phenology Network, see [stageLags]), the median errors of two species of one place correlate by 0.25.
const habitShare = 0.25

// habit is by how much an observer dates a phase later than it is dated here, by what was seen of other species.
type habit struct {
	mean, variance float64 // days, days squared
	species        int     // of which it was learnt
}

// habit learns it from other species: the mean of their errors, drawn towards none by how few they are and how much
// each has that is its own. Errors are of every year but one; doubt is what dates may be off at the site.
func (o *Outlook) habit(sp *Species, r *PhaseRecord, doubt float64,
	errors func(*Species, *PhaseRecord) []float64) habit {
	h := habit{variance: habitShare * doubt * doubt}
	if len(o.Sightings) == 0 || h.variance < 0.01 {
		return h
	}
	precision, sum := 1/h.variance, 0.0
	for _, other := range o.Known {
		its := other.Phase(r.Phase)
		if other.ID == sp.ID || its == nil || its.Model == nil || len(o.seenDates(seenKey{other.ID, r.Phase})) == 0 {
			continue
		}
		list := errors(other, its)
		if len(list) == 0 {
			continue
		}
		mean, noise := meanAndNoise(list, its.Model.Residual)
		w := 1 / (ownVariance(doubt) + noise/float64(len(list)))
		precision, sum = precision+w, sum+w*mean
		h.species++
	}
	h.mean, h.variance = sum/precision, 1/precision
	return h
}

// ownVariance is that of a species' own offset at a site, beside the observer's habit.
func ownVariance(doubt float64) float64 {
	return siteOffsetSD*siteOffsetSD + (1-habitShare)*doubt*doubt
}

// meanAndNoise returns the mean of errors and the variance of each about it, blended with a model's own residual.
func meanAndNoise(errors []float64, residual float64) (mean, noise float64) {
	mean, square := meanAndSquares(errors)
	return mean, (square + residualWeight*residual*residual) / (float64(len(errors)) - 1 + residualWeight)
}

// yearError is by how much a phase was seen later than modelled in a season.
type yearError struct {
	season Season
	late   float64
}

// modelErrors returns the errors of a model at the site in all seasons but one. They are worked out once.
func (o *Outlook) modelErrors(sp *Species, r *PhaseRecord, but Season) (late []float64) {
	list := o.memo.errors.of(seenKey{sp.ID, r.Phase}, func() (list []yearError) {
		for _, year := range o.SeenSeasons(sp, r) {
			seen, _ := o.SeenOn(sp, r, year)
			if day, ok := o.modelled(sp, r, year); ok {
				list = append(list, yearError{year, seen - day})
			}
		}
		return list
	})
	for _, e := range list {
		if e.season != but {
			late = append(late, e.late)
		}
	}
	return late
}

// shrinkTo returns what the errors of other years, observed less expected, teach of a site to which dates with a
// residual spread were carried with some doubt, beside an observer's habit: their mean, drawn towards the habit by
// their number and noise. The mean's prior is normal; with known noise that is the textbook's conjugate estimate.
func shrinkTo(h habit, errors []float64, residual, doubt float64) shrinkage {
	prior := h.variance + ownVariance(doubt)
	if len(errors) == 0 {
		return shrinkage{shift: h.mean, sd: math.Sqrt(residual*residual + prior - siteOffsetSD*siteOffsetSD),
			habit: h.species}
	}
	n := float64(len(errors))
	mean, noise := meanAndNoise(errors, residual)
	keep := prior / (prior + noise/n)
	// A residual is of years that a model was not fitted to, and has the doubt of the model's own mean in it. Where the
	// model was fitted, which is where nothing is in doubt, the shift's is the same doubt and not to be added again.
	away := doubt * doubt / (doubt*doubt + siteOffsetSD*siteOffsetSD)
	return shrinkage{shift: h.mean + keep*(mean-h.mean), sd: math.Sqrt(noise + away*keep*noise/n), years: len(errors),
		habit: h.species}
}
