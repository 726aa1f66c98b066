package traits

import (
	"slices"

	"treewhen/phenology"
	"treewhen/phenology/civil"
)

// Ease is how well two species can be told apart.
type Ease uint8

// From the best to the worst.
const (
	Apart    Ease = iota // by a character that anybody can see
	WithCare             // only by characters that mislead or that must be broken, cut or scraped to be seen
	NotApart             // by no character that both have
)

// Doubt is why a character tells two species apart only with care.
type Doubt uint8

// The doubts, the least first.
const (
	NoDoubt  Doubt = iota
	Handling       // it must be broken, cut, scraped or held under a lens
	Presence       // one of the two bears it that day: where it is found it tells, where it is not it tells nothing
	Shade          // the colors, or the grades of a size, are next to each other
	Age            // it changes with the age of the tree and with where it stands
	Hint           // it says where each mostly grows; either may be planted, or seed itself, anywhere
)

// Split is a character in which two species share no state. A and B are the trait in either: a character that only one
// of the profiles has tells nothing, since the other may have it as well.
type Split struct {
	A, B  *phenology.Trait
	Doubt Doubt
}

// ease returns how well a character with such a doubt tells two species apart. A hint never does.
func (d Doubt) ease() Ease {
	switch d {
	case NoDoubt:
		return Apart
	case Hint:
		return NotApart
	default:
		return WithCare
	}
}

// splitAt is the probability from which a character counts as there to be seen; settledAt that from which a day is
// worth waiting for. Both are our own choice.
const (
	splitAt   = 0.5
	settledAt = 0.8
)

// Pair is how two species can be told apart on a day.
type Pair struct {
	A, B *phenology.Species
	Day  civil.Date
	Ease Ease
	By   []Split // the characters likely there that day, the best first

	// Close are colors that both show that day and that are the same or only a shade apart, where nothing in the plan
	// of the plant and no other color tells the two apart: whoever goes by color takes the one for the other, even if
	// the first of By settles it.
	Close []Split
	Hints []Split // where each of them mostly grows, if that differs: it settles nothing

	// Settle is the check that settles it at another time, nil if the day's is clear, if there is none, or if
	// [Comparison.Settled] was not asked.
	Settle *Settlement
}

// Settlement is a character that tells two species apart later on, and when.
type Settlement struct {
	Split
	Span civil.Span // the days on which it can likely be seen on both
}

// disjoint reports whether two traits of the same name share no state, or no part of what is measured. Ranges that
// touch share where they touch.
func disjoint(a, b *phenology.Trait) bool {
	if len(a.States) > 0 && len(b.States) > 0 {
		for _, s := range a.States {
			if slices.Contains(b.States, s) {
				return false
			}
		}
		return true
	}
	if len(a.States)+len(b.States) > 0 || a.Unit != b.Unit {
		return false
	}
	return a.High < b.Low || b.High < a.Low
}

// isColor reports whether a trait is a color by which people know a tree before they look at anything else.
func isColor(t *phenology.Trait) bool {
	return t.Name == "color" && (t.Organ == "twig" || t.Organ == "bud" || t.Organ == "flower")
}

// isPlan reports whether a trait is of the plan of the plant: where that differs nobody minds the colors.
func isPlan(t *phenology.Trait) bool {
	return t.Name == "arrangement" || t.Organ == "leaf" && t.Name == "form" || t.Organ == "fruit" && t.Name == "kind"
}

// ageless are barks that tell a species on any stem of more than an arm's width.
var ageless = []string{"white-stripes", "striped-smooth", "peel-sheets"}

// doubtOf returns why a difference tells two species apart only with care. That bark and habit change with age and
// site, so that nobody goes by them alone, and that where a tree stands is a hint and no more, is common practice, no
// source.
func doubtOf(a, b *phenology.Trait) Doubt {
	near, absent := closeness(a, b)
	switch {
	case Rank(a) == hintRank:
		return Hint
	case absent:
		return Presence
	case near:
		return Shade
	case a.Organ == "bark" && (allOf(a.States, ageless) || allOf(b.States, ageless)):
		return NoDoubt
	case (a.Organ == "bark" || a.Organ == "habit") && !a.NeedsHandling:
		return Age
	case a.NeedsHandling || b.NeedsHandling:
		return Handling
	}
	return NoDoubt
}

func allOf(states, list []string) bool {
	return len(states) > 0 && !slices.ContainsFunc(states, func(s string) bool { return !slices.Contains(list, s) })
}
