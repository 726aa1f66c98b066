package tapping

import (
	"math"

	"treewhen/phenology"
)

const (
	FirstRunDay = 1    // runs are counted from 1 January of the season (2 July in the south)
	Plateau     = 0.02 // days that catch within this share of the best are as good as the best
	nearBest    = 0.8  // a hole that catches this share of what hindsight would have is well timed
	firstRun    = 2    // so many run days gone by are a first run missed
	lateShare   = 0.15 // with less than this share of the season's runs ahead it is too late to tap
	drawnSmooth = 7    // days to either side over which another year's runs are averaged at most: see smoothed
)

// Terms are the terms on which a tapping day is decided.
type Terms struct {
	Today     phenology.SeasonDay // from which drilling can begin
	Hole      HoleLife
	DaysToTap int // days that the job takes, at least 1
}

// Decision is a day to begin drilling, and its price. Days are days of the season; shares are means over the ways in
// which the season may go, of the run days of the whole season that the holes catch.
//
// Best is today if holes drilled today can be expected to catch at least what those of the best way of waiting would,
// and otherwise the best of the days after today. The ways of waiting are to begin on one of these days, come what
// may, or on the first morning, from one of them on, that follows a run day: whoever waits can look at the weather
// first. That a plain rule such as this one stands for all that may be done later, while today is decided anew each
// morning, is called a rollout: Bertsekas & Castañon (1999), Rollout algorithms for stochastic scheduling problems,
// Journal of Heuristics 5:89-108 (from memory).
type Decision struct {
	Terms       Terms
	Years       int                 // ways in which the season may go
	Best        phenology.SeasonDay // on which to begin
	First, Last phenology.SeasonDay // to begin on that are as good as Best: within [Plateau] of it
	Caught      float64             // share caught, begun on Best
	Waiting     float64             // share caught by the best way of waiting; NaN if today is the last day
	Later       phenology.SeasonDay // the best to begin on after today
	// that way is to begin on the first morning from this day on that follows a run day; 0 if it is to begin on a
	// fixed day
	RunFrom     phenology.SeasonDay
	WeekEarlier float64 // begun seven days before; NaN if that day is past
	WeekLater   float64
	Gone        float64 // share that has run before today
	Late        bool    // hardly any run is still to come
	Missed      float64 // share of the ways in which two run days or more go by before Best
	OfHindsight float64 // what Best catches, of what the best day of each way would
	WellTimed   float64 // the chance that it is at least four fifths, judged from the share of the ways in which it is
	Curve       []float64

	years  []phenology.SapYear // the ways
	shares []float64           // of each way, one after the other, on each day from today on
	tops   []float64           // the most of these, of each way
}

// Now reports whether to begin today.
func (d *Decision) Now() bool { return d.Best == d.Terms.Today }

// Share returns the mean share caught when drilling begins on a day; NaN for a day that was not looked at.
func (d *Decision) Share(day phenology.SeasonDay) float64 {
	if i := int(day - d.Terms.Today); i >= 0 && i < len(d.Curve) {
		return d.Curve[i]
	}
	return math.NaN()
}

// Decide compares tapping today with waiting, and every day from today on with the others, by the share of each
// way's runs that holes drilled then would catch. It returns nil where there is nothing to compare.
func Decide(years []phenology.SapYear, terms Terms) *Decision {
	terms.Today = max(terms.Today, FirstRunDay)
	terms.DaysToTap = max(terms.DaysToTap, 1)
	last := phenology.SeasonDay(0)
	for i := range years {
		last = max(last, years[i].End)
	}
	n := int(last - terms.Today)
	if n <= 0 {
		return nil
	}
	d := &Decision{Terms: terms, Years: len(years), Curve: make([]float64, n), years: years,
		shares: make([]float64, n*len(years)), tops: make([]float64, len(years))}
	catch := newCatcher(terms.Hole, terms.DaysToTap)
	defer catchers.Put(catch)
	firstRuns := make([]float64, n) // caught by who waits from a day on for the first morning after a run day
	evenedShare := make([]float64, n)
	ran := false // in any way
	for i := range years {
		y, share := &years[i], d.shares[i*n:][:n]
		if sum(y.Flow) < 1 {
			continue // a year in which sap hardly ran counts, as one in which no hole catches anything
		}
		ran = true
		evened := smoothed(y, y.Flow, catch.room[:0])
		catch.room = evened
		catch.load(y, y.Flow, evened)
		today := int(terms.Today - y.First) // its index among the way's days
		for _, run := range evened[:min(max(today, 0), len(evened))] {
			d.Gone += run / catch.evened.total
		}
		catch.shares(share, evenedShare, today)
		for k, s := range evenedShare {
			d.Curve[k] += s
			if share[k] > d.tops[i] {
				d.tops[i] = share[k]
			}
		}
		waited := 0.0
		for k := n - 1; k >= 0; k-- {
			if j := today + k - 1; j >= 0 && j < len(y.Days) && y.Days[j] >= likelyRunDay {
				waited = share[k]
			}
			firstRuns[k] += waited
		}
	}
	if !ran {
		return nil
	}
	ways := float64(len(years))
	for k := range d.Curve {
		d.Curve[k] /= ways
		firstRuns[k] /= ways
	}
	d.Gone = min(1, d.Gone/ways)
	d.Late = 1-d.Gone < lateShare
	d.begin(terms.Today + phenology.SeasonDay(d.choose(firstRuns)))
	return d
}

// begin sets the day on which to begin, and its price.
func (d *Decision) begin(day phenology.SeasonDay) {
	n := len(d.Curve)
	best := int(day - d.Terms.Today)
	first, end := best, best
	for first > 0 && d.Curve[first-1] >= d.Curve[best]*(1-Plateau) {
		first--
	}
	for end < n-1 && d.Curve[end+1] >= d.Curve[best]*(1-Plateau) {
		end++
	}
	d.First, d.Last = d.Terms.Today+phenology.SeasonDay(first), d.Terms.Today+phenology.SeasonDay(end)
	d.Best, d.Caught = day, d.Curve[best]
	d.WeekEarlier, d.WeekLater = d.Share(day-7), d.Share(day+7)
	missed, timed := 0, 0
	for i := range d.years {
		if y := &d.years[i]; y.Runs(y.First, day-1) >= firstRun {
			missed++
		}
		if top := d.tops[i]; top > 0 && d.shares[i*n+best] >= nearBest*top {
			timed++
		}
	}
	ways := float64(len(d.years))
	d.Missed, d.OfHindsight = float64(missed)/ways, min(1, d.OfBest(day))
	// Laplace's rule of succession (1774): a thing that came n times of n is not certain. Without it thirteen years,
	// all of which agree, would make a certainty.
	d.WellTimed = float64(timed+1) / (ways + 2)
}

// keep keeps days that were named as being as good as Best, from a first to a last, for as long as all up to there
// catch within twice [Plateau] of it.
func (d *Decision) keep(first, last phenology.SeasonDay) {
	good := func(from, to phenology.SeasonDay) bool {
		for day := from; day <= to; day++ {
			if !(d.Share(day) >= d.Caught*(1-2*Plateau)) { // nor if it is past
				return false
			}
		}
		return from <= to
	}
	if good(first, d.Best) {
		d.First = first
	}
	if good(d.Best, last) {
		d.Last = last
	}
}

// tie is by how much shares may differ and be the same.
const tie = 1e-9

// waiting is a way of waiting: to begin on a day, or on the first morning from it on that follows a run day.
type waiting struct {
	day    phenology.SeasonDay
	forRun bool
}

// bestWaiting returns the best way of waiting that a decision knows.
func (d *Decision) bestWaiting() waiting {
	if d.RunFrom > 0 {
		return waiting{d.RunFrom, true}
	}
	return waiting{d.Later, false}
}

// beats reports whether a way of waiting catches so much more than drilling today that [Decide] would not say to begin
// today. It looks at no other day: where it is false, other ways may still be better.
func (w waiting) beats(years []phenology.SapYear, terms Terms) bool {
	w.day = max(w.day, terms.Today+1)
	catch := newCatcher(terms.Hole, terms.DaysToTap)
	defer catchers.Put(catch)
	var asItRuns, evened [1]float64
	lead := 0.0
	for i := range years {
		y := &years[i]
		if sum(y.Flow) < 1 {
			continue
		}
		catch.room = smoothed(y, y.Flow, catch.room[:0])
		catch.load(y, y.Flow, catch.room)
		catch.shares(asItRuns[:], evened[:], int(terms.Today-y.First))
		lead -= evened[0]
		on := int(w.day - y.First)
		for w.forRun && on <= len(y.Days) && (on < 1 || y.Days[on-1] < likelyRunDay) {
			on++
		}
		catch.shares(asItRuns[:], evened[:], on)
		if w.forRun {
			lead += asItRuns[0]
		} else {
			lead += evened[0]
		}
	}
	return lead > 2*tie*float64(len(years))
}

// choose returns the index of the day on which to begin, and sets what waiting promises. FirstRuns is the share caught
// by who begins on the first morning, from a day on, that follows a run day.
func (d *Decision) choose(firstRuns []float64) (best int) {
	d.Waiting = math.NaN()
	if len(d.Curve) == 1 {
		return 0
	}
	best = 1
	for k := 2; k < len(d.Curve); k++ {
		if d.Curve[k] > d.Curve[best]+tie {
			best = k
		}
	}
	d.Later, d.Waiting = d.Terms.Today+phenology.SeasonDay(best), d.Curve[best]
	for k := 1; k < len(firstRuns); k++ {
		if firstRuns[k] > d.Waiting+tie {
			d.Waiting, d.RunFrom = firstRuns[k], d.Terms.Today+phenology.SeasonDay(k)
		}
	}
	if d.Curve[0] >= d.Waiting-tie {
		return 0
	}
	return best
}

// smoothed appends to a list a way's run days with those of another year averaged over the days about them: on which
// day of another year it ran says nothing of this one, the less the farther ahead, up to a fortnight. Days that are
// the season's own stand as they are.
func smoothed(y *phenology.SapYear, runs, list []float64) []float64 {
	known := int(y.Known - y.First)
	for i, run := range runs {
		reach := min(drawnSmooth, (i-known)/2)
		if reach <= 0 {
			list = append(list, run)
			continue
		}
		if reach == drawnSmooth && i >= reach && i+reach < len(runs) { // as below, on most days, and in half the time
			list = append(list, evenedOver((*[2*drawnSmooth + 1]float64)(runs[i-reach:])))
			continue
		}
		sum, weight := 0.0, 0.0
		for k := max(i-reach, known+1, 0); k <= i+reach && k < len(runs); k++ {
			w := float64(reach + 1 - max(k-i, i-k))
			sum, weight = sum+w*runs[k], weight+w
		}
		list = append(list, sum/weight)
	}
	return list
}

// evenedOver is the mean of a day and those to either side of it, each weighed the less the farther off it is.
func evenedOver(r *[2*drawnSmooth + 1]float64) float64 {
	const weight = (drawnSmooth + 1) * (drawnSmooth + 1)
	return (r[0] + 2*r[1] + 3*r[2] + 4*r[3] + 5*r[4] + 6*r[5] + 7*r[6] + 8*r[7] +
		7*r[8] + 6*r[9] + 5*r[10] + 4*r[11] + 3*r[12] + 2*r[13] + r[14]) / weight
}
