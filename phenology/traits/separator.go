package traits

import (
	"cmp"
	"maps"
	"slices"

	"treewhen/phenology"
	"treewhen/phenology/civil"
)

// Separator tells the species of a list apart, day by day. It is not safe for use by several goroutines.
//
// The whole library has two thousand pairs with ten thousand characters between them, but these are to be seen between
// few phases: a few hundred spells of all species together. So a day's chances are looked up once a spell, and what is
// asked of a character is a product of two of them.
type Separator struct {
	spells []watched // the first is always
	pairs  []compared
	clues  []clue // of all pairs

	all        []described // for keys
	characters []character

	now     []float64 // by spell: the chance on the day last asked about
	ahead   []aYear   // by spell, as far as they were asked for: the year after it
	aheadOf civil.Date
	found   []candidate // room to work in
}

// watched is a spell of a watch.
type watched struct {
	watch    *Watch
	from, to phenology.Moment
	absent   bool     // it is the chance that it is not on
	between  *between // of the watch
}

// on returns the chance of a day; what cannot be dated has none.
func (s *watched) on(d civil.Date) float64 {
	p, ok := s.watch.on(s.between, d)
	if s.absent && ok {
		return 1 - p
	}
	return p
}

// aYear is a spell's chances on the days of a year, and the highest of them.
type aYear struct {
	p   []float64
	top float64
}

// compared is two species with what their profiles say of each other, whatever the day.
type compared struct {
	a, b   *phenology.Species
	splits []Split
	alike  []Split // colors in which they are the same or a shade apart: see [Pair.Close]
	clues  int     // how many of the separator's it has, after those of the pairs before it
}

// clue is what a character that tells a pair apart is worth on a day on which it can be seen on both: 1, or where it
// needs care a half. They lie close together, since every day of a winter is judged by all of them.
type clue struct {
	spellA, spellB int32
	worth          float64
}

// clues appends what a pair's characters are worth to a list: the first alone if nothing can be worth more on any day.
func (of *compared) appendClues(list []clue) []clue {
	for i := range of.splits {
		x := &of.splits[i]
		c := clue{int32(x.spellA), int32(x.spellB), 1}
		switch x.Ease() {
		case WithCare:
			c.worth = 0.5
		case NotApart:
			continue
		}
		if always := (clue{worth: 1}); c == always {
			return append(list, c)
		}
		list = append(list, c)
	}
	return list
}

// NewSeparator compares every pair of species by the traits in their profiles.
func NewSeparator(watches []*Watch) *Separator {
	s := &Separator{spells: []watched{{}}}
	numbers := map[character]int{}
	all := make([]described, len(watches))
	for i, w := range watches {
		first := len(s.spells)
		all[i] = describe(w.Species, numbers, func(t *phenology.Trait, absent bool) int {
			if t.AllYear {
				return 0
			}
			spell := watched{w, t.From, t.To, absent, w.between(t.From, t.To)}
			if known := slices.Index(s.spells[first:], spell); known >= 0 {
				return first + known
			}
			s.spells = append(s.spells, spell)
			return len(s.spells) - 1
		})
	}
	s.all, s.characters = all, slices.SortedFunc(maps.Keys(numbers), order)
	s.pairs = make([]compared, 0, len(all)*max(0, len(all)-1)/2)
	for i := range all {
		for k := i + 1; k < len(all); k++ {
			a, b := &all[i], &all[k]
			of := compared{a: a.species, b: b.species, splits: splits(a, b), alike: alike(a, b)}
			before := len(s.clues)
			s.clues = of.appendClues(s.clues)
			of.clues = len(s.clues) - before
			s.pairs = append(s.pairs, of)
		}
	}
	s.now = make([]float64, len(s.spells))
	s.ahead = make([]aYear, len(s.spells))
	return s
}

// look takes the chances of a day. What cannot be dated has none.
func (s *Separator) look(d civil.Date) {
	s.now[0] = 1
	for i := range s.spells[1:] {
		s.now[i+1] = s.spells[i+1].on(d)
	}
}

// seenOnBoth returns the chance that a character can be seen on both that day: the product of the two chances, which is
// less than the truth, since the two species are early or late together.
func (s *Separator) seenOnBoth(x *Split) float64 { return s.now[x.spellA] * s.now[x.spellB] }

// On returns how every pair of the list can be told apart on a day, in the order of the list, but not yet what settles
// it at another time: see [Separator.Settle].
func (s *Separator) On(d civil.Date) []Pair {
	s.look(d)
	pairs := make([]Pair, 0, len(s.pairs))
	for i := range s.pairs {
		pairs = append(pairs, s.pairOn(&s.pairs[i], d))
	}
	return pairs
}

// Expected returns how many pairs can be expected to be told apart on a day, those that need care counted by half, and
// how many pairs there are.
func (s *Separator) Expected(d civil.Date) (sum float64, pairs int) {
	s.look(d)
	clues := s.clues
	for i := range s.pairs {
		best := 0.0
		for _, c := range clues[:s.pairs[i].clues] {
			best = max(best, s.now[c.spellA]*s.now[c.spellB]*c.worth)
		}
		clues = clues[s.pairs[i].clues:]
		sum += best
	}
	return sum, len(s.pairs)
}

func (s *Separator) pairOn(of *compared, d civil.Date) Pair {
	p := Pair{A: of.a, B: of.b, Day: d, Ease: NotApart, splits: of.splits}
	likely := 0
	for i := range of.splits {
		x := &of.splits[i]
		if x.P = s.seenOnBoth(x); x.P >= splitAt && x.Doubt != Hint {
			likely++
		}
	}
	if likely > 0 {
		p.By = make([]Split, 0, likely)
	}
	for _, split := range of.splits {
		if split.Doubt == Hint {
			if split.P >= splitAt {
				p.Hints = append(p.Hints, split)
			}
			continue
		}
		if split.P < splitAt {
			if p.Ease == NotApart {
				p.P = max(p.P, split.P)
			}
			continue
		}
		switch e := split.Ease(); {
		case e < p.Ease:
			p.Ease, p.P = e, split.P
		case e == p.Ease:
			p.P = max(p.P, split.P)
		}
		p.By = append(p.By, split)
	}
	slices.SortStableFunc(p.By, func(x, y Split) int {
		return cmp.Or(cmp.Compare(x.Doubt, y.Doubt), cmp.Compare(x.handy, y.handy), cmp.Compare(y.P, x.P))
	})
	if p.Ease == Apart {
		p.Close = s.close(of.alike, p.By)
	}
	return p
}

// Settle finds what settles a pair at another time that is not told apart on its day: see [Pair.Settle]. It looks
// through a year, so that it is asked of those pairs alone of which it is said.
func (s *Separator) Settle(p *Pair) {
	if p.Ease != Apart {
		p.Settle = s.settle(p)
	}
}

func (s *Separator) settle(p *Pair) *Settlement {
	if s.aheadOf != p.Day {
		clear(s.ahead)
		s.aheadOf = p.Day
	}
	better := Presence // what the day's characters do, none needs to wait for
	if len(p.By) > 0 {
		better = min(better, p.By[0].Doubt)
	}
	got := s.settlement(p.splits, better)
	if p.Ease == NotApart && got != nil {
		// Where there is nothing to go by on the day, a season is too long to wait for what shows at a glance.
		const season = 90
		if by := s.settlementBy(p.splits, Handling); by != nil && by.Span.First+season < got.Span.First {
			return by
		}
	}
	return got
}

// close returns the colors that mislead on the day: see [Pair.Close].
func (s *Separator) close(alike, by []Split) []Split {
	for _, split := range by {
		if split.Doubt == NoDoubt && (isPlan(split.A) || isColor(split.A)) {
			return nil
		}
	}
	var list []Split
	for _, split := range alike {
		if split.P = s.seenOnBoth(&split); split.P >= splitAt {
			list = append(list, split)
		}
	}
	return list
}

// settlement returns the soonest check in the year after the day, of less doubt than the day's own: one that anybody
// can make, and failing that one that needs handling. A better character is worth waiting a fortnight for.
func (s *Separator) settlement(splits []Split, better Doubt) *Settlement {
	for doubt := NoDoubt; doubt < better; doubt++ {
		if got := s.settlementBy(splits, doubt); got != nil {
			return got
		}
	}
	return nil
}

// settlementBy returns the soonest check in the year after the day among characters of one doubt.
func (s *Separator) settlementBy(splits []Split, doubt Doubt) *Settlement {
	const fortnight = 14
	for _, enough := range []float64{settledAt, splitAt} {
		s.found = s.found[:0]
		soonest := yearAhead
		for i := range splits {
			if splits[i].Doubt != doubt {
				continue
			}
			// What comes later than a fortnight after another is not chosen, so that nobody looks for it.
			if on, ok := s.firstDay(&splits[i], enough, soonest+fortnight); ok {
				s.found = append(s.found, candidate{i, on})
				soonest = min(soonest, on)
			}
		}
		s.found = slices.DeleteFunc(s.found, func(c candidate) bool { return c.on > soonest+fortnight })
		if len(s.found) == 0 {
			continue
		}
		best := slices.MinFunc(s.found, func(x, y candidate) int {
			return cmp.Or(cmp.Compare(splits[x.split].handy, splits[y.split].handy), cmp.Compare(x.on, y.on))
		})
		got := &Settlement{Split: splits[best.split]}
		got.P, got.Span = s.run(&got.Split, enough, best.on)
		return got
	}
	return nil
}

// candidate is a character that settles a pair, and on which day after the day asked about, 0 for the first.
type candidate struct{ split, on int }

// yearAhead is how many days after the day asked about a settlement is looked for.
const yearAhead = 366

// after returns a spell's chances on the days after the day last asked about.
func (s *Separator) after(spell int) *aYear {
	o := &s.ahead[spell]
	if o.p != nil {
		return o
	}
	if w := s.spells[spell]; w.watch != nil {
		o.p = make([]float64, yearAhead)
		for i := range o.p {
			o.p[i] = w.on(s.aheadOf + 1 + civil.Date(i))
		}
	} else {
		o.p = slices.Repeat([]float64{1}, yearAhead)
	}
	o.top = slices.Max(o.p)
	return o
}

// firstDay returns the first day, up to a last one, after the day last asked about on which a character can be seen on
// both with enough probability: 0 for the first.
func (s *Separator) firstDay(split *Split, enough float64, last int) (on int, ok bool) {
	x, y := s.after(split.spellA), s.after(split.spellB)
	if x.top*y.top < enough {
		return 0, false
	}
	for i := range min(last+1, yearAhead) {
		if x.p[i]*y.p[i] >= enough {
			return i, true
		}
	}
	return 0, false
}

// run returns the days, from a first one on, on which a character can be seen on both with enough probability, and the
// highest of these probabilities.
func (s *Separator) run(split *Split, enough float64, on int) (top float64, span civil.Span) {
	x, y := s.after(split.spellA), s.after(split.spellB)
	span.First = s.aheadOf + 1 + civil.Date(on)
	for i := on; i < yearAhead; i++ {
		p := x.p[i] * y.p[i]
		if p < enough {
			break
		}
		span.Last, top = s.aheadOf+1+civil.Date(i), max(top, p)
	}
	return top, span
}
