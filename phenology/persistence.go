package phenology

import (
	"math"

	"treewhen/phenology/civil"
)

// A warm day is followed by a warm day sooner than by a cold one, and a mild winter by a mild spring a little sooner
// than by a harsh one. A season completed by another year's days must not forget that on the day on which the years are
// joined: see [member].
//
// The departure of a day's mean from what is usual on that day of the year is taken for the sum of two first-order
// autoregressions, one of days (weather) and one of months (snow, soil, sea and a changing climate). Given the
// departures up to a day, the two parts' best estimates are a Kalman filter's, and their expectations ahead fall by
// their memory each day. Sources: Kalman (1960), A new approach to linear filtering and prediction problems, Journal of
// Basic Engineering 82:35-45; that daily temperatures are nearly a first-order autoregression is in Richardson (1981),
// Stochastic simulation of daily precipitation, temperature, and solar radiation, Water Resources Research 17:182-190
// (both from memory).
//
// The three numbers were settled on temperatures alone: of the variance of the sum of the next 14 days' departures they
// foretell 5 parts of 100 in spring and 11 in winter at Harvard Forest, 1980 to 2013, and 13 and 11 at Montreal, 1995
// to 2013; of the next 60 days', 10 and 22 in spring.
const (
	dayMemory   = 0.65            // share of a departure of days left on the next day
	monthShare  = 0.06            // of the variance of daily departures that is of months
	forgotten   = 0.1             // degrees Celsius below which nothing more is made of a departure
	aheadDays   = 150             // at the most
	lookBack    = civil.Date(240) // days of which a departure is made
	filterSteps = 1000            // by which the filter's gain has settled
)

// monthMemory is the share of a departure of months that is left on the next day: a third of it after two months.
var monthMemory = math.Exp(-1. / 60)

// filterGain is by how much of a day's innovation each of the two parts is moved, once many days are known.
var filterGain = func() (gain [2]float64) {
	memory := [2]float64{dayMemory, monthMemory}
	share := [2]float64{1 - monthShare, monthShare}
	p := [2][2]float64{{share[0], 0}, {0, share[1]}} // doubt of the two parts
	for range filterSteps {
		for i := range p {
			for k := range p[i] {
				p[i][k] *= memory[i] * memory[k]
			}
			p[i][i] += share[i] * (1 - memory[i]*memory[i])
		}
		// Their sum is measured without error.
		sum := p[0][0] + p[0][1] + p[1][0] + p[1][1]
		gain = [2]float64{(p[0][0] + p[0][1]) / sum, (p[1][0] + p[1][1]) / sum}
		toSum := [2]float64{p[0][0] + p[1][0], p[0][1] + p[1][1]}
		for i := range p {
			for k := range p[i] {
				p[i][k] -= gain[i] * toSum[k]
			}
		}
	}
	return gain
}()

// departure is how much warmer it is than in another year, in the two parts; degrees Celsius.
type departure struct{ days, months float64 }

func (d departure) next() departure { return departure{d.days * dayMemory, d.months * monthMemory} }

// departs returns by how much the days up to the last depart from those of another year, so many days away, as an
// estimate of the two parts that still act. What is usual at the time of year drops out of the difference, so that
// nothing is looked at but the days named; and of them none that the season has ahead, after the last and up to its
// end.
func (t *Temperatures) departs(last, shift, end civil.Date) departure {
	var now departure
	first := max(last-lookBack, t.series.First, t.series.First-shift)
	if shift > 0 && first+shift <= end {
		first = end + 1 - shift
	}
	for i := t.index(first); i <= t.index(last) && i+int(shift) < len(t.series.Days); i++ {
		now = now.next()
		own, other := &t.series.Days[i], &t.series.Days[i+int(shift)]
		if own.Complete() && other.Complete() {
			innovation := own.Mean() - other.Mean() - now.days - now.months
			now.days += filterGain[0] * innovation
			now.months += filterGain[1] * innovation
		}
	}
	return now
}
