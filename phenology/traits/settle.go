package traits

import (
	"cmp"
	"slices"

	"treewhen/phenology/civil"
)

// yearAhead is how many days after the day asked about a settlement is looked for.
const yearAhead = 366

// aYear is a spell's chances on the days of a year, and the highest of them.
type aYear struct {
	p   []float64
	top float64
}

// candidate is a character that settles a pair, and on which day after the day asked about, 0 for the first.
type candidate struct {
	split *split
	on    int
}

// Settled returns how a pair can be told apart and, unless it can be on the day, what settles it at another time: see
// [Pair.Settle]. It looks through a year, so that it is asked of those pairs alone of which that is said.
func (c *Comparison) Settled(pair int) Pair {
	p := c.Pair(pair)
	if p.Ease == Apart {
		return p
	}
	if c.of.aheadOf != c.Day {
		clear(c.of.ahead)
		c.of.aheadOf = c.Day
	}
	better := Presence // what the day's characters do, none needs to wait for
	if len(p.By) > 0 {
		better = min(better, p.By[0].Doubt)
	}
	splits := c.of.splitsOf(pair)
	p.Settle = c.of.settlement(splits, better)
	if p.Ease == NotApart && p.Settle != nil {
		// Where there is nothing to go by on the day, a season is too long to wait for what shows at a glance.
		const season = 90
		if by := c.of.settlementBy(splits, Handling); by != nil && by.Span.First+season < p.Settle.Span.First {
			p.Settle = by
		}
	}
	return p
}

// settlement returns the soonest check in the year after the day, of less doubt than the day's own: one that anybody
// can make, and failing that one that needs handling. A better character is worth waiting a fortnight for.
func (s *Separator) settlement(splits []split, better Doubt) *Settlement {
	for doubt := NoDoubt; doubt < better; doubt++ {
		if got := s.settlementBy(splits, doubt); got != nil {
			return got
		}
	}
	return nil
}

// settlementBy returns the soonest check in the year after the day among characters of one doubt.
func (s *Separator) settlementBy(splits []split, doubt Doubt) *Settlement {
	const fortnight = 14
	for _, enough := range []float64{settledAt, splitAt} {
		s.found = s.found[:0]
		soonest := yearAhead
		for i := range splits {
			if splits[i].doubt != doubt {
				continue
			}
			// What comes later than a fortnight after another is not chosen, so that nobody looks for it.
			if on, ok := s.firstDay(&splits[i], enough, soonest+fortnight); ok {
				s.found = append(s.found, candidate{&splits[i], on})
				soonest = min(soonest, on)
			}
		}
		s.found = slices.DeleteFunc(s.found, func(c candidate) bool { return c.on > soonest+fortnight })
		if len(s.found) == 0 {
			continue
		}
		best := slices.MinFunc(s.found, func(x, y candidate) int {
			return cmp.Or(cmp.Compare(x.split.handy, y.split.handy), cmp.Compare(x.on, y.on))
		})
		x := best.split
		got := &Settlement{Split: Split{A: s.traits[x.a].Trait, B: s.traits[x.b].Trait, Doubt: x.doubt}}
		got.P, got.Span = s.run(x, enough, best.on)
		return got
	}
	return nil
}

// after returns a spell's chances on the days after the day last asked about.
func (s *Separator) after(spell int32) *aYear {
	o := &s.ahead[spell]
	if o.p != nil {
		return o
	}
	if spell == 0 {
		*o = aYear{slices.Repeat([]float64{1}, yearAhead), 1}
		return o
	}
	o.p = make([]float64, 0, yearAhead)
	for len(o.p) < yearAhead {
		d := s.aheadOf + 1 + civil.Date(len(o.p))
		p, steady := s.spells[spell].on(d)
		for ; d <= steady.Last && len(o.p) < yearAhead; d++ {
			o.p = append(o.p, p)
		}
	}
	o.top = slices.Max(o.p)
	return o
}

// firstDay returns the first day, up to a last one, after the day last asked about on which a character can be seen on
// both with enough probability: 0 for the first.
func (s *Separator) firstDay(x *split, enough float64, last int) (on int, ok bool) {
	a, b := s.after(x.spellA), s.after(x.spellB)
	if a.top*b.top < enough {
		return 0, false
	}
	for i := range min(last+1, yearAhead) {
		if a.p[i]*b.p[i] >= enough {
			return i, true
		}
	}
	return 0, false
}

// run returns the days, from a first one on, on which a character can be seen on both with enough probability, and the
// highest of these probabilities.
func (s *Separator) run(x *split, enough float64, on int) (top float64, span civil.Span) {
	a, b := s.after(x.spellA), s.after(x.spellB)
	span.First = s.aheadOf + 1 + civil.Date(on)
	for i := on; i < yearAhead; i++ {
		p := a.p[i] * b.p[i]
		if p < enough {
			break
		}
		span.Last, top = s.aheadOf+1+civil.Date(i), max(top, p)
	}
	return top, span
}
