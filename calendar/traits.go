package calendar

import (
	"strings"

	"treewhen/phenology"
)

func TraitName(t phenology.Trait) string { return strings.ReplaceAll(t.Name, "-", " ") }

// CharacterName names a character with the part of the tree that it is of: "twig color", "end bud size".
func CharacterName(t phenology.Trait) string {
	name := TraitName(t)
	for word := range strings.FieldsSeq(name) {
		if strings.TrimSuffix(word, "s") == t.Organ {
			return name
		}
	}
	return t.Organ + " " + name
}
