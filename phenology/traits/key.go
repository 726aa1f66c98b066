package traits

import (
	"cmp"
	"math"
	"slices"

	"treewhen/phenology"
)

// Key is a way to any of some species by questions with two answers each, worked out for the characters that can likely
// be seen on a day.
type Key struct {
	Questions []Question // the first is asked first
	Left      [][]*phenology.Species
	byEye     bool
}

// Question is a character in two forms.
type Question struct {
	Sides [2]Side
	Doubt Doubt // why the answer needs care
}

// Side is one answer: what is seen, and where it leads.
type Side struct {
	Seen    phenology.Trait      // of all its species together: no words of a single profile's
	Species []*phenology.Species // in the order of the list
	Next    int                  // the question that follows; 0: the answer leads to its species
}

// Key works out a key of the species for the day. Of the questions that part all the species left, each
// time the one is asked that is the easiest and halves them best: how the twigs sit before all others. A species that
// may show either answer stands on both sides. Species that nothing parts which can be seen that day end together, and
// are told in Left.
// With byEye it asks for nothing that must be cut, scraped, smelled or held under a lens.
func (c *Comparison) Key(byEye bool) *Key {
	k := &Key{byEye: byEye}
	all := make([]int, len(c.of.species))
	for i := range all {
		all[i] = i
	}
	c.ask(k, all, nil)
	return k
}

// ask adds the question that parts some species, and those that follow. Characters asked before on the way are not
// asked again of species that showed both of its answers.
func (c *Comparison) ask(k *Key, list []int, asked []character) (next int) {
	if len(list) < 2 {
		return 0
	}
	q, ok := c.question(list, asked, k.byEye)
	if !ok {
		k.Left = append(k.Left, c.speciesOf(list))
		return 0
	}
	at := len(k.Questions)
	k.Questions = append(k.Questions, Question{Doubt: q.doubt})
	if q.shared {
		asked = append(slices.Clone(asked), q.is)
	}
	for side, members := range q.sides {
		n := c.ask(k, members, asked)
		k.Questions[at].Sides[side] = Side{q.seen[side], c.speciesOf(members), n}
	}
	return at
}

func (c *Comparison) speciesOf(list []int) []*phenology.Species {
	species := make([]*phenology.Species, len(list))
	for i, k := range list {
		species[i] = c.of.species[k].species
	}
	return species
}

// question returns the best question that parts some species.
func (c *Comparison) question(list []int, asked []character, byEye bool) (best parting, ok bool) {
	best.value = math.Inf(-1)
	for _, is := range c.of.characters {
		if slices.Contains(asked, is) || c.of.forms.ranks[c.of.forms.numbers[is]] == hintRank {
			continue
		}
		seen := c.seenOn(list, is)
		if seen == nil {
			continue
		}
		for _, p := range partings(is, list, seen) {
			if byEye && (p.seen[0].NeedsHandling || p.seen[1].NeedsHandling) {
				continue
			}
			if p.value > best.value+1e-9 {
				best, ok = p, true
			}
		}
	}
	return best, ok
}

// seenOn returns what each of some species shows of a character on the day last looked at; nil unless all do.
func (c *Comparison) seenOn(list []int, is character) []*phenology.Trait {
	seen := make([]*phenology.Trait, len(list))
	needles := false
	for i, k := range list {
		seen[i] = c.shows(c.of.species[k], is)
		needles = needles || seen[i] != nil && is == (character{"leaf", "form"}) && seen[i].AllYear
	}
	for i, k := range list {
		x := c.of.species[k]
		switch {
		case !needles:
		case x.broad != 0: // beside needles that is what is seen, be it bare or in leaf
			seen[i] = c.of.traits[x.broad].Trait
		case seen[i] == nil && x.bare != 0 && c.now[c.of.traits[x.bare].spell] >= splitAt:
			seen[i] = c.of.traits[x.bare].Trait
		}
		if seen[i] == nil || len(seen[i].States) == 0 != (len(seen[0].States) == 0) {
			return nil
		}
	}
	return seen
}

// shows returns a trait of a species that can likely be seen on the day last looked at, nil if there is none. What says
// that something is not there asks for nothing.
func (c *Comparison) shows(x *described, is character) *phenology.Trait {
	for i := x.at[c.of.forms.numbers[is]]; i != 0; i = c.of.traits[i].next {
		if t := &c.of.traits[i]; c.now[t.spell] >= splitAt && !ProvesNothing(t.Trait) {
			return t.Trait
		}
	}
	return nil
}

// order sorts characters so that equals in worth are asked in one order always.
func order(a, b character) int {
	return cmp.Or(cmp.Compare(a.organ, b.organ), cmp.Compare(a.name, b.name))
}
