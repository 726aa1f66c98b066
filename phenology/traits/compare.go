package traits

import (
	"cmp"
	"slices"
	"treewhen/phenology"
)

// character is what is looked at on a tree, in words shared between species.
type character struct{ organ, name string }

// described is a species with its traits ready to be compared with another's.
type described struct {
	species *phenology.Species
	traits  []numbered
	colors  []numbered // of these, see isColor
	// The form of an evergreen's leaves, and of a deciduous species, in its place, that it has none from leaf fall
	// until its buds break: nobody needs a bud to tell a spruce from a bare larch. The trait is nil where there is no
	// such thing.
	evergreen, bare numbered
	// Broad is that a tree bears no needles, which can be seen on every day of the year: between bud break and the
	// unfolding of leaves an oak is neither bare nor in leaf, and still is no pine. Nil where it has some.
	broad numbered
	// Fruit is what it bears, and FruitGone that it bears none that day.
	fruit, fruitGone numbered
}

// numbered is a trait with its character's number, since comparing text takes longer, and with its spell's.
type numbered struct {
	*phenology.Trait
	is    int
	spell int
}

// describe readies a species; numbers has the characters of all species that are to be compared, and spellOf numbers
// the spells in which traits can be seen.
func describe(sp *phenology.Species, numbers map[character]int,
	spellOf func(t *phenology.Trait, absent bool) int) described {
	d := described{species: sp, traits: make([]numbered, len(sp.Traits))}
	var formAllYear, formInSeason *phenology.Trait
	for i := range sp.Traits {
		t := &sp.Traits[i]
		is := character{t.Organ, t.Name}
		if _, ok := numbers[is]; !ok {
			numbers[is] = len(numbers)
		}
		d.traits[i] = numbered{t, numbers[is], spellOf(t, false)}
		if isColor(t) {
			d.colors = append(d.colors, d.traits[i])
		}
		if (is == character{"fruit", "kind"}) && !t.AllYear {
			none := *t
			none.States, none.Text = []string{"none"}, ""
			d.fruit, d.fruitGone = d.traits[i], numbered{&none, numbers[is], spellOf(t, true)}
		}
		switch {
		case is != character{"leaf", "form"}:
		case t.AllYear && formAllYear == nil:
			formAllYear, d.evergreen = t, d.traits[i]
		case !t.AllYear && formInSeason == nil:
			formInSeason = t
		}
	}
	if formInSeason != nil && sp.Phase(phenology.LeafFall) != nil && sp.Phase(phenology.BudBreak) != nil {
		bare := *formInSeason
		bare.States, bare.Text = []string{"bare"}, ""
		bare.From, bare.To = phenology.Moment{Phase: phenology.LeafFall}, phenology.Moment{Phase: phenology.BudBreak}
		d.bare = numbered{Trait: &bare, spell: spellOf(&bare, false)}
		if !slices.ContainsFunc(formInSeason.States, isNeedle) {
			broad := bare
			broad.States, broad.AllYear = []string{"no-needles"}, true
			d.broad = numbered{Trait: &broad, spell: spellOf(&broad, false)}
		}
	}
	return d
}

func isNeedle(form string) bool { return form == "needle" || form == "scale" }

// leafless returns what stands in for the leaves of a deciduous species beside those of an evergreen; without a trait
// if they are not that.
func leafless(evergreen, other *described) (x numbered) {
	if evergreen.evergreen.Trait == nil {
		return x
	}
	if other.broad.Trait != nil && allOf(evergreen.evergreen.States, []string{"needle", "scale"}) {
		return other.broad
	}
	return other.bare
}

// splits returns the characters in which two species share no state, the surest first.
func splits(a, b *described) []Split {
	var list []Split
	for _, x := range a.traits {
		for _, y := range b.traits {
			if x.is == y.is && x.Name != "litter" && disjoint(x.Trait, y.Trait) {
				list = append(list, newSplit(x, y, doubtOf(x.Trait, y.Trait)))
			}
		}
	}
	if x := leafless(a, b); x.Trait != nil {
		list = append(list, newSplit(a.evergreen, x, NoDoubt))
	} else if x := leafless(b, a); x.Trait != nil {
		list = append(list, newSplit(x, b.evergreen, NoDoubt))
	}
	if a.fruit.Trait != nil && b.fruit.Trait != nil {
		list = append(list, newSplit(a.fruit, b.fruitGone, Presence), newSplit(a.fruitGone, b.fruit, Presence))
	}
	slices.SortStableFunc(list, func(x, y Split) int { return cmp.Compare(x.Doubt, y.Doubt) })
	return list
}

func newSplit(a, b numbered, doubt Doubt) Split {
	return Split{A: a.Trait, B: b.Trait, Doubt: doubt, handy: Rank(a.Trait), spellA: a.spell, spellB: b.spell}
}

// alike returns the colors of twigs, buds and flowers that two species share, or that are only a shade apart.
func alike(a, b *described) []Split {
	var list []Split
	for _, x := range a.colors {
		for _, y := range b.colors {
			near, _ := closeness(x.Trait, y.Trait)
			if x.Organ == y.Organ && (!disjoint(x.Trait, y.Trait) || near) {
				list = append(list, newSplit(x, y, Shade))
			}
		}
	}
	// What is a shade apart misleads more than what is the same, by which nobody tries to tell the two.
	slices.SortStableFunc(list, func(x, y Split) int { return cmp.Compare(sharing(x), sharing(y)) })
	return list
}
