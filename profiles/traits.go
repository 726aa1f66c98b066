package profiles

import (
	"slices"

	"treewhen/phenology"
	"treewhen/phenology/problem"
)

// organs are the parts of a tree that traits are of.
var organs = []string{"twig", "bud", "leaf", "flower", "fruit", "bark", "sap", "pith", "habit"}

// color are the words for colors, shared by all organs. A trait lists every color that the part may have.
var color = []string{
	"black", "brown", "gray", "green", "maroon", "olive", "orange", "pink", "purple", "red", "red-brown", "silver",
	"tan",
	"white", "yellow", "yellow-green",
}

// vocabulary are the states that a trait can be in, by organ and name; empty for one that is measured. Two species can
// be compared only where both use the same words, so a word that is not here is noted as doubtful. They are the common
// terms of twig keys and floras.
var vocabulary = map[string]map[string][]string{
	"twig": {
		"arrangement": {"opposite", "alternate", "whorled"},
		"color":       color,
		"surface":     {"smooth", "waxy", "hairy", "rough", "sticky"},
		"smell":       {"none", "rank", "almond", "wintergreen", "spicy"},
		"stoutness":   {"slender", "medium", "stout"},
		"scar-shape":  {"v-shaped", "u-shaped", "crescent", "shield", "round", "three-lobed"},
		"scar-edges":  {"apart", "meeting", "meeting-in-a-point"},
	},
	"bud": {
		"arrangement":  {"opposite", "alternate", "whorled"},
		"color":        color,
		"tip":          {"sharp", "blunt"},
		"scales":       {"two", "few", "many", "one", "none"},
		"surface":      {"smooth", "waxy", "hairy", "sticky"},
		"flower-buds":  {"clustered-round", "hidden", "catkins", "single"},
		"stalk":        {"stalked", "sessile"},
		"side-buds":    {"pressed", "spreading"},
		"end-bud-size": {"small", "medium", "large"},
		"tip-buds":     {"one", "two", "three", "many"},
		"sap":          {"clear", "milky"},
	},
	"leaf": {
		"arrangement":  {"opposite", "alternate", "whorled"},
		"form":         {"simple-lobed", "simple-unlobed", "pinnate", "palmate", "needle", "scale"},
		"leaflets":     {},
		"lobes":        {},
		"needles":      {},
		"notch":        {"v-shaped", "u-shaped", "deep-narrow"},
		"edge":         {"smooth", "fine-teeth", "coarse-teeth", "bristle-tips", "double-teeth"},
		"underside":    {"green", "pale", "silver", "white", "hairy", "brown"},
		"stalk-color":  color,
		"autumn-color": color,
	},
	"flower": {
		"color":    color,
		"timing":   {"before-leaves", "with-leaves", "after-leaves", "autumn"},
		"form":     {"round-clusters", "hanging-tassels", "upright-clusters", "catkins", "single"},
		"sexes":    {"separate-trees", "separate-flowers", "both-in-one"},
		"showy":    {"yes", "no"},
		"position": {"twig-ends", "along-twigs"},
	},
	"fruit": {
		"kind": {"paired-samara", "single-samara", "acorn", "nut", "cone", "capsule", "berry", "drupe", "pome",
			"catkin", "pod", "head"},
		"angle":    {},
		"length":   {},
		"ripens":   {"spring", "summer", "autumn"},
		"hangs":    {"falls-at-once", "into-winter"},
		"clusters": {"short", "long-hanging", "single"},
	},
	"bark": {
		"color": color,
		"pattern": {"smooth", "plates-lifting", "tight-ridges", "shaggy-strips", "scaly-ridges", "interlaced-ridges",
			"peeling", "diamonds", "corky-warts"},
	},
	"sap": {
		"color": {"clear", "milky"},
	},
	"pith": {
		"color": color,
		"form":  {"solid", "chambered", "hollow", "star"},
	},
	"habit": {
		"low-branches": {"turning-up", "level", "drooping"},
		"ground":       {"flood-plain", "swamp", "upland", "street", "waste-ground"},
	},
}

// doubts returns what is odd about a species though it may be right: traits that no other species can be compared by.
func doubts(s *phenology.Species) (notes problem.List) {
	for i, t := range s.Traits {
		path := item("traits", i)
		states, known := vocabulary[t.Organ][t.Name]
		if !known {
			names := make([]string, 0, len(vocabulary[t.Organ]))
			for name := range vocabulary[t.Organ] {
				names = append(names, name)
			}
			slices.Sort(names)
			near := ""
			if n := problem.Nearest(t.Name, names); n != "" {
				near = "; is it " + n + "?"
			}
			notes.Add("", 0, path+".name", "found trait %s of the %s, which no other species has%s", t.Name, t.Organ,
				near)
			continue
		}
		for j, state := range t.States {
			if !slices.Contains(states, state) {
				near := ""
				if n := problem.Nearest(state, states); n != "" {
					near = "; is it " + n + "?"
				}
				notes.Add("", 0, item(path+".states", j), "found state %s of %s %s, which no other species has%s",
					state, t.Organ, t.Name, near)
			}
		}
	}
	return notes
}
