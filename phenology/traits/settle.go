package traits

import (
	"cmp"
	"slices"

	"treewhen/phenology/civil"
)

// yearAhead is how many days after the day asked about a settlement is looked for.
const yearAhead = 366

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
		for i, p := range c.of.ahead {
			c.of.ahead[i] = p[:0]
		}
		c.of.aheadOf = c.Day
	}
	better := Presence // what the day's characters do, none needs to wait for
	if len(p.By) > 0 {
		better = min(better, p.By[0].Doubt)
	}
	// The soonest of less doubt than the day's own: one that anybody can make, and failing that one that needs
	// handling. A better character is worth waiting for.
	splits := c.of.pairs[pair].splits
	for doubt := NoDoubt; doubt < better && p.Settle == nil; doubt++ {
		p.Settle = c.of.settlementBy(splits, doubt)
	}
	if p.Ease == NotApart && p.Settle != nil {
		// Where there is nothing to go by on the day, a season is too long to wait for what shows at a glance.
		const season = 90
		if by := c.of.settlementBy(splits, Handling); by != nil && by.Span.First+season < p.Settle.Span.First {
			p.Settle = by
		}
	}
	return p
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
		return &Settlement{s.told(best.split), s.run(best.split, enough, best.on)}
	}
	return nil
}

// after returns a spell's chance so many days behind the day after the day last asked about.
func (s *Separator) after(spell int32, days int) float64 {
	for len(s.ahead[spell]) <= days {
		d := s.aheadOf + 1 + civil.Date(len(s.ahead[spell]))
		p, steady := 1.0, civil.Span{Last: d + yearAhead}
		if spell > 0 {
			p, steady = s.spells[spell].on(d)
		}
		for ; d <= min(steady.Last, s.aheadOf+yearAhead); d++ {
			s.ahead[spell] = append(s.ahead[spell], p)
		}
	}
	return s.ahead[spell][days]
}

// firstDay returns the first day, up to a last one, after the day last asked about on which a character can be seen on
// both with enough probability: 0 for the first.
func (s *Separator) firstDay(x *split, enough float64, last int) (on int, ok bool) {
	for i := range min(last+1, yearAhead) {
		if s.after(x.spellA, i)*s.after(x.spellB, i) >= enough {
			return i, true
		}
	}
	return 0, false
}

// run returns the days, from a first one on, on which a character can be seen on both with enough probability.
func (s *Separator) run(x *split, enough float64, on int) civil.Span {
	last := on
	for last+1 < yearAhead && s.after(x.spellA, last+1)*s.after(x.spellB, last+1) >= enough {
		last++
	}
	return civil.Span{First: s.aheadOf + 1 + civil.Date(on), Last: s.aheadOf + 1 + civil.Date(last)}
}
