package outing

import (
	"cmp"
	"slices"

	"treewhen/calendar"
	"treewhen/phenology"
	"treewhen/phenology/traits"
)

// Common is a character that all of several species have in the same states: the trait of each of them.
type Common []*phenology.Trait

// is reports whether a trait is this character.
func (c Common) is(t *phenology.Trait) bool { return t.Organ == c[0].Organ && t.Name == c[0].Name }

// worthSaying reports whether a character is anything to look for. That nothing hangs on a tree is not; nor is what its
// leaves repeat of its twigs.
func worthSaying(t *phenology.Trait) bool {
	return !traits.ProvesNothing(t) && t.Name != "litter" && !(t.Name == "arrangement" && t.Organ != "twig" &&
		slices.ContainsFunc(t.States, func(s string) bool { return s == "opposite" || s == "alternate" }))
}

// passing reports whether a character shows for a few weeks alone, or on some trees alone, so that people have come for it.
func passing(t *phenology.Trait) bool {
	return t.Organ == "flower" || t.Name == "young-color" || t.Name == "autumn-color" || t.Name == "in-winter" || t.Name == "held"
}

// repeated reports whether a character says in other words what one that is on the sheet does.
func repeated(t *phenology.Trait, said []SheetTrait) bool {
	return t.Organ == "bud" && t.Name == "tip" &&
		slices.ContainsFunc(said, func(s SheetTrait) bool { return s.Organ == "bud" && s.Name == "shape" })
}

// character is one of a species.
type character struct {
	species     *phenology.Species
	organ, name string
}

// tells returns how well each character tells its species from the others of the sheet.
func (s *Sheet) tells(watches []*traits.Watch) map[character]int {
	tells := map[character]int{}
	for _, p := range s.Compared {
		for _, by := range p.By {
			points := 10 - traits.Rank(by.A) // the handiest first
			switch by.Doubt {
			case traits.NoDoubt:
				points *= 4
			case traits.Handling:
				points *= 2
			}
			if len(p.By) == 1 {
				points += 40 * len(watches) // nothing else tells the two apart: without it the sheet is of no use
			}
			tells[character{p.A, by.A.Organ, by.A.Name}] += points
			tells[character{p.B, by.B.Organ, by.B.Name}] += points
		}
	}
	for _, w := range watches { // every key's first question
		tells[character{w.Species, "twig", "arrangement"}] += 200 * len(watches)
	}
	if s.Activity == calendar.TwigSurvey { // it is the buds that people have come for, however alike they are
		for _, w := range watches {
			for _, t := range w.Species.Traits {
				if t.Organ == "bud" && !t.NeedsHandling {
					tells[character{w.Species, t.Organ, t.Name}] += 10 * len(watches)
				}
			}
		}
	}
	return tells
}

// takeCommon says once what all species of the sheet show, in place of once for each.
func (s *Sheet) takeCommon() {
	lists := make([][]*phenology.Trait, len(s.Species))
	for i, x := range s.Species {
		for _, t := range x.Traits {
			lists[i] = append(lists[i], t.Trait)
		}
	}
	s.Common = commonTraits(lists)
	slices.SortStableFunc(s.Common, func(a, b Common) int { return cmp.Compare(traits.Rank(a[0]), traits.Rank(b[0])) })
	for _, c := range s.Common {
		for i := range s.Species {
			x := &s.Species[i]
			x.Traits = slices.DeleteFunc(x.Traits, func(t SheetTrait) bool { return c.is(t.Trait) })
		}
	}
	s.Common = s.Common[:min(len(s.Common), mostCommon)]
}

// commonTraits returns what the traits of several species have in common, but for what must be cut or broken: nothing
// if there are not several.
func commonTraits(lists [][]*phenology.Trait) []Common {
	if len(lists) < 2 {
		return nil
	}
	var common []Common
	for _, t := range lists[0] {
		if len(t.States) == 0 || t.NeedsHandling {
			continue
		}
		c := Common{t}
		states := slices.Sorted(slices.Values(t.States))
		for _, list := range lists[1:] {
			i := slices.IndexFunc(list, c.is)
			if i < 0 || !slices.Equal(states, slices.Sorted(slices.Values(list[i].States))) {
				break
			}
			c = append(c, list[i])
		}
		if len(c) == len(lists) {
			common = append(common, c)
		}
	}
	return common
}

// Best returns at most so many characters, in their order: those that tell the species from most others.
func (x *SheetSpecies) Best(most int) []SheetTrait {
	if len(x.Traits) <= most {
		return x.Traits
	}
	// Where it grows is nothing to look for on the tree.
	best := topOf(len(x.Traits), most, func(a, b int) int {
		s, t := &x.Traits[a], &x.Traits[b]
		return cmp.Or(cmp.Compare(t.Tells, s.Tells),
			cmp.Compare(boolInt(s.Name == "ground"), boolInt(t.Name == "ground")))
	})
	var list []SheetTrait
	for i, t := range x.Traits {
		if best[i] {
			list = append(list, t)
		}
	}
	return list
}
