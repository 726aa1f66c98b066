package phenology

import "math"

// sineAcross is [SineDegreeDays] of a day on which the sine crosses the base: tmin < base < tmax.
//
// A day whose mean is below base has the area of the sine's tip above it; one whose mean is above base has, beside what
// the mean is above it, as much as the tip below. Of a sine of amplitude 1, one cycle a day, the tip that lies above a
// line u below its top has the mean over the day
//
//	(sqrt(1 - z^2) - z acos z) / pi, where z = 1 - u, u in [0, 1]
//
// By z this has the derivative -acos(z) / pi, and acos(1 - u) is 2 arcsin(sqrt(u / 2)), so that the series of the
// arcsine (Abramowitz & Stegun, Handbook of Mathematical Functions, 4.4.40, from memory) gives, term by term,
//
//	u sqrt(u) sqrt(2) / pi times the sum over k of C(2k, k) / (8^k (2k + 1) (k + 3/2)) u^k
//
// Here the sum is its own Chebyshev expansion on [0, 1], ended after 16 terms and written in powers of u. Each term of
// the expansion is less than a sixth of the one before, so that what is left out is 4e-16 of the whole: what arithmetic
// rounds off anyway. No two near numbers are subtracted, as they are in the closed form where a tip is small. It is
// done in half of the time of math.Acos and the closed form (BenchmarkSineAcross); the test holds it against both.
//
// The powers are added up in pairs of pairs, as Estrin (1960) has it, since one after the other each would wait for
// the one before.
func sineAcross(tmin, tmax, base float64) float64 {
	const (
		c0, c1   = 0.3001054387190353, 0.015005271935986225
		c2, c3   = 0.0024115615582600176, 0.0005582319374665867
		c4, c5   = 0.000155415189624419, 4.8435243094739264e-05
		c6, c7   = 1.6159092935630267e-05, 6.3132829342577186e-06
		c8, c9   = 3.6974046810308023e-07, 5.028557892767723e-06
		c10, c11 = -6.9471832826771845e-06, 9.160156898052893e-06
		c12, c13 = -7.853347299769775e-06, 4.67512872216398e-06
		c14, c15 = -1.66143779066992e-06, 2.8760884544506675e-07
	)
	tip, over := tmax-base, 0.0
	if mean := (tmin + tmax) / 2; mean > base {
		tip, over = base-tmin, mean-base
	}
	u := tip / ((tmax - tmin) / 2)
	u2 := u * u
	u4 := u2 * u2
	low := c0 + c1*u + (c2+c3*u)*u2 + (c4+c5*u+(c6+c7*u)*u2)*u4
	high := c8 + c9*u + (c10+c11*u)*u2 + (c12+c13*u+(c14+c15*u)*u2)*u4
	return over + tip*math.Sqrt(u)*(low+high*(u4*u4))
}
