// Package normal answers: how likely is a standard normal deviate, quickly?
package normal

import "math"

// CDF returns the probability that a standard normal deviate is at most z, to 1e-6: it is interpolated in a table,
// since a season's outlook asks for it hundreds of thousands of times. From [Reach] on it is 0 and 1.
func CDF(z float64) float64 {
	if z <= -Reach {
		return 0
	}
	if z >= Reach {
		return 1
	}
	x := (z + Reach) * steps
	i := int(x)
	f := x - float64(i)
	return table[i]*(1-f) + table[i+1]*f
}

// Reach is how many standard deviations from the mean the distribution is followed: beyond lies less than 1e-9.
const Reach = 6

const steps = 256 // a standard deviation

var table = func() (t [2*Reach*steps + 2]float64) {
	for i := range t {
		t[i] = 0.5 * math.Erfc(-(float64(i)/steps-Reach)/math.Sqrt2)
	}
	return t
}()

// Quantile returns the deviate that is not exceeded with probability p, in (0, 1): the inverse of the distribution
// function. It is infinite at 0 and at 1.
func Quantile(p float64) float64 { return -math.Sqrt2 * math.Erfcinv(2*p) }
