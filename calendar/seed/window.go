package seed

import (
	"math"

	"treewhen/phenology"
	"treewhen/phenology/civil"
)

// seedTime is when ripe seed can be had: from the day on which it opens, for as long as it stays. The two are taken as
// independent of each other; what a profile counts from ripeness, it counts as a lag with a spread of its own.
type seedTime struct {
	opens phenology.Estimate
	first civil.Date
	at    []float64 // probability that it opens on first, first+1, ...
	stay  float64   // days; mean
	sd    float64   // days
	still []float64 // probability that it can still be had 0, 1, ... days after
	rests []phenology.Estimate

	visits []float64 // chance that one visit finds seed, on first, first+1, ...
}

// stayShare is the least spread of how long seed stays, as a share of its mean: nobody's trees drop theirs by the
// clock. Our own choice.
const stayShare = 0.25

// seedTimeOf works out when seed can be had from its phases, and whether they can be dated.
func seedTimeOf(est phenology.Estimates, gather phenology.Gathering) (seedTime, bool) {
	ripe, fall, end := est.Get(phenology.FruitRipe), est.Get(phenology.SeedFall), est.Get(phenology.SeedFallEnd)
	t := seedTime{opens: ripe, rests: []phenology.Estimate{ripe}}
	if !ripe.HasDate() || !fall.HasDate() && !end.HasDate() {
		return t, false
	}
	var goneMean, goneVar float64
	switch {
	case fall.HasDate() && (gather == phenology.BeforeFall || !end.HasDate()):
		goneMean, goneVar = fall.Dist.Mean(), square(fall.Dist.SD())
		t.rests = append(t.rests, fall)
	case fall.HasDate():
		// Half of it is down midway between the first fall and the last.
		goneMean = (fall.Dist.Mean() + end.Dist.Mean()) / 2
		goneVar = square(fall.Dist.SD()) + max(0, square(end.Dist.SD())-square(fall.Dist.SD()))/4
		t.rests = append(t.rests, fall, end)
	default:
		goneMean, goneVar = end.Dist.Mean(), square(end.Dist.SD())
		t.rests = append(t.rests, end)
	}
	if gather == phenology.OnceFallen && fall.HasDate() && fall.Dist.Mean() > ripe.Dist.Mean() {
		t.opens = fall
	}
	t.stay = max(1, goneMean-t.opens.Dist.Mean())
	t.sd = math.Sqrt(max(goneVar-square(t.opens.Dist.SD()), square(stayShare*t.stay)))
	t.first = t.opens.Quantile(0.001)
	last := max(t.first, t.opens.Quantile(0.999))
	before := 0.0
	for d := t.first; d <= last; d++ {
		by := t.opens.By(d)
		if d == last {
			by = 1
		}
		t.at = append(t.at, by-before)
		before = by
	}
	for days := range int(t.stay+3.5*t.sd) + 2 {
		p := 1.0
		if days > 0 {
			p = 0.5 * math.Erfc((float64(days)-t.stay)/t.sd/math.Sqrt2)
		}
		t.still = append(t.still, p)
	}
	for d := t.first; d <= t.last(); d++ {
		t.visits = append(t.visits, t.within(civil.Span{First: d, Last: d}))
	}
	return t, true
}

func square(x float64) float64 { return x * x }

// stays returns the probability that seed can still be had some days after it could first.
func (t seedTime) stays(days int) float64 {
	switch {
	case days <= 0:
		return 1
	case days >= len(t.still):
		return 0
	}
	return t.still[days]
}

// on returns the probability that seed can be had on a day: that one visit finds it.
func (t seedTime) on(d civil.Date) float64 {
	if i := int(d - t.first); i >= 0 && i < len(t.visits) {
		return t.visits[i]
	}
	return 0
}

// within returns the probability that seed can be had on at least one day of a span.
func (t seedTime) within(s civil.Span) float64 {
	p := 0.0
	// What opened so long before that nothing is left of it adds nothing.
	from := max(0, int(s.First-t.first)-len(t.still)+1)
	to := min(len(t.at)-1, int(s.Last-t.first))
	for i := from; i <= to; i++ {
		p += t.at[i] * t.stays(int(s.First-t.first)-i)
	}
	return min(p, 1)
}

// last returns a day after which seed can hardly be had.
func (t seedTime) last() civil.Date {
	return t.first + civil.Date(len(t.at)) + civil.Date(math.Ceil(t.stay+2.5*t.sd))
}

// best returns the earliest day on which a visit is all but as likely to find seed as on any, and how likely.
func (t seedTime) best() (civil.Date, float64) {
	_, top := civil.Span{First: t.first, Last: t.last()}.Likeliest(t.on)
	for d := t.first; ; d++ {
		if p := t.on(d); p >= fairlyBest*top {
			return d, p
		}
	}
}

const (
	fairlyBest   = 0.97 // of the highest chance of a visit: the first such day is the best, before others gather
	collectShare = 0.5  // of the highest chance: days below it are not in the collection window
)

// window returns the days on which a visit is worth its while.
func (t seedTime) window() civil.Span {
	best, p := t.best()
	s := civil.Span{First: best, Last: best}
	for s.First > t.first && t.on(s.First-1) >= collectShare*p {
		s.First--
	}
	for last := t.last(); s.Last < last && t.on(s.Last+1) >= collectShare*p; {
		s.Last++
	}
	return s
}
