package traits

import (
	"slices"

	"treewhen/phenology"
)

// parting is a question before it has a place in a key.
type parting struct {
	is     character
	sides  [2][]int
	seen   [2]phenology.Trait
	doubt  Doubt
	shared bool // a species stands on both sides
	value  float64
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
			try(func(t *phenology.Trait) bool { return t.Low <= limit },
				func(t *phenology.Trait) bool { return t.High > limit }, "")
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

// costOf is what a doubt takes from the worth of a question: our own choice. A hint settles nothing, and what a tree
// may lack asks for nothing.
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
