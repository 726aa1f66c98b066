package calendar

import (
	"math"

	"treewhen/phenology"
)

const (
	firstRunDay = 1    // runs are counted from 1 January of the season (2 July in the south)
	plateau     = 0.02 // days that catch within this share of the best are as good as the best
	nearBest    = 0.8  // a hole that catches this share of what hindsight would have is well timed
	firstRun    = 2    // so many run days gone by are a first run missed
	lateShare   = 0.15 // with less than this share of the season's runs ahead it is too late to tap
	drawnSmooth = 7    // days to either side over which another year's runs are averaged: see smoothed
)

// TapTerms are the terms on which a tapping day is decided.
type TapTerms struct {
	Today     int // day of the season from which drilling can begin
	Life      int // days after which a hole gives half of what it gave: see [TappingOptions.Life]
	DaysToTap int // days that the job takes, at least 1
}

// TapDecision is a day to begin drilling, and its price. Days are days of the season; shares are means over the ways in
// which the season may go, of the run days of the whole season that the holes catch.
type TapDecision struct {
	Terms       TapTerms
	Years       int     // ways in which the season may go
	Best        int     // the day on which to begin
	First, Last int     // days to begin on that are as good as Best: within [plateau] of it
	Caught      float64 // share caught, begun on Best
	WeekEarlier float64 // begun seven days before; NaN if that day is past
	WeekLater   float64
	Gone        float64 // share that has run before today
	Late        bool    // hardly any run is still to come
	Missed      float64 // share of the ways in which two run days or more go by before Best
	OfHindsight float64 // what Best catches, of what the best day of each way would
	WellTimed   float64 // the chance that it is at least four fifths, judged from the share of the ways in which it is
	Curve       []float64
}

// Share returns the mean share caught when drilling begins on a day; NaN for a day that was not looked at.
func (d *TapDecision) Share(day int) float64 {
	if i := day - d.Terms.Today; i >= 0 && i < len(d.Curve) {
		return d.Curve[i]
	}
	return math.NaN()
}

// DecideTapping compares every day from today on by the share of each way's runs that holes drilled then would catch.
// It returns nil where there is nothing to compare.
func DecideTapping(years []phenology.SapYear, terms TapTerms) *TapDecision {
	terms.Today = max(terms.Today, firstRunDay)
	terms.DaysToTap = max(terms.DaysToTap, 1)
	d := &TapDecision{Terms: terms}
	last := 0
	for i := range years {
		last = max(last, years[i].End)
	}
	n := last - terms.Today
	if n <= 0 {
		return nil
	}
	yield := holeYield(terms.Life)
	shares := make([][]float64, 0, len(years))
	d.Curve = make([]float64, n)
	ran := false // in any year
	for i := range years {
		y := &years[i]
		runs := smoothed(y)
		total := 0.0
		for _, r := range runs {
			total += r
		}
		if total < 1 {
			// A year in which sap hardly ran counts, as one in which no hole catches anything.
			shares = append(shares, make([]float64, n))
			continue
		}
		ran = true
		for i := range min(max(terms.Today-y.First, 0), len(runs)) {
			d.Gone += runs[i] / total
		}
		share := crewShares(runs, terms.Today-y.First, n, yield, terms.DaysToTap)
		for k := range share {
			share[k] /= total
			d.Curve[k] += share[k]
		}
		shares = append(shares, share)
	}
	if !ran {
		return nil
	}
	d.Years = len(shares)
	for k := range d.Curve {
		d.Curve[k] /= float64(d.Years)
	}
	d.Gone = min(1, d.Gone/float64(d.Years))
	best := 0
	for k, c := range d.Curve {
		if c > d.Curve[best]+1e-9 {
			best = k
		}
	}
	d.Late = 1-d.Gone < lateShare
	first, end := best, best
	for first > 0 && d.Curve[first-1] >= d.Curve[best]*(1-plateau) {
		first--
	}
	for end < n-1 && d.Curve[end+1] >= d.Curve[best]*(1-plateau) {
		end++
	}
	d.Best, d.First, d.Last, d.Caught = terms.Today+best, terms.Today+first, terms.Today+end, d.Curve[best]
	d.WeekEarlier, d.WeekLater = d.Share(d.Best-7), d.Share(d.Best+7)
	missed, timed := 0, 0
	for i := range shares {
		top := 0.0
		for _, s := range shares[i] {
			top = max(top, s)
		}
		if top > 0 {
			d.OfHindsight += shares[i][best] / top / float64(d.Years)
			if shares[i][best] >= nearBest*top {
				timed++
			}
		}
	}
	for i := range years {
		if years[i].Runs(years[i].First, d.Best-1) >= firstRun {
			missed++
		}
	}
	d.Missed = float64(missed) / float64(len(years))
	d.OfHindsight = min(1, d.OfHindsight)
	// Laplace's rule of succession (1774): a thing that came n times of n is not certain. Without it thirteen years, all
	// of which agree, would make a certainty.
	d.WellTimed = float64(timed+1) / float64(d.Years+2)
	return d
}

// holeYield returns what a hole gives by its age in days, as a share of what it gave when fresh: all for two thirds of
// its life, then less each day, half at its life and nothing at four thirds. With a life of six weeks that is four weeks
// of full flow and the last at eight: what growers report of buckets, from memory. That it falls in a straight line is
// our own choice.
func holeYield(life int) []float64 {
	full, dry := float64(life)*2/3, float64(life)*4/3
	yield := make([]float64, 0, int(dry)+1)
	for age := 0.0; age < dry; age++ {
		yield = append(yield, min(1, (dry-age)/(dry-full)))
	}
	return yield
}

// smoothed returns a way's run days with those of another year averaged over a fortnight: on which day of another year it
// ran says nothing of this one. Days that are its own, observed or forecast, stand as they are.
func smoothed(y *phenology.SapYear) []float64 {
	runs := make([]float64, len(y.Days))
	for i, d := range y.Days {
		if i <= y.Known-y.First {
			runs[i] = d.Likelihood
			continue
		}
		sum, weight := 0.0, 0.0
		for k := max(i-drawnSmooth, y.Known-y.First+1, 0); k <= i+drawnSmooth && k < len(y.Days); k++ {
			w := float64(drawnSmooth + 1 - max(k-i, i-k))
			sum, weight = sum+w*y.Days[k].Likelihood, weight+w
		}
		runs[i] = sum / weight
	}
	return runs
}

// crewShares returns, for each of n days from an index on, the run days caught if drilling begins then and takes some
// days, in equal parts.
func crewShares(runs []float64, from, n int, yield []float64, days int) []float64 {
	one := make([]float64, n+days-1)
	full := 0 // days of full yield; then it falls in a straight line, so that running sums give the rest
	for full < len(yield) && yield[full] == 1 {
		full++
	}
	slope := 0.0
	if len(yield) > full+1 {
		slope = yield[full] - yield[full+1]
	}
	sum0, sum1 := make([]float64, len(runs)+1), make([]float64, len(runs)+1) // of runs, and of runs times their index
	for i, r := range runs {
		sum0[i+1], sum1[i+1] = sum0[i]+r, sum1[i]+float64(i)*r
	}
	at := func(i int) int { return max(0, min(i, len(runs))) }
	for k := range one {
		a, b, c := at(from+k), at(from+k+full), at(from+k+len(yield))
		one[k] = sum0[b] - sum0[a]
		if c > b {
			// A run on day i has yield[full] less slope for each day that i is past the first of these.
			one[k] += (yield[full]+slope*float64(from+k+full))*(sum0[c]-sum0[b]) - slope*(sum1[c]-sum1[b])
		}
	}
	if days == 1 {
		return one
	}
	sum := 0.0
	for k := range days - 1 {
		sum += one[k]
	}
	all := make([]float64, n)
	for k := range all {
		sum += one[k+days-1]
		all[k] = sum / float64(days)
		sum -= one[k]
	}
	return all
}
