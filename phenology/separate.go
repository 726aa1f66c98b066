package phenology

import (
	"cmp"
	"slices"

	"treewhen/phenology/civil"
)

// Ease is how well two species can be told apart.
type Ease int

// From the best to the worst.
const (
	Apart    Ease = iota // by a character that anybody can see
	WithCare             // only by characters that mislead or that must be broken, cut or scraped to be seen
	NotApart             // by no character that both have
)

// String returns the ease in words.
func (e Ease) String() string {
	switch e {
	case Apart:
		return "apart"
	case WithCare:
		return "with care"
	default:
		return "not apart"
	}
}

// Doubt is why a character tells two species apart only with care.
type Doubt int

// The doubts, the least first.
const (
	NoDoubt  Doubt = iota
	Handling       // it must be broken, cut, scraped or held under a lens
	Shade          // the colors are close to each other
	Age            // it changes with the age of the tree and with where it stands
)

// Split is a character in which two species share no state. A and B are the trait in either.
type Split struct {
	A, B  Trait
	Doubt Doubt
	P     float64 // that it can be seen on both, on the day asked about
}

// Ease returns how well the split tells the two apart.
func (s Split) Ease() Ease {
	if s.Doubt == NoDoubt {
		return Apart
	}
	return WithCare
}

// splitAt is the probability from which a character counts as there to be seen; settledAt that from which a day is
// worth waiting for. Both are our own choice.
const (
	splitAt   = 0.5
	settledAt = 0.8
)

// Pair is how two species can be told apart on a day.
type Pair struct {
	A, B *Species
	Day  civil.Date
	Ease Ease
	P    float64 // that the best character of that ease can be seen on both; for [NotApart], of any
	By   []Split // the characters likely there that day, the best first

	// Settle is the check that settles it at another time, nil if today's is clear or if there is none.
	Settle *Settlement
}

// Settlement is a character that tells two species apart later on, and when.
type Settlement struct {
	Split
	Span civil.Span // the days on which it can likely be seen on both
}

// Separator tells the species of a list apart, day by day. It is not safe for use by several goroutines.
type Separator struct {
	watches []*Watch
	splits  [][]Split // of each pair, in the order of pairs
}

// NewSeparator compares every pair of species by the traits in their profiles.
func NewSeparator(watches []*Watch) *Separator {
	s := &Separator{watches: watches}
	for i, a := range watches {
		for _, b := range watches[i+1:] {
			s.splits = append(s.splits, Splits(a.Species, b.Species))
		}
	}
	return s
}

// Splits returns the characters in which two species share no state, whatever the day, the surest first. A character
// that only one of the profiles has tells nothing: the other may have it as well.
func Splits(a, b *Species) []Split {
	var list []Split
	for _, ta := range a.Traits {
		for _, tb := range b.Traits {
			if ta.Organ == tb.Organ && ta.Name == tb.Name && disjoint(ta, tb) {
				list = append(list, Split{A: ta, B: tb, Doubt: doubtOf(ta, tb)})
			}
		}
	}
	slices.SortStableFunc(list, func(x, y Split) int { return cmp.Compare(x.Doubt, y.Doubt) })
	return list
}

// disjoint reports whether two traits of the same name share no state, or no part of what is measured. Ranges that
// touch share where they touch.
func disjoint(a, b Trait) bool {
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

// doubtOf returns why a difference tells two species apart only with care. That bark and habit change with age and
// site, so that nobody goes by them alone, is common practice, no source.
func doubtOf(a, b Trait) Doubt {
	switch {
	case a.Organ == "bark" || a.Organ == "habit":
		return Age
	case onlyAShadeApart(a.States, b.States):
		return Shade
	case a.NeedsHandling || b.NeedsHandling:
		return Handling
	}
	return NoDoubt
}

// near are colors that two observers, or two twigs, exchange for each other. Our own choice.
var near = map[string][]string{
	"red": {"red-brown", "maroon", "pink", "orange"}, "red-brown": {"red", "brown", "maroon", "orange"},
	"maroon": {"red", "red-brown", "purple", "brown"}, "purple": {"maroon"}, "brown": {"red-brown", "tan", "olive", "black", "maroon"},
	"tan": {"brown", "gray"}, "olive": {"brown", "green", "yellow-green"}, "green": {"olive", "yellow-green"},
	"yellow-green": {"green", "yellow", "olive"}, "yellow": {"yellow-green", "orange"}, "orange": {"red", "red-brown", "yellow"},
	"gray": {"silver", "tan", "white"}, "silver": {"gray", "white"}, "white": {"silver", "gray"}, "pink": {"red"}, "black": {"brown"},
}

// onlyAShadeApart reports whether some color of the one is close to some color of the other.
func onlyAShadeApart(a, b []string) bool {
	for _, s := range a {
		for _, n := range near[s] {
			if slices.Contains(b, n) {
				return true
			}
		}
	}
	return false
}

// On returns how every pair of the list can be told apart on a day, in the order of the list. The chance that a character
// can be seen on both is the product of the two chances: less than the truth, since the two species are early or late
// together.
func (s *Separator) On(d civil.Date) []Pair {
	var pairs []Pair
	n := 0
	for i, a := range s.watches {
		for _, b := range s.watches[i+1:] {
			pairs = append(pairs, pairOn(a, b, s.splits[n], d))
			n++
		}
	}
	return pairs
}

// Expected returns how many pairs can be expected to be told apart on a day, those that need care counted by half, and
// how many pairs there are.
func (s *Separator) Expected(d civil.Date) (sum float64, pairs int) {
	n := 0
	for i, a := range s.watches {
		for _, b := range s.watches[i+1:] {
			best := 0.0
			for _, split := range s.splits[n] {
				p := seenOnBoth(a, b, split, d)
				if split.Ease() == WithCare {
					p /= 2
				}
				best = max(best, p)
			}
			sum += best
			n++
		}
	}
	return sum, n
}

// seenOnBoth returns the chance that a character can be seen on both that day.
func seenOnBoth(a, b *Watch, split Split, d civil.Date) float64 {
	pa, okA := a.Visible(split.A, d)
	pb, okB := b.Visible(split.B, d)
	if !okA || !okB {
		return 0
	}
	return pa * pb
}

func pairOn(a, b *Watch, splits []Split, d civil.Date) Pair {
	p := Pair{A: a.Species, B: b.Species, Day: d, Ease: NotApart}
	for _, split := range splits {
		split.P = seenOnBoth(a, b, split, d)
		if split.P < splitAt {
			if p.Ease == NotApart {
				p.P = max(p.P, split.P)
			}
			continue
		}
		switch e := split.Ease(); {
		case e < p.Ease:
			p.Ease, p.P = e, split.P
		case e == p.Ease:
			p.P = max(p.P, split.P)
		}
		p.By = append(p.By, split)
	}
	slices.SortStableFunc(p.By, func(x, y Split) int {
		return cmp.Or(cmp.Compare(x.Doubt, y.Doubt), cmp.Compare(handiness(x.A), handiness(y.A)), cmp.Compare(y.P, x.P))
	})
	if p.Ease != Apart {
		p.Settle = settlement(a, b, splits, d)
	}
	if p.Ease == NotApart && p.Settle != nil {
		// Where there is nothing to go by today, a season is too long to wait for what shows at a glance.
		const season = 90
		if by := settlementBy(a, b, splits, d, Handling); by != nil && by.Span.First+season < p.Settle.Span.First {
			p.Settle = by
		}
	}
	return p
}

// settlement returns the soonest check in the year after a day: one that anybody can make, and failing that one that
// needs handling. A better character is worth waiting a fortnight for.
func settlement(a, b *Watch, splits []Split, d civil.Date) *Settlement {
	for _, doubt := range []Doubt{NoDoubt, Handling} {
		if got := settlementBy(a, b, splits, d, doubt); got != nil {
			return got
		}
	}
	return nil
}

// settlementBy returns the soonest check in the year after a day among characters of one doubt.
func settlementBy(a, b *Watch, splits []Split, d civil.Date, doubt Doubt) *Settlement {
	const fortnight = 14
	for _, enough := range []float64{settledAt, splitAt} {
		var found []*Settlement
		for _, split := range splits {
			if split.Doubt == doubt {
				if got := firstTime(a, b, split, d, enough); got != nil {
					found = append(found, got)
				}
			}
		}
		if len(found) == 0 {
			continue
		}
		soonest := slices.MinFunc(found, func(x, y *Settlement) int { return cmp.Compare(x.Span.First, y.Span.First) }).Span.First
		found = slices.DeleteFunc(found, func(x *Settlement) bool { return x.Span.First > soonest+fortnight })
		return slices.MinFunc(found, func(x, y *Settlement) int {
			return cmp.Or(cmp.Compare(handiness(x.A), handiness(y.A)), cmp.Compare(x.Span.First, y.Span.First))
		})
	}
	return nil
}

// handiness ranks characters by how easily a class checks them, the easiest first: what is on every tree before what is
// on some, what is seen in one visit before what must be waited for. Our own choice.
func handiness(t Trait) int {
	switch {
	case t.Name == "ripens" || t.Name == "timing" || t.Name == "hangs" || t.Name == "sexes":
		return 4
	case t.Organ == "leaf":
		return 0
	case t.Organ == "bud" || t.Organ == "twig":
		return 1
	case t.Organ == "fruit":
		return 2
	default:
		return 3
	}
}

// firstTime returns the first run of days after d on which a character can be seen on both with enough probability.
func firstTime(a, b *Watch, split Split, d civil.Date, enough float64) *Settlement {
	var found *Settlement
	for day := d + 1; day <= d+366; day++ {
		p := seenOnBoth(a, b, split, day)
		switch {
		case p >= enough && found == nil:
			found = &Settlement{Split: split, Span: civil.Span{First: day, Last: day}}
			found.P = p
		case p >= enough:
			found.Span.Last, found.P = day, max(found.P, p)
		case found != nil:
			return found
		}
	}
	return found
}
