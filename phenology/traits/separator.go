package traits

import (
	"maps"
	"slices"

	"treewhen/phenology"
	"treewhen/phenology/civil"
)

// Separator tells the species of a list apart, day by day. It is not safe for use by several goroutines.
//
// The whole library has seven thousand pairs with sixty thousand characters between them, but these are to be seen
// between few phases: a thousand spells of all species together. So a day's chances are looked up once a spell, and
// not again until they change, and what is asked of a character is a product of two of them.
type Separator struct {
	spells     []watched  // the first is always
	traits     []numbered // the first is none
	species    []*described
	forms      forms
	characters []character
	pairs      []compared // of the first species with each after it, then of the second, and so on

	now    []float64    // by spell: the chance on the day last asked about
	steady []civil.Span // by spell: the days on which that is the chance
	stale  []bool       // by species: a chance has changed since pairs were last expected to be told apart

	ahead   [][]float64 // by spell: the chances on the days after a day, as far as they were asked for
	aheadOf civil.Date

	// Room to work in.
	sorted [Hint + 1][]split
	found  []candidate
}

// watched is a spell of a watch.
type watched struct {
	watch   *Watch
	between *between // of the watch
	absent  bool     // it is the chance that it is not on
	species int
}

// on returns the chance of a day and the days around it on which it is the same; what cannot be dated has none.
func (s *watched) on(d civil.Date) (p float64, steady civil.Span) {
	p, ok, steady := s.watch.on(s.between, d)
	if s.absent && ok {
		p = 1 - p
	}
	return p, steady
}

// compared is two species with what their profiles say of each other, whatever the day.
type compared struct {
	a, b     int     // species
	splits   []split // the surest first
	alike    []split // colors in which they are the same or a shade apart: see [Pair.Close]
	expected float64 // that they can be told apart, as last asked for
}

// NewSeparator compares every pair of species by the traits in their profiles.
func NewSeparator(watches []*Watch) *Separator {
	s := &Separator{spells: []watched{{}}, traits: []numbered{{}}, forms: forms{numbers: map[character]int{}}}
	for _, w := range watches {
		s.species = append(s.species, s.describe(w))
	}
	s.forms.said = make([][]verdict, len(s.forms.shown))
	for _, d := range s.species {
		d.at = make([]int, len(s.forms.shown))
		for i := d.first + len(d.species.Traits) - 1; i >= d.first; i-- {
			t := &s.traits[i]
			t.next, d.at[t.is] = d.at[t.is], i
		}
	}
	s.characters = slices.SortedFunc(maps.Keys(s.forms.numbers), order)
	n := len(s.species)
	s.pairs = make([]compared, 0, n*(n-1)/2)
	const usual = 10 // characters that tell a pair apart or in which it is alike
	room := make([]split, 0, usual*cap(s.pairs))
	for i, a := range s.species {
		for k, b := range s.species[i+1:] {
			first := len(room)
			room = s.appendSplits(room, a, b)
			alike := len(room)
			room = s.appendAlike(room, a, b)
			s.pairs = append(s.pairs, compared{a: i, b: i + 1 + k, splits: room[first:alike], alike: room[alike:]})
		}
	}
	s.now, s.steady = make([]float64, len(s.spells)), make([]civil.Span, len(s.spells))
	for i := range s.steady {
		s.steady[i].Last = s.steady[i].First - 1 // no day as yet
	}
	s.now[0] = 1
	s.stale = slices.Repeat([]bool{true}, n)
	s.ahead = make([][]float64, len(s.spells))
	return s
}

// spellOf numbers the spell in which a trait can be seen, or not; species' spells begin at the first.
func (s *Separator) spellOf(w *Watch, first int, t *phenology.Trait, absent bool) int {
	if t.AllYear {
		return 0
	}
	spell := watched{w, w.between(t.From, t.To), absent, len(s.species)}
	if known := slices.Index(s.spells[first:], spell); known >= 0 {
		return first + known
	}
	s.spells = append(s.spells, spell)
	return len(s.spells) - 1
}

// pairOf returns the number of a pair of species, the first before the second.
func (s *Separator) pairOf(a, b int) int {
	return a*len(s.species) - a*(a+1)/2 + b - a - 1
}

// look takes the chances of a day. What cannot be dated has none.
func (s *Separator) look(d civil.Date) {
	for i := 1; i < len(s.spells); i++ {
		if s.steady[i].Contains(d) {
			continue
		}
		var p float64
		if p, s.steady[i] = s.spells[i].on(d); p != s.now[i] {
			s.now[i], s.stale[s.spells[i].species] = p, true
		}
	}
}

// Expected returns how many pairs can be expected to be told apart on a day, those that need care counted by half, and
// how many pairs there are.
func (s *Separator) Expected(d civil.Date) (sum float64, pairs int) {
	s.look(d)
	for i := range s.pairs {
		p := &s.pairs[i]
		if s.stale[p.a] || s.stale[p.b] {
			p.expected = s.expected(p)
		}
		sum += p.expected
	}
	clear(s.stale)
	return sum, len(s.pairs)
}

// expected returns what the best character of a pair is worth on the day last asked about: its chance, or where it
// needs care half of that.
func (s *Separator) expected(of *compared) (best float64) {
	for i := range of.splits {
		worth := worths[of.splits[i].doubt]
		if best >= worth { // nor can any that comes after it be worth more
			break
		}
		if p := chance(s.now, &of.splits[i]) * worth; p > best {
			best = p
		}
	}
	return best
}

// worths are what characters are worth that can be seen, by their doubt.
var worths = [...]float64{NoDoubt: 1, Handling: 0.5, Presence: 0.5, Shade: 0.5, Age: 0.5, Hint: 0}
