package calendar

import (
	"slices"
	"strings"

	"treewhen/calendar/phrase"
	"treewhen/phenology"
)

// The usual cautions of each kind of work. All are common practice, no source; none replaces local rules or a licensed
// professional.
var (
	SurveyCautions = []string{
		"Ice, snow and early dusk: tell somebody where you go, and keep off frozen ponds and flooded river margins.",
		"Blaze orange in hunting season; leave of the landowner first.",
		"Learn poison ivy's hairy vines and bare stems: they raise a rash in winter too. Box elder seedlings are its look-alike in leaf.",
	}
	TripCautions = []string{
		"Leave of the landowner and your school's own rules come first; check roads, parking and who is allergic to what.",
		"Ticks, poison ivy and, near rivers, high water; blaze orange in hunting season.",
	}
)

func SlicesOf(list []string) []string { return slices.Clone(list) }

// SpeciesCautions returns a species' own cautions that go with an activity, whatever the day.
func SpeciesCautions(sp *phenology.Species, a Activity) []string {
	var list []string
	for _, c := range sp.Cautions {
		if !c.InLeaf && (len(c.Activities) == 0 || slices.Contains(c.Activities, string(a))) {
			list = append(list, sp.Name()+": "+phrase.Sentence(c.Text))
		}
	}
	return list
}

// MergeSpecies joins those of a list of cautions that differ only in the species they are of, at the place of the first.
func MergeSpecies(list []string, of map[string]string) []string {
	names := map[string][]string{} // by what is said of them
	text := func(c string) string { return strings.TrimPrefix(c, of[c]+": ") }
	for _, c := range list {
		if of[c] != "" {
			names[text(c)] = append(names[text(c)], of[c])
		}
	}
	var merged []string
	for _, c := range list {
		switch n := names[text(c)]; {
		case of[c] == "":
			merged = append(merged, c)
		case n[0] == of[c]:
			merged = append(merged, phrase.Join(n)+": "+text(c))
		}
	}
	return merged
}
