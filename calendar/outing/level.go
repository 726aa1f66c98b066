package outing

import (
	"fmt"
	"slices"
	"strings"

	"treewhen/phenology/traits"
)

// Level is for whom a sheet is.
type Level uint8

// The levels, by what people are asked to look at.
const (
	Secondary Level = iota // the default: what fits on a page, with the chances and the pairs that need care
	Primary                // a few characters that the eye alone finds, without chances
	Adult                  // all that is there
)

var levelNames = []string{Secondary: "secondary", Primary: "primary", Adult: "adult"}

// Levels names the levels.
func Levels() []string { return []string{"primary", "secondary", "adult"} }

// ParseLevel reads a level.
func ParseLevel(s string) (Level, error) {
	if i := slices.Index(levelNames, s); i >= 0 {
		return Level(i), nil
	}
	return 0, fmt.Errorf("found %q, want %s", s, strings.Join(Levels(), ", "))
}

const (
	primaryTraits = 4 // characters of a species
	primaryRank   = 3 // the handiest characters alone: see the table of characters
	adultTraits   = 14
)

// For returns the sheet for people of a level.
func (s *Sheet) For(l Level) *Sheet {
	t := *s
	t.Level = l
	if l != Primary {
		return &t
	}
	t.Kit.Knife, t.Kit.Ruler, t.Sights = false, false, nil
	t.Species = slices.Clone(s.Species)
	for i := range t.Species {
		x := &t.Species[i]
		x.Traits = slices.DeleteFunc(slices.Clone(x.Traits), func(c SheetTrait) bool {
			return c.NeedsHandling || traits.Rank(c.Trait) > primaryRank || c.P < likelyThere || len(c.States) == 0
		})
	}
	return &t
}

// MostTraits returns how many characters of a species there is room for, where a sheet of its level would have so many.
func (s *Sheet) MostTraits(usual int) int {
	switch s.Level {
	case Primary:
		return primaryTraits
	case Adult:
		return adultTraits
	}
	return usual
}

// Key works out the way to the sheet's species by questions with two answers; nil where there are too few. For the
// lowest grades it asks for nothing that must be cut, scraped or held under a lens.
func (s *Sheet) Key() *traits.Key {
	const fewest = 3 // two are told apart by a line
	if len(s.Species) < fewest {
		return nil
	}
	return s.apart.Key(s.Level == Primary)
}
