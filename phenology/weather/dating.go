package weather

import (
	"fmt"
	"math"

	"treewhen/phenology/civil"
)

// Bounds of the tests for misdated values.
const (
	// Of a record by itself. In the rightly dated records looked at (Montreal 1995-2013, Harvard Forest's automatic
	// station 2001-2013) the score below is about -2.3 a year; noise alone exceeds +3 once in seven hundred.
	ownDatingScore = 3.0
	ownDatingDays  = 365
	// Of two records. The better dating must beat the file's own by a sixth and by four standard errors: our choice.
	pairDatingScore = 4.0
	pairDatingDays  = 30
	pairDatingRatio = 0.85
)

// ownDating is what a record by itself tells of how its maxima are dated.
//
// A day's maximum, in the afternoon, comes some 15 hours before the next morning's minimum and 33 hours after the
// morning's before. So the changes of the maximum from day to day resemble the changes of the next morning's minimum
// more than those of the morning's before. In a record whose maxima are dated a day late, as they are where an observer
// reads both at breakfast and writes both to that day, it is the other way round. (The argument is our own; the
// practice of the breakfast reading is common knowledge of climate records, no source.)
type ownDating struct {
	days int
	// Mean absolute difference between the day-to-day change of the maximum and that of the minimum dated so many days
	// later, from -1 to 2; degrees Celsius.
	errors      [4]float64
	late, early float64 // scores; positive: the maxima look dated a day late, a day early
}

// dateAlone compares a record's maxima with its own minima.
func dateAlone(s Series) ownDating {
	var o ownDating
	low, high := changes(s, minimum), changes(s, maximum)
	late, early := make([]float64, 0, len(low)), make([]float64, 0, len(low))
	for t := 1; t+2 < len(low); t++ {
		var e [4]float64
		if !addApart(e[:], o.errors[:], high[t], low[t-1:]) {
			continue
		}
		late = append(late, e[2]-e[0])
		early = append(early, e[1]-e[3])
	}
	o.days = len(late)
	for k := range o.errors {
		o.errors[k] /= float64(max(o.days, 1))
	}
	o.late, o.early = score(late), score(early)
	return o
}

// says returns +1 if the record shows its maxima to be dated a day late, -1 if a day early, and whether it shows
// anything; 0 and true say that they are dated right.
func (o ownDating) says() (late int, ok bool) {
	switch {
	case o.days < ownDatingDays:
		return 0, false
	case o.late > ownDatingScore:
		return 1, true
	case o.early > ownDatingScore:
		return -1, true
	}
	return 0, o.late < -ownDatingScore && o.early < -ownDatingScore
}

func (o ownDating) finding() (Finding, bool) {
	late, ok := o.says()
	if !ok || late == 0 {
		return Finding{}, false
	}
	f := Finding{Kind: FindingShift, Days: o.days}
	if late > 0 {
		f.Text = fmt.Sprintf("its maxima look dated one day late, or its minima one day early: from day to day the "+
			"maxima change with the minimum of the morning before (difference %s) rather than with that of the next "+
			"(%s), on the mean of %d days, %.1f standard errors apart; compare with a neighbouring station to tell "+
			"which before ordering it", degrees(o.errors[0]), degrees(o.errors[2]), o.days, o.late)
	} else {
		f.Text = fmt.Sprintf("its maxima look dated one day early, or its minima one day late: from day to day the "+
			"maxima change with the minimum dated two days later (difference %s) rather than with that of their own "+
			"day (%s), on the mean of %d days, %.1f standard errors apart; compare with a neighbouring station to "+
			"tell which before ordering it", degrees(o.errors[3]), degrees(o.errors[1]), o.days, o.early)
	}
	f.suggest(Correction{ShiftMax: -late})
	return f, true
}

// aside is what the record itself says of a lag that another record shows; late is as [ownDating.says] has it.
func (o ownDating) aside(late int) string {
	says, ok := o.says()
	if !ok || says != late {
		return ""
	}
	near, far := o.errors[0], o.errors[2]
	which := "morning before (difference %s) rather than with that of the next (%s)"
	if late < 0 {
		near, far = o.errors[3], o.errors[1]
		which = "second morning after (difference %s) rather than with that of its own day (%s)"
	}
	return fmt.Sprintf("; the file by itself shows the same: its maxima change with the minimum of the "+which,
		degrees(near), degrees(far))
}

// addApart sets e to how far a change is from others, and adds that to sums; false, and it adds nothing, if any of them
// is missing.
func addApart(e, sums []float64, change float64, others []float64) bool {
	for k := range e {
		e[k] = math.Abs(change - others[k])
		if math.IsNaN(e[k]) {
			return false
		}
	}
	for k := range e {
		sums[k] += e[k]
	}
	return true
}

// changes returns a value's change from the day before, day by day; NaN where either is missing or was not observed.
func changes(s Series, value func(*Day) *float64) []float64 {
	out := make([]float64, len(s.Days))
	before := math.NaN()
	for i := range s.Days {
		v := *value(&s.Days[i])
		if s.Days[i].Flags.Invented() {
			v = math.NaN()
		}
		out[i] = v - before
		before = v
	}
	return out
}

// pair is what a trusted and a lesser record show of each other, for minima or for maxima.
type pair struct {
	JoinOffset
	isMax   bool
	changes int        // days that its lag's errors are the mean of
	gain    [3]float64 // scores by which each lag beats lag 0, per day
	fahren  float64    // the spread of the daily differences around 'the lesser is the other in Fahrenheit'
}

// comparison is a pair of records.
type comparison struct{ min, max pair }

func compare(trusted, lesser Series) comparison {
	return comparison{comparePair(trusted, lesser, minimum, false), comparePair(trusted, lesser, maximum, true)}
}

func comparePair(trusted, lesser Series, value func(*Day) *float64, isMax bool) pair {
	p := pair{isMax: isMax, JoinOffset: JoinOffset{Span: noDays}}
	p.findLag(trusted, lesser, value)
	p.findOffset(trusted, lesser, value)
	return p
}

func (p *pair) findLag(trusted, lesser Series, value func(*Day) *float64) {
	shared := trusted.Span().Intersect(lesser.Span())
	if shared.Days() < pairDatingDays {
		return
	}
	a := changes(clip(trusted, shared), value)
	b := changes(clip(lesser, shared), value)
	var gains [3][]float64
	for t := 1; t+1 < len(a); t++ {
		var e [3]float64
		if !addApart(e[:], p.LagErrors[:], a[t], b[t-1:]) {
			continue
		}
		for k := range e {
			gains[k] = append(gains[k], e[1]-e[k])
		}
		p.changes++
	}
	for k := range p.LagErrors {
		p.LagErrors[k] /= float64(max(p.changes, 1))
		p.gain[k] = score(gains[k])
	}
	if p.changes < pairDatingDays {
		return
	}
	best := 1
	for k, e := range p.LagErrors {
		if e < p.LagErrors[best] {
			best = k
		}
	}
	if p.gain[best] > pairDatingScore && p.LagErrors[best] < pairDatingRatio*p.LagErrors[1] {
		p.Lag = best - 1
	}
}

// clip returns the days of s that are in a span, which s must cover. It shares memory with s.
func clip(s Series, to civil.Span) Series {
	return Series{First: to.First, Days: s.Days[to.First-s.First : to.Last-s.First+1]}
}

func (p *pair) what() string {
	if p.isMax {
		return "maxima"
	}
	return "minima"
}

// shift tells of a lag between source i and the less trusted source j, and blames the lesser, unless the records by
// themselves show that the more trusted one is misdated and the lesser is not.
func (p *pair) shift(sources []Source, i, j int, dates []ownDating) (Finding, bool) {
	if p.Lag == 0 {
		return Finding{}, false
	}
	late, blamed, other := p.Lag, j, i
	witness := p.Lag // late minima look, within a record, like early maxima
	if !p.isMax {
		witness = -p.Lag
	}
	trusted, okTrusted := dates[i].says()
	lesser, okLesser := dates[j].says()
	if okTrusted && trusted == -witness && !(okLesser && lesser == witness) {
		late, blamed, other, witness = -late, i, j, -witness
	}
	errors := p.LagErrors
	if blamed == i {
		errors[0], errors[2] = errors[2], errors[0]
	}
	when := "late"
	if late < 0 {
		when = "early"
	}
	f := Finding{Kind: FindingShift, Source: blamed, Span: p.Span, Days: p.changes}
	f.Text = fmt.Sprintf("its %s are dated one day %s: their day-to-day changes differ from those of %s by %s on the "+
		"mean as dated, by %s moved one day earlier and by %s one day later (%d days, %v to %v)",
		p.what(), when, sources[other].Name, degrees(errors[1]), degrees(errors[2]), degrees(errors[0]), p.changes,
		p.Span.First, p.Span.Last)
	f.Text += dates[blamed].aside(witness)
	if p.isMax {
		f.suggest(Correction{ShiftMax: -late})
	} else {
		f.suggest(Correction{ShiftMin: -late})
	}
	return f, true
}
