package words

import (
	"slices"
	"strings"

	"treewhen/calendar"
	"treewhen/calendar/phrase"
	"treewhen/calendar/seed"
	"treewhen/phenology"
)

// Caution is what is to be minded.
type Caution struct {
	Of   string // the name of the species that it is of; "" if it is of none
	Text string // a sentence
	in   phrase.Language
}

// String says whom the caution is of, and what it is.
func (c Caution) String() string {
	if c.Of == "" {
		return c.Text
	}
	return c.Of + tongue{phrase.Speech{Language: c.in}}.colon() + c.Text
}

// ofNone makes cautions that are of no species.
func ofNone(texts ...string) []Caution {
	list := make([]Caution, len(texts))
	for i, text := range texts {
		list[i].Text = text
	}
	return list
}

// Minded says cautions one by one.
func Minded(list []Caution) []string {
	var lines []string
	for _, c := range list {
		lines = append(lines, c.String())
	}
	return lines
}

// MindedOnce says cautions, those that differ only in the species they are of at the place of the first.
func MindedOnce(list []Caution) (lines []string) {
	names := map[string][]string{} // by what is said of them
	for _, c := range list {
		if c.Of != "" {
			names[c.Text] = append(names[c.Text], c.Of)
		}
	}
	for _, c := range list {
		switch of := names[c.Text]; {
		case c.Of == "":
			lines = append(lines, c.Text)
		case c.Of == of[0]:
			lines = append(lines, Caution{Join(of, phrase.Speech{Language: c.in}), c.Text, c.in}.String())
		}
	}
	return lines
}

// The usual cautions of seed work. All are common practice, no source; none replaces local rules or a licensed
// professional.
var usualOfSeed = ofNone(
	"Ask the landowner; public land needs a permit. Leave most of the crop for the forest and its animals.",
	"Stay on the ground: climbing, ladders, poles and lifts near power lines are for licensed people.",
	"Ticks from spring to late autumn; poison ivy and poison oak, whose bare stems raise a rash too; blaze orange "+
		"in hunting season.",
)

// seedCautions are the cautions of a piece of seed work.
func seedCautions(e *calendar.Entry, f seed.Facts) []Caution {
	sp, list := e.Species[0], standCautions(e.Stand)
	switch f := f.(type) {
	case *seed.Collection:
		law := ofNone(lawCautions(f.Law, sp)...)
		return slices.Concat(list, law, usualOfSeed, speciesCautions(sp, calendar.SeedCollection, e.Speech))
	case *seed.Scout, *seed.Check:
		if len(list) == 0 {
			return usualOfSeed
		}
		return append(list, usualOfSeed...)
	case *seed.Cleaning: // those of collecting alone, such as falling nuts and high water, stay outdoors
		return append(list, cautionsOf(sp, e.Speech,
			func(c *phenology.Caution) bool { return len(c.Activities) == 0 })...)
	case *seed.Stratification:
		if f.Step == 1 {
			list = append(list, scarifyCaution(f.Treatment)...)
		}
	case *seed.Sow:
		if f.How != seed.AtOnce && f.How != seed.ForWinter && len(f.Treatment.Steps) == 0 {
			list = append(list, scarifyCaution(f.Treatment)...)
		}
	}
	return list
}

// seedCare says the dangers of seed work by a word or two each: the law first, then whom to ask.
func seedCare(e *calendar.Entry, f seed.Facts) string {
	var list []string
	switch f := f.(type) {
	case *seed.Collection:
		if f.Law != nil {
			list = append(list, "check the law on this species first")
		}
	case *seed.Scout, *seed.Check:
	default:
		return ""
	}
	for _, c := range standCautions(e.Stand) {
		list = append(list, c.Text)
	}
	list = append(list, "ask the landowner, stay on the ground, keep off power lines, ticks, poison "+
		"ivy, hunting season")
	return strings.Join(list, "; ")
}

// standCautions are what the owner of a plan wrote of a stand: its permit, its landowner.
func standCautions(s *calendar.Stand) (list []Caution) {
	if s == nil {
		return nil
	}
	if s.Permit != "" {
		list = append(list, Caution{Text: s.Name + ", permit: " + s.Permit})
	}
	if s.Owner != "" {
		list = append(list, Caution{Text: s.Name + ", landowner: " + s.Owner})
	}
	return list
}

func scarifyCaution(f *seed.Treatment) []Caution {
	if !seed.Has(f.Before, phenology.Scarify) {
		return nil
	}
	return []Caution{{Text: "Scarify by file, sandpaper or hot water where you can; acid burns, and is for trained " +
		"people with goggles, gloves and running water."}}
}

// speciesCautions returns a species' own cautions that go with an activity, whatever the day.
func speciesCautions(sp *phenology.Species, a calendar.Activity, as phrase.Speech) []Caution {
	return cautionsOf(sp, as, func(c *phenology.Caution) bool { return goesWith(c, a) })
}

// cautionsOf returns those of a species' own cautions that hold whatever the day.
func cautionsOf(
	sp *phenology.Species, as phrase.Speech, holds func(*phenology.Caution) bool,
) (list []Caution) {
	for i := range sp.Cautions {
		if c := &sp.Cautions[i]; !c.InLeaf && holds(c) {
			list = append(list, Caution{Of: sp.Name(), Text: phrase.Sentence(as.Measures(c.Text))})
		}
	}
	return list
}

func goesWith(c *phenology.Caution, a calendar.Activity) bool {
	return len(c.Activities) == 0 || slices.Contains(c.Activities, string(a))
}
