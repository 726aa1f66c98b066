package starter

import (
	"slices"

	"treewhen/calendar"
	"treewhen/phenology"
)

// classTrees are trees that a class sees from a path, those first that stand in most woods and streets of their range
// and that differ most from each other: common practice, no source.
var classTrees = []string{
	"acer-saccharum", "acer-rubrum", "quercus-rubra", "pinus-strobus", "betula-papyrifera", "fagus-grandifolia",
	"fraxinus-americana", "tsuga-canadensis", "populus-tremuloides", "tilia-americana", "quercus-alba", "carya-ovata",
	"prunus-serotina", "acer-negundo", "acer-saccharinum", "ulmus-americana", "juglans-nigra", "populus-deltoides",
	"platanus-occidentalis", "liriodendron-tulipifera", "cornus-florida", "ostrya-virginiana", "acer-macrophyllum",
	"acer-circinatum",
}

const enoughForAClass = 10 // species: a class learns no more in a year, and pairs grow with the square

// forAClass reports whether a plan is for outings alone.
func (s *Draft) forAClass() bool {
	return !slices.ContainsFunc(s.uses.activities, func(a calendar.Activity) bool {
		return a != calendar.TwigSurvey && a != calendar.FieldTrip
	})
}

// ofAClass returns as many of some species as a class learns, in their order, and as many more to choose from.
func ofAClass(home []*phenology.Species) (chosen, offered []*phenology.Species) {
	rank := func(sp *phenology.Species) int {
		if i := slices.Index(classTrees, sp.ID); i >= 0 {
			return i
		}
		return len(classTrees)
	}
	ranked := slices.Clone(home)
	slices.SortStableFunc(ranked, func(a, b *phenology.Species) int { return rank(a) - rank(b) })
	for _, sp := range home {
		switch i := slices.Index(ranked, sp); {
		case i < enoughForAClass:
			chosen = append(chosen, sp)
		case i < 2*enoughForAClass:
			offered = append(offered, sp)
		}
	}
	return chosen, offered
}
