package traits

import (
	"math"

	"treewhen/phenology"
	"treewhen/phenology/civil"
	"treewhen/phenology/normal"
)

// onset is an estimate's chance day by day, remembered: what people are to see asks for the same days again and again,
// and on most days of a year the chance is none or all. It is not safe for use by several goroutines.
type onset struct {
	dist   phenology.Distribution
	anchor civil.Date          // of the season
	first  phenology.SeasonDay // before it the chance is none
	p      []float64           // from first on, NaN: not yet worked out; behind its end the chance is all
	all    float64
}

// onset returns what the watch remembers of one of its estimates.
func (w *Watch) onset(e phenology.Estimate, key onsetKey) *onset {
	if o, ok := w.onsets[key]; ok {
		return o
	}
	o := newOnset(e)
	w.onsets[key] = o
	return o
}

func newOnset(e phenology.Estimate) *onset {
	o := &onset{dist: e.Dist, anchor: e.Season.Anchor(), all: e.Dist.CDF(math.Inf(1))}
	first, last := math.Inf(1), math.Inf(-1)
	for _, c := range e.Dist {
		first, last = min(first, c.Mean-normal.Reach*c.SD), max(last, c.Mean+normal.Reach*c.SD)
	}
	const margin = 2 // days: the middle of a day, and what rounding could hide
	o.first = phenology.SeasonDay(math.Floor(first)) - margin
	o.p = make([]float64, phenology.SeasonDay(math.Ceil(last))+margin-o.first)
	for i := range o.p {
		o.p[i] = math.NaN()
	}
	return o
}

// by is [phenology.Estimate.By].
func (o *onset) by(d civil.Date) float64 {
	day := phenology.SeasonDay(d-o.anchor) + 1
	switch i := day - o.first; {
	case i < 0:
		return 0
	case i >= phenology.SeasonDay(len(o.p)):
		return o.all
	default:
		if math.IsNaN(o.p[i]) {
			o.p[i] = o.dist.CDF(day.End() + 0.5)
		}
		return o.p[i]
	}
}
