package words

import (
	"fmt"

	"treewhen/calendar/outing"
	"treewhen/calendar/phrase"
	"treewhen/phenology"
)

// Sketch is what a drawing beside a term shows.
type Sketch uint8

// The drawings.
const (
	NoSketch Sketch = iota
	OppositeTwig
	AlternateTwig
	BudScales
	WingAngle
)

// Term is a word of a sheet with what it means.
type Term struct {
	Word, Text string
	Sketch     Sketch
	Low, High  float64 // of [WingAngle], in degrees
}

// terms are the words that a sheet's characters take for granted.
var terms = []struct {
	organ, name string
	Term
}{
	{"twig", "arrangement", Term{Word: "opposite", Text: "two buds or leaves at one height", Sketch: OppositeTwig}},
	{"twig", "arrangement", Term{Word: "alternate", Text: "one bud or leaf at a time, by turns",
		Sketch: AlternateTwig}},
	{"bud", "scales", Term{Word: "scales", Text: "small leaves over a bud, like shingles or two shells",
		Sketch: BudScales}},
	{"leaf", "leaflets", Term{Word: "leaflet", Text: "one blade of several in a leaf; the bud is at the " +
		"foot of the whole leaf"}},
	{"leaf", "lobe-depth", Term{Word: "lobe", Text: "a part of the blade between two deep gaps"}},
	{"twig", "scar-shape", Term{Word: "leaf scar", Text: "the mark that a fallen leaf leaves under a bud"}},
	{"twig", "bundle-scars", Term{Word: "dots in the scar", Text: "where the leaf's veins ran into the twig"}},
	{"twig", "lenticels", Term{Word: "pore", Text: "a light dot or line in a twig's bark, through which it breathes"}},
	{"twig", "spurs", Term{Word: "spur", Text: "a short side shoot crowded with scars"}},
	{"pith", "form", Term{Word: "pith", Text: "the soft core of a twig"}},
	{"leaf", "needle-fix", Term{Word: "peg", Text: "a stub that stays on the twig when a needle falls"}},
}

// Glossary explains the words that a sheet and its key use, in the order from twig to fruit, and draws the wings of the
// keys to their degrees.
func Glossary(s *outing.Sheet) (list []Term) {
	used := map[[2]string]bool{}
	use := func(t *phenology.Trait) { used[[2]string{t.Organ, t.Name}] = true }
	for _, c := range s.Common {
		use(c[0])
	}
	for _, x := range s.Species {
		for _, t := range x.Best(s.MostTraits(glossaryTraits)) {
			use(t.Trait)
		}
	}
	if k := s.Key(); k != nil {
		for _, q := range k.Questions {
			use(&q.Sides[0].Seen)
		}
	}
	for _, t := range terms {
		if used[[2]string{t.organ, t.name}] {
			list = append(list, t.Term)
		}
	}
	for _, x := range s.Species {
		for _, t := range x.Traits {
			if t.Organ == "fruit" && t.Name == "angle" {
				list = append(list, Term{Word: x.Species.Name(), Sketch: WingAngle, Low: t.Low, High: t.High,
					Text: fmt.Sprintf("%s degrees between the wings", phrase.Range(t.Low, t.High, 0))})
			}
		}
	}
	return list
}

const glossaryTraits = 8 // as many characters of a species as a printed sheet has
