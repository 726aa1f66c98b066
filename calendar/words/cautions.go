package words

import (
	"slices"
	"strings"

	"treewhen/calendar"
	"treewhen/calendar/phrase"
	"treewhen/phenology"
)

// The usual cautions of seed work. All are common practice, no source; none replaces local rules or a licensed
// professional.
var seedCautions = []string{
	"Ask the landowner; public land needs a permit. Leave most of the crop for the forest and its animals.",
	"Stay on the ground: climbing, ladders, poles and lifts near power lines are for licensed people.",
	"Ticks from spring to late autumn; blaze orange in hunting season.",
}

// standCautions are what the owner of a plan wrote of a stand: its permit, its landowner.
func standCautions(s *calendar.Stand) (list []string) {
	if s == nil {
		return nil
	}
	if s.Permit != "" {
		list = append(list, s.Name+", permit: "+s.Permit)
	}
	if s.Owner != "" {
		list = append(list, s.Name+", landowner: "+s.Owner)
	}
	return list
}

// SpeciesCautions returns a species' own cautions that go with an activity, whatever the day.
func SpeciesCautions(sp *phenology.Species, a calendar.Activity) (list []string) {
	for _, c := range sp.Cautions {
		if !c.InLeaf && goesWith(&c, a) {
			list = append(list, sp.Name()+": "+phrase.Sentence(c.Text))
		}
	}
	return list
}

func goesWith(c *phenology.Caution, a calendar.Activity) bool {
	return len(c.Activities) == 0 || slices.Contains(c.Activities, string(a))
}

// indoorCautions are the cautions that go with a species wherever it is: those of collecting alone, such as falling
// nuts and high water, stay outdoors.
func indoorCautions(sp *phenology.Species) (list []string) {
	for _, c := range sp.Cautions {
		if !c.InLeaf && len(c.Activities) == 0 {
			list = append(list, sp.Name()+": "+phrase.Sentence(c.Text))
		}
	}
	return list
}

// MergeSpecies joins those of a list of cautions that differ only in the species they are of, at the place of the
// first.
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
