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
}

// numbered is a trait with its character's number, since comparing text takes longer, and with its spell's.
type numbered struct {
	*phenology.Trait
	is    int
	spell int
}

// describe readies a species; numbers has the characters of all species that are to be compared, and spellOf numbers
// the spells in which traits can be seen.
func describe(sp *phenology.Species, numbers map[character]int, spellOf func(*phenology.Trait) int) described {
	d := described{species: sp, traits: make([]numbered, len(sp.Traits))}
	var formAllYear, formInSeason *phenology.Trait
	for i := range sp.Traits {
		t := &sp.Traits[i]
		is := character{t.Organ, t.Name}
		if _, ok := numbers[is]; !ok {
			numbers[is] = len(numbers)
		}
		d.traits[i] = numbered{t, numbers[is], spellOf(t)}
		if isColor(t) {
			d.colors = append(d.colors, d.traits[i])
		}
		switch {
		case is != character{"leaf", "form"}:
		case t.AllYear && formAllYear == nil:
			formAllYear, d.evergreen = t, d.traits[i]
		case !t.AllYear && formInSeason == nil:
			formInSeason = t
		}
	}
	if formInSeason != nil && formInSeason.To == phenology.LeafFall && sp.Phase(phenology.BudBreak) != nil {
		bare := *formInSeason
		bare.States, bare.Text, bare.From, bare.To = []string{"bare"}, "bare", phenology.LeafFall, phenology.BudBreak
		d.bare = numbered{Trait: &bare, spell: spellOf(&bare)}
	}
	return d
}

// splits returns the characters in which two species share no state, the surest first.
func splits(a, b *described) []Split {
	var list []Split
	for _, x := range a.traits {
		for _, y := range b.traits {
			if x.is == y.is && disjoint(x.Trait, y.Trait) {
				list = append(list, newSplit(x, y, doubtOf(x.Trait, y.Trait)))
			}
		}
	}
	if a.evergreen.Trait != nil && b.bare.Trait != nil {
		list = append(list, newSplit(a.evergreen, b.bare, NoDoubt))
	} else if a.bare.Trait != nil && b.evergreen.Trait != nil {
		list = append(list, newSplit(a.bare, b.evergreen, NoDoubt))
	}
	slices.SortStableFunc(list, func(x, y Split) int { return cmp.Compare(x.Doubt, y.Doubt) })
	return list
}

func newSplit(a, b numbered, doubt Doubt) Split {
	return Split{A: a.Trait, B: b.Trait, Doubt: doubt, handy: handiness(a.Trait), spellA: a.spell, spellB: b.spell}
}

// alike returns the colors of twigs, buds and flowers that two species share, or that are only a shade apart.
func alike(a, b *described) []Split {
	var list []Split
	for _, x := range a.colors {
		for _, y := range b.colors {
			if x.Organ == y.Organ && (!disjoint(x.Trait, y.Trait) || nextToEachOther(x.Trait, y.Trait)) {
				list = append(list, newSplit(x, y, Shade))
			}
		}
	}
	// What is a shade apart misleads more than what is the same, by which nobody tries to tell the two.
	slices.SortStableFunc(list, func(x, y Split) int { return cmp.Compare(sharing(x), sharing(y)) })
	return list
}
