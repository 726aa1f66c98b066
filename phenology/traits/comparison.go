package traits

import (
	"cmp"
	"iter"
	"slices"

	"treewhen/phenology/civil"
)

// Comparison is how every pair of a separator's species can be told apart on one day. Species and pairs are numbered in
// the order of the list. It is safe for use by several goroutines, but for [Comparison.Settled].
type Comparison struct {
	Day    civil.Date
	of     *Separator
	now    []float64 // by spell: its chance
	ease   []Ease    // by pair
	misled []bool    // by pair: it has colors that mislead
}

// chance returns the probability that a character can be seen on both of a pair: the product of the two chances, which
// is less than the truth, since the two species are early or late together.
func chance(now []float64, x *split) float64 { return now[x.spellA] * now[x.spellB] }

// On compares all pairs on a day.
func (s *Separator) On(d civil.Date) *Comparison {
	s.look(d)
	c := &Comparison{Day: d, of: s, now: slices.Clone(s.now),
		ease: make([]Ease, len(s.pairs)), misled: make([]bool, len(s.pairs))}
	for i := range s.pairs {
		c.ease[i] = NotApart
		for _, x := range s.pairs[i].splits { // the surest first
			if chance(c.now, &x) >= splitAt {
				c.ease[i] = x.doubt.ease()
				break
			}
		}
		c.misled[i] = c.ease[i] == Apart && len(c.close(i)) > 0
	}
	return c
}

// Pairs returns how many pairs there are.
func (c *Comparison) Pairs() int { return len(c.ease) }

// Ease returns how well a pair can be told apart, and whether its colors mislead: see [Pair.Close].
func (c *Comparison) Ease(pair int) (e Ease, misled bool) { return c.ease[pair], c.misled[pair] }

// Chance returns the probability that a trait of a species' profile can be seen that day; 0 if that cannot be dated.
func (c *Comparison) Chance(species, trait int) float64 {
	return c.now[c.of.traits[c.of.species[species].first+trait].spell]
}

// Pair returns how a pair can be told apart, but not what settles it at another time.
func (c *Comparison) Pair(pair int) Pair {
	of := &c.of.pairs[pair]
	p := Pair{A: c.of.species[of.a].species, B: c.of.species[of.b].species, Day: c.Day, Ease: c.ease[pair]}
	for _, x := range c.of.pairs[pair].splits {
		if x.doubt == Hint && chance(c.now, &x) >= splitAt {
			p.Hints = append(p.Hints, c.of.told(&x))
		}
	}
	by := c.appendBy(nil, pair)
	slices.SortStableFunc(by, func(x, y split) int {
		return cmp.Or(cmp.Compare(x.doubt, y.doubt), cmp.Compare(x.handy, y.handy),
			cmp.Compare(chance(c.now, &y), chance(c.now, &x)))
	})
	for i := range by {
		p.By = append(p.By, c.of.told(&by[i]))
	}
	if c.misled[pair] {
		p.Close = c.close(pair)
	}
	return p
}

// appendBy appends the characters, likely there that day, that tell a pair apart, the surest first; a hint does not.
func (c *Comparison) appendBy(list []split, pair int) []split {
	for _, x := range c.of.pairs[pair].splits {
		if x.doubt != Hint && chance(c.now, &x) >= splitAt {
			list = append(list, x)
		}
	}
	return list
}

// told returns a character as others are told of it.
func (s *Separator) told(x *split) Split {
	return Split{s.traits[x.a].Trait, s.traits[x.b].Trait, x.doubt}
}

// close returns the colors of a pair that mislead: see [Pair.Close].
func (c *Comparison) close(pair int) (list []Split) {
	for _, x := range c.of.pairs[pair].splits {
		if x.doubt != NoDoubt {
			break // the surest come first
		}
		if x.plain && chance(c.now, &x) >= splitAt {
			return nil
		}
	}
	for _, x := range c.of.pairs[pair].alike {
		if chance(c.now, &x) >= splitAt {
			list = append(list, c.of.told(&x))
		}
	}
	return list
}

// Character returns the number of the character that a trait of a species' profile is of, from 0 on, whatever the
// species.
func (c *Comparison) Character(species, trait int) int {
	return c.of.traits[c.of.species[species].first+trait].is
}

// ProvesNothing is [ProvesNothing] of a trait of a species' profile, which is asked of all of them for every sheet.
func (c *Comparison) ProvesNothing(species, trait int) bool {
	t := &c.of.traits[c.of.species[species].first+trait]
	return c.of.forms.nothing[t.is][t.form]
}

// Tell is that a character tells a species from another.
type Tell struct {
	Character int // by number
	Rank      int // of the character: how handy it is
	From      int // the other species
	Doubt     Doubt
	Only      bool // nothing else tells the two apart that day
}

// Tells are the characters, likely there that day, that tell a species from each other one, the surest first for each.
func (c *Comparison) Tells(species int) iter.Seq[Tell] {
	return func(yield func(Tell) bool) {
		var by []split
		for other := range c.of.species {
			if other == species {
				continue
			}
			by = c.appendBy(by[:0], c.of.pairOf(min(species, other), max(species, other)))
			for _, x := range by {
				is := c.of.traits[x.a].is
				if !yield(Tell{is, int(x.handy), other, x.doubt, len(by) == 1}) {
					return
				}
			}
		}
	}
}

// Species returns how many species there are.
func (c *Comparison) Species() int { return len(c.of.species) }
