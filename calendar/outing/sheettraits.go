package outing

import (
	"cmp"
	"slices"

	"treewhen/calendar"
	"treewhen/phenology"
	"treewhen/phenology/civil"
	"treewhen/phenology/traits"
)

// Common is a character that all of several species have in the same states: the trait of each of them.
type Common []*phenology.Trait

// is reports whether a trait is this character.
func (c Common) is(t *phenology.Trait) bool { return t.Organ == c[0].Organ && t.Name == c[0].Name }

// useless reports whether a character is nothing to look for on a tree: its litter, and what its leaves repeat of its
// twigs.
func useless(t *phenology.Trait) bool {
	return t.Name == "litter" || t.Name == "arrangement" && t.Organ != "twig" &&
		slices.ContainsFunc(t.States, func(s string) bool { return s == "opposite" || s == "alternate" })
}

// passing reports whether a character shows for a few weeks alone, or on some trees alone, so that people have come for
// it.
func passing(t *phenology.Trait) bool {
	return t.Organ == "flower" || t.Name == "in-winter" ||
		t.Organ == "leaf" && (t.Name == "young-color" || t.Name == "autumn-color" || t.Name == "held")
}

// repeated reports whether a character says in other words what one that is on the sheet does.
func repeated(t *phenology.Trait, said []SheetTrait) bool {
	return t.Organ == "bud" && t.Name == "tip" &&
		slices.ContainsFunc(said, func(s SheetTrait) bool { return s.Organ == "bud" && s.Name == "shape" })
}

// The weights are our own choice, in tenths of what the handiest character is worth from which nobody turns unsure.
const (
	handyWeight = 10 // less the rank of the character
	bonusOfBuds = 30 // in a survey of twigs, for a species
	bonusOfDays = 60 // of what shows for a few weeks alone
	bonusFirst  = 5000
	bonusOnly   = 400 // where nothing else parts the two: without it the sheet is of no use
)

// bonus returns what a character of a species is worth on the sheet whatever it tells.
func (s *Sheet) bonus(sp *phenology.Species, t *phenology.Trait) int {
	switch {
	case t.Organ == "twig" && t.Name == "arrangement": // every key's first question
		return bonusFirst
	case passing(t):
		return bonusOfDays
	case s.Activity == calendar.TwigSurvey && t.Organ == "bud": // people have come for it
		for i := range sp.Traits {
			if x := &sp.Traits[i]; x.Organ == t.Organ && x.Name == t.Name && !x.NeedsHandling {
				return bonusOfBuds
			}
		}
	}
	return 0
}

// Best returns at most so many characters, in their order: each time the one that tells the species best from those
// that the ones before do not.
func (x *SheetSpecies) Best(most int) []SheetTrait {
	if len(x.Traits) <= most {
		return x.Traits
	}
	tells := x.tells()
	value := make([]int, len(x.Traits))
	for i, t := range x.Traits {
		value[i] = t.bonus
		for _, points := range tells[t.is] {
			value[i] += points
		}
	}
	const again = 8 // what is told once more is worth an eighth
	told, taken := map[int]bool{}, make([]bool, len(x.Traits))
	for range most {
		best, top := -1, -2
		for i := range x.Traits {
			worth := value[i]
			if x.Traits[i].Name == "ground" {
				worth = -1 // where it grows is nothing to look for on the tree
			}
			if !taken[i] && worth > top {
				best, top = i, worth
			}
		}
		taken[best] = true
		for other, points := range tells[x.Traits[best].is] {
			if points < 2*handyWeight || told[other] {
				continue
			}
			told[other] = true
			for i, t := range x.Traits {
				value[i] += tells[t.is][other]/again - tells[t.is][other]
			}
		}
	}
	var list []SheetTrait
	for i, t := range x.Traits {
		if taken[i] {
			list = append(list, t)
		}
	}
	return list
}

// tells returns how well each character of the species on the sheet, by number, tells it from each other species: the
// handier and the surer, the more.
func (x *SheetSpecies) tells() [][]int {
	most, species := 0, x.apart.Species()
	for _, t := range x.Traits {
		most = max(most, t.is)
	}
	tells, room := make([][]int, most+1), make([]int, len(x.Traits)*species)
	for _, t := range x.Traits {
		tells[t.is], room = room[:species:species], room[species:]
	}
	for tell := range x.apart.Tells(x.at) {
		if tell.Character >= len(tells) || tells[tell.Character] == nil {
			continue
		}
		points := handyWeight - tell.Rank
		switch tell.Doubt {
		case traits.NoDoubt:
			points *= 4
		case traits.Handling:
			points *= 2
		}
		if tell.Only {
			points += bonusOnly
		}
		tells[tell.Character][tell.From] = points
	}
	return tells
}

// takeCommon says once what all species of the sheet show, in place of once for each.
func (s *Sheet) takeCommon() {
	lists := make([][]*phenology.Trait, len(s.Species))
	for i, x := range s.Species {
		lists[i] = make([]*phenology.Trait, 0, len(x.Traits))
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

// onTheGround returns the handiest characters of a species' fallen leaves, while it bears none and those on the ground
// can likely be told. They may be another tree's, so that they part no pair.
func onTheGround(w *traits.Watch, d civil.Date) (list []*phenology.Trait) {
	const most = 2
	lasts := false
	for i := range w.Species.Traits {
		t := &w.Species.Traits[i]
		if t.Organ != "leaf" || t.AllYear {
			continue
		}
		switch p, ok := w.Visible(t, d); {
		case !ok:
		case t.Name == "litter":
			lasts = p >= likelyThere
		case t.Name == "form" && p >= mayBeThere:
			return nil
		case t.To == (phenology.Moment{Phase: phenology.Dormant}) && t.Name != "arrangement" && len(t.States) > 0 &&
			traits.Rank(t) <= primaryRank && t.Name != "autumn-color":
			list = append(list, t)
		}
	}
	if !lasts {
		return nil
	}
	slices.SortStableFunc(list, func(a, b *phenology.Trait) int { return cmp.Compare(traits.Rank(a), traits.Rank(b)) })
	return list[:min(len(list), most)]
}
