package phenology

import (
	"math"
	"slices"

	"treewhen/phenology/normal"
)

// Distribution is how likely each date is, as a weighted sum of normal distributions over days of a season: usually one
// a year of record, or one a place of reference. Weights sum to 1. The empty Distribution is that of no date.
type Distribution []Component

// Component is one normal distribution of a [Distribution].
type Component struct {
	Mean   float64 // moment of the season
	SD     float64 // days; 0 for a date that is known
	Weight float64 // in (0, 1]
}

// Point returns the distribution of a date that is known: a moment of the season.
func Point(moment float64) Distribution { return Distribution{{Mean: moment, Weight: 1}} }

// CDF returns the probability, in [0, 1], that the phase has come by a moment of the season; 0 of an empty
// distribution.
func (d Distribution) CDF(x float64) float64 {
	p := 0.0
	for _, c := range d {
		if c.SD <= 0 {
			if x >= c.Mean {
				p += c.Weight
			}
			continue
		}
		p += c.Weight * normal.CDF((x-c.Mean)/c.SD)
	}
	return p
}

// Quantile returns the moment of the season by which the phase has come with probability p, in (0, 1), to a hundredth
// of a day. It panics on an empty distribution.
func (d Distribution) Quantile(p float64) float64 {
	switch len(d) {
	case 0:
		panic("phenology: quantile of an empty distribution")
	case 1:
		return d[0].Mean + d[0].SD*normal.Quantile(p)
	}
	lo, hi := math.Inf(1), math.Inf(-1)
	z := normal.Quantile(p)
	for _, c := range d {
		// Every component has reached p at its own quantile, so the mixture's lies between the extremes of these.
		lo, hi = min(lo, c.Mean+c.SD*z), max(hi, c.Mean+c.SD*z)
	}
	// A hundredth of a day is finer than any date is known.
	for hi-lo > 0.01 {
		mid := (lo + hi) / 2
		if d.CDF(mid) < p {
			lo = mid
		} else {
			hi = mid
		}
	}
	return (lo + hi) / 2
}

// Mean returns the expected moment of the season; 0 of an empty distribution.
func (d Distribution) Mean() float64 {
	m := 0.0
	for _, c := range d {
		m += c.Weight * c.Mean
	}
	return m
}

// SD returns the standard deviation, days: that between the components and that within them.
func (d Distribution) SD() float64 {
	m, v := d.Mean(), 0.0
	for _, c := range d {
		v += c.Weight * (c.SD*c.SD + (c.Mean-m)*(c.Mean-m))
	}
	return math.Sqrt(v)
}

// Later returns d moved by a lag of so many days, itself known to a standard deviation.
func (d Distribution) Later(days, sd float64) Distribution {
	moved := make(Distribution, len(d))
	for i, c := range d {
		moved[i] = Component{Mean: c.Mean + days, SD: math.Hypot(c.SD, sd), Weight: c.Weight}
	}
	return moved
}

// meanAndSquares returns the mean of some values and the sum of the squares of how far they lie from it.
func meanAndSquares(values []float64) (mean, squares float64) {
	for _, v := range values {
		mean += v / float64(len(values))
	}
	for _, v := range values {
		squares += (v - mean) * (v - mean)
	}
	return mean, squares
}

// QuantileOf returns the p-th quantile, p in [0, 1], of some values, interpolated between the nearest two. It panics if
// there are none.
func QuantileOf(values []float64, p float64) float64 {
	v := slices.Sorted(slices.Values(values))
	x := p * float64(len(v)-1)
	i := int(x)
	if i+1 >= len(v) {
		return v[len(v)-1]
	}
	return v[i] + (x-float64(i))*(v[i+1]-v[i])
}
