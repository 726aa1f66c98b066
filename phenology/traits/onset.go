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
	dist  phenology.Distribution
	moves civil.Span // the days on which the chance changes: none before, all behind them
	open  civil.Span // of these, the days on which it may be neither below a tenth nor above nine: none outside
	start phenology.SeasonDay
	p     []float64 // by day of moves, 0: not yet worked out; nil until one is asked for
	all   float64
}

func newOnset(e *phenology.Estimate) *onset {
	o := &onset{dist: e.Dist, all: e.Dist.CDF(math.Inf(1))}
	// Where each of its distributions is below a tenth, so is their mean.
	const tenth = 1.3 // standard deviations, and a little
	o.moves, o.start = within(e, normal.Reach)
	o.open, _ = within(e, tenth)
	return o
}

// within returns the days within so many standard deviations of one of an estimate's means, and the first of them.
func within(e *phenology.Estimate, reach float64) (civil.Span, phenology.SeasonDay) {
	first, last := math.Inf(1), math.Inf(-1)
	for _, c := range e.Dist {
		first, last = min(first, c.Mean-reach*c.SD), max(last, c.Mean+reach*c.SD)
	}
	const margin = 2 // days: the middle of a day, and what rounding could hide
	start := phenology.SeasonDay(math.Floor(first)) - margin
	return civil.Span{First: e.Season.Date(start),
		Last: e.Season.Date(phenology.SeasonDay(math.Ceil(last)) + margin - 1)}, start
}

// by is [phenology.Estimate.By].
func (o *onset) by(d civil.Date) float64 {
	switch {
	case d < o.moves.First:
		return 0
	case d > o.moves.Last:
		return o.all
	}
	if o.p == nil {
		o.p = make([]float64, o.moves.Days())
	}
	i := d - o.moves.First
	if o.p[i] == 0 {
		o.p[i] = o.dist.CDF((o.start + phenology.SeasonDay(i)).End() + 0.5)
	}
	return o.p[i]
}

// steady cuts a span down to the days around d on which the chance stays what it is on d.
func (o *onset) steady(span civil.Span, d civil.Date) civil.Span {
	switch {
	case d < o.moves.First:
		span.Last = min(span.Last, o.moves.First-1)
	case d > o.moves.Last:
		span.First = max(span.First, o.moves.Last+1)
	default:
		return civil.Span{First: d, Last: d}
	}
	return span
}
