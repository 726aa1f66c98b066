package traits

import (
	"cmp"
	"math"
	"slices"

	"treewhen/phenology"
	"treewhen/phenology/civil"
)

// Key is a way to any of some species by questions with two answers each, worked out for the characters that can likely
// be seen on a day.
type Key struct {
	Questions []Question // the first is asked first
	Left      [][]*phenology.Species
	Day       civil.Date
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

// KeyOn works out a key of the separator's species for a day. Of the questions that part all the species left, each
// time the one is asked that is the easiest and halves them best: how the twigs sit before all others. A species that
// may show either answer stands on both sides. Species that nothing parts which can be seen that day end together, and
// are told in Left.
func (s *Separator) KeyOn(d civil.Date) *Key {
	s.look(d)
	k := &Key{Day: d}
	all := make([]int, len(s.all))
	for i := range all {
		all[i] = i
	}
	s.ask(k, all, nil)
	return k
}

// ask adds the question that parts some species, and those that follow. Characters asked before on the way are not
// asked again of species that showed both of its answers.
func (s *Separator) ask(k *Key, list []int, asked []character) (next int) {
	if len(list) < 2 {
		return 0
	}
	q, ok := s.question(list, asked)
	if !ok {
		k.Left = append(k.Left, s.speciesOf(list))
		return 0
	}
	at := len(k.Questions)
	k.Questions = append(k.Questions, Question{Doubt: q.doubt})
	if q.shared {
		asked = append(slices.Clone(asked), q.is)
	}
	for side, members := range q.sides {
		n := s.ask(k, members, asked)
		k.Questions[at].Sides[side] = Side{q.seen[side], s.speciesOf(members), n}
	}
	return at
}

func (s *Separator) speciesOf(list []int) []*phenology.Species {
	species := make([]*phenology.Species, len(list))
	for i, k := range list {
		species[i] = s.all[k].species
	}
	return species
}

// parting is a question before it has a place in a key.
type parting struct {
	is     character
	sides  [2][]int
	seen   [2]phenology.Trait
	doubt  Doubt
	shared bool // a species stands on both sides
	value  float64
}

// question returns the best question that parts some species.
func (s *Separator) question(list []int, asked []character) (best parting, ok bool) {
	best.value = math.Inf(-1)
	for _, is := range s.characters {
		if c := CharacterOf(is.organ, is.name); slices.Contains(asked, is) || c != nil && c.Rank == hintRank {
			continue
		}
		seen := s.seenOn(list, is)
		if seen == nil {
			continue
		}
		for _, p := range partings(is, list, seen) {
			if p.value > best.value+1e-9 {
				best, ok = p, true
			}
		}
	}
	return best, ok
}

// seenOn returns what each of some species shows of a character on the day last looked at; nil unless all do.
func (s *Separator) seenOn(list []int, is character) []*phenology.Trait {
	seen := make([]*phenology.Trait, len(list))
	needles := false
	for i, k := range list {
		seen[i] = s.shows(&s.all[k], is)
		needles = needles || seen[i] != nil && is == (character{"leaf", "form"}) && seen[i].AllYear
	}
	for i, k := range list {
		x := &s.all[k]
		switch {
		case !needles:
		case x.broad.Trait != nil: // beside needles that is what is seen, be it bare or in leaf
			seen[i] = x.broad.Trait
		case seen[i] == nil && x.bare.Trait != nil && s.now[x.bare.spell] >= splitAt:
			seen[i] = x.bare.Trait
		}
		if seen[i] == nil || len(seen[i].States) == 0 != (len(seen[0].States) == 0) {
			return nil
		}
	}
	return seen
}

// shows returns a trait of a species that can likely be seen on the day last looked at, nil if there is none. What says
// that something is not there asks for nothing.
func (s *Separator) shows(x *described, is character) *phenology.Trait {
	for _, t := range x.traits {
		if t.Organ == is.organ && t.Name == is.name && s.now[t.spell] >= splitAt && !ProvesNothing(t.Trait) {
			return t.Trait
		}
	}
	return nil
}

// partings returns the ways to part species by a character of all of them.
func partings(is character, list []int, seen []*phenology.Trait) (ways []parting) {
	try := func(first, second func(*phenology.Trait) bool, only string) {
		p := parting{is: is}
		var shown [2][]*phenology.Trait
		for i, t := range seen {
			for side, shows := range []func(*phenology.Trait) bool{first, second} {
				if shows(t) {
					p.sides[side], shown[side] = append(p.sides[side], list[i]), append(shown[side], t)
				}
			}
		}
		a, b := len(p.sides[0]), len(p.sides[1])
		if a == len(list) || b == len(list) {
			return
		}
		p.shared = a+b > len(list)
		for side := range shown {
			p.seen[side] = combined(shown[side])
		}
		if only != "" { // each side says what the other does not
			p.seen[0].States = []string{only}
			p.seen[1].States = slices.DeleteFunc(p.seen[1].States, func(s string) bool { return s == only })
		}
		p.doubt = doubtAcross(shown)
		if p.doubt == Hint || p.doubt == Presence {
			return
		}
		p.value = worthOf(&p, len(list))
		ways = append(ways, p)
	}
	if len(seen[0].States) == 0 {
		for _, t := range seen {
			limit := t.High
			try(func(t *phenology.Trait) bool { return t.Low <= limit }, func(t *phenology.Trait) bool { return t.High > limit }, "")
		}
		return slices.DeleteFunc(ways, func(p parting) bool { return p.shared })
	}
	for _, group := range groups(seen) {
		in := func(t *phenology.Trait) bool { return overlaps(t.States, group) }
		try(in, func(t *phenology.Trait) bool { return !in(t) }, "")
	}
	if len(ways) > 0 {
		return ways
	}
	for _, state := range union(seen) {
		try(func(t *phenology.Trait) bool { return slices.Contains(t.States, state) },
			func(t *phenology.Trait) bool { return len(t.States) > 1 || t.States[0] != state }, state)
	}
	return ways
}

// groups returns the states in groups that no species bridges, each with the states of all its species, and every
// union of groups that is not more than half of a few.
func groups(seen []*phenology.Trait) (list [][]string) {
	for _, t := range seen {
		merged := slices.Clone(t.States)
		list = slices.DeleteFunc(list, func(g []string) bool {
			if !overlaps(g, merged) {
				return false
			}
			merged = append(merged, g...)
			return true
		})
		list = append(list, merged)
	}
	const few = 6
	if n := len(list); n > 2 && n <= few {
		for mask := 1; mask < 1<<(n-1); mask++ {
			var g []string
			for i := range n {
				if mask>>i&1 == 1 {
					g = append(g, list[i]...)
				}
			}
			list = append(list, g)
		}
	}
	return list
}

func overlaps(a, b []string) bool {
	return slices.ContainsFunc(a, func(s string) bool { return slices.Contains(b, s) })
}

// union returns all states that are seen, in the order in which they come.
func union(seen []*phenology.Trait) (states []string) {
	for _, t := range seen {
		for _, s := range t.States {
			if !slices.Contains(states, s) {
				states = append(states, s)
			}
		}
	}
	return states
}

// combined returns what several species show of a character.
func combined(seen []*phenology.Trait) (t phenology.Trait) {
	t = *seen[0]
	t.Text, t.States = "", union(seen)
	for _, x := range seen {
		t.Low, t.High = min(t.Low, x.Low), max(t.High, x.High)
		t.NeedsHandling = t.NeedsHandling || x.NeedsHandling
	}
	return t
}

// costOf is what a doubt takes from the worth of a question: our own choice. A hint settles nothing, and what a tree may
// lack asks for nothing.
var costOf = [...]float64{NoDoubt: 0, Age: 0.25, Handling: 0.3, Shade: 0.5, Presence: 1, Hint: 1}

// doubtAcross returns the costliest of the differences between the species of two sides.
func doubtAcross(shown [2][]*phenology.Trait) (most Doubt) {
	for _, a := range shown[0] {
		for _, b := range shown[1] {
			if disjoint(a, b) {
				if d := doubtOf(a, b); costOf[d] > costOf[most] {
					most = d
				}
			}
		}
	}
	return most
}

// worthOf says how good a question is: how far it halves the species, less what it costs to answer. The costs are our
// own choice; opposite or alternate comes before all else, as in printed keys.
func worthOf(p *parting, n int) float64 {
	a, b := len(p.sides[0]), len(p.sides[1])
	value := float64(min(a, b)) / float64(n)
	if p.shared {
		value -= 0.3 + float64(a+b-n)/float64(n)
	}
	value -= costOf[p.doubt]
	if p.doubt == Shade && (p.seen[0].NeedsHandling || p.seen[1].NeedsHandling) {
		value -= costOf[Handling]
	}
	switch p.is.organ {
	case "fruit", "flower": // not every tree bears them
		value -= 0.3
	case "bark":
		if p.doubt == Shade { // it changes with age besides
			value -= 0.25
		}
	}
	if c := CharacterOf(p.is.organ, p.is.name); c != nil {
		value -= 0.05 * float64(c.Rank)
	}
	switch p.is {
	case character{"leaf", "form"}:
		if p.seen[0].AllYear || p.seen[1].AllYear { // evergreen or not
			value += 2
		}
		value += 0.1
	case character{"twig", "arrangement"}:
		value++
	}
	return value
}

// order sorts characters so that equals in worth are asked in one order always.
func order(a, b character) int {
	return cmp.Or(cmp.Compare(a.organ, b.organ), cmp.Compare(a.name, b.name))
}
