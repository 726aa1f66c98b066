package profiles

import (
	"treewhen/phenology"
	"treewhen/phenology/problem"
	"treewhen/phenology/traits"
)

// organs are the parts of a tree that traits are of.
var organs = []string{"twig", "bud", "leaf", "flower", "fruit", "bark", "sap", "pith", "habit"}

// doubts returns what is odd about a species though it may be right: traits that no other species can be compared by.
func doubts(s *phenology.Species) (notes problem.List) {
	for i, t := range s.Traits {
		path := item("traits", i)
		c := traits.CharacterOf(t.Organ, t.Name)
		if c == nil {
			notes.Add("", 0, path+".name", "found trait %s of the %s, which no other species has%s", t.Name, t.Organ,
				nearest(t.Name, traits.Names(t.Organ)))
			continue
		}
		for j, state := range t.States {
			if !c.Knows(state) {
				notes.Add("", 0, item(path+".states", j), "found state %s of %s %s, which no other species has%s",
					state, t.Organ, t.Name, nearest(state, c.States))
			}
		}
	}
	return notes
}

// nearest asks whether the nearest of some names is meant; "" if none is near.
func nearest(name string, names []string) string {
	if n := problem.Nearest(name, names); n != "" {
		return "; is it " + n + "?"
	}
	return ""
}
