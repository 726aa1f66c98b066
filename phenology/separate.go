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
	Shade          // the colors, or the grades of a size, are next to each other
	Age            // it changes with the age of the tree and with where it stands
	Hint           // it says where each mostly grows; either may be planted, or seed itself, anywhere
)

// Split is a character in which two species share no state. A and B are the trait in either.
type Split struct {
	A, B  Trait
	Doubt Doubt
	P     float64 // that it can be seen on both, on the day asked about
}

// Ease returns how well the split tells the two apart. A hint never does.
func (s Split) Ease() Ease {
	switch s.Doubt {
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
	A, B *Species
	Day  civil.Date
	Ease Ease
	P    float64 // that the best character of that ease can be seen on both; for [NotApart], of any
	By   []Split // the characters likely there that day, the best first

	// Close are colors that both show that day and that are the same or only a shade apart, where nothing in the plan of
	// the plant and no other color tells the two apart: whoever goes by color takes the one for the other, even if the
	// first of By settles it.
	Close []Split
	Hints []Split // where each of them mostly grows, if that differs: it settles nothing

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
	pairs   []compared // in the order of pairs
}

// compared is what two profiles say of each other, whatever the day.
type compared struct {
	splits []Split
	alike  []Split // colors in which they are the same or a shade apart: see [Pair.Close]
}

// NewSeparator compares every pair of species by the traits in their profiles.
func NewSeparator(watches []*Watch) *Separator {
	s := &Separator{watches: watches}
	for i, a := range watches {
		for _, b := range watches[i+1:] {
			s.pairs = append(s.pairs, compared{Splits(a.Species, b.Species), alike(a.Species, b.Species)})
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
	if evergreen, bare, ok := inLeafAgainstBare(a, b); ok {
		list = append(list, Split{A: evergreen, B: bare})
	} else if evergreen, bare, ok := inLeafAgainstBare(b, a); ok {
		list = append(list, Split{A: bare, B: evergreen})
	}
	slices.SortStableFunc(list, func(x, y Split) int { return cmp.Compare(x.Doubt, y.Doubt) })
	return list
}

// inLeafAgainstBare returns the leaves of an evergreen, and in their place that a deciduous species has none from leaf
// fall until its buds break: nobody needs a bud to tell a spruce from a bare larch.
func inLeafAgainstBare(a, b *Species) (evergreen, bare Trait, ok bool) {
	form := func(sp *Species, allYear bool) (Trait, bool) {
		i := slices.IndexFunc(sp.Traits, func(t Trait) bool { return t.Organ == "leaf" && t.Name == "form" && t.AllYear == allYear })
		if i < 0 {
			return Trait{}, false
		}
		return sp.Traits[i], true
	}
	evergreen, okA := form(a, true)
	bare, okB := form(b, false)
	if !okA || !okB || bare.To != LeafFall || b.Phase(BudBreak) == nil {
		return evergreen, bare, false
	}
	bare.States, bare.Text, bare.From, bare.To = []string{"bare"}, "bare", LeafFall, BudBreak
	return evergreen, bare, true
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

// alike returns the colors of twigs, buds and flowers that two species share, or that are only a shade apart.
func alike(a, b *Species) []Split {
	var list []Split
	for _, ta := range a.Traits {
		for _, tb := range b.Traits {
			if ta.Organ == tb.Organ && isColor(ta) && isColor(tb) && (!disjoint(ta, tb) || nextToEachOther(ta, tb)) {
				list = append(list, Split{A: ta, B: tb, Doubt: Shade})
			}
		}
	}
	// What is a shade apart misleads more than what is the same, by which nobody tries to tell the two.
	slices.SortStableFunc(list, func(x, y Split) int { return cmp.Compare(sharing(x), sharing(y)) })
	return list
}

// sharing returns 1 if the two traits of a split share a state, and else 0.
func sharing(s Split) int {
	if disjoint(s.A, s.B) {
		return 0
	}
	return 1
}

// isColor reports whether a trait is a color by which people know a tree before they look at anything else.
func isColor(t Trait) bool {
	return t.Name == "color" && (t.Organ == "twig" || t.Organ == "bud" || t.Organ == "flower")
}

// isPlan reports whether a trait is of the plan of the plant: where that differs nobody minds the colors.
func isPlan(t Trait) bool {
	return t.Name == "arrangement" || t.Organ == "leaf" && t.Name == "form" || t.Organ == "fruit" && t.Name == "kind"
}

// doubtOf returns why a difference tells two species apart only with care. That bark and habit change with age and
// site, so that nobody goes by them alone, and that where a tree stands is a hint and no more, is common practice, no
// source.
func doubtOf(a, b Trait) Doubt {
	switch {
	case a.Organ == "habit" && a.Name == "ground":
		return Hint
	case a.Organ == "bark" || a.Organ == "habit":
		return Age
	case nextToEachOther(a, b):
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

// grades are words for more and less of the same. Two that follow each other are a matter of the twig at hand and of who
// looks at it. Our own choice.
var grades = [][]string{
	{"small", "medium", "large"}, {"slender", "medium", "stout"}, {"apart", "meeting", "meeting-in-a-point"},
}

// nextToEachOther reports whether some color, or some grade, of the one is close to one of the other.
func nextToEachOther(a, b Trait) bool {
	for _, s := range a.States {
		for _, n := range near[s] {
			if slices.Contains(b.States, n) {
				return true
			}
		}
		for _, g := range grades {
			i := slices.Index(g, s)
			if i > 0 && slices.Contains(b.States, g[i-1]) || i >= 0 && i+1 < len(g) && slices.Contains(b.States, g[i+1]) {
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
			pairs = append(pairs, pairOn(a, b, s.pairs[n], d))
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
			for _, split := range s.pairs[n].splits {
				switch p := seenOnBoth(a, b, split, d); split.Ease() {
				case Apart:
					best = max(best, p)
				case WithCare:
					best = max(best, p/2)
				}
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

func pairOn(a, b *Watch, pair compared, d civil.Date) Pair {
	p := Pair{A: a.Species, B: b.Species, Day: d, Ease: NotApart}
	splits := pair.splits
	for _, split := range splits {
		split.P = seenOnBoth(a, b, split, d)
		if split.Doubt == Hint {
			if split.P >= splitAt {
				p.Hints = append(p.Hints, split)
			}
			continue
		}
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
	} else {
		p.Close = pair.close(a, b, p.By, d)
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

// close returns the colors that mislead on a day: see [Pair.Close].
func (c compared) close(a, b *Watch, by []Split, d civil.Date) []Split {
	for _, split := range by {
		if split.Doubt == NoDoubt && (isPlan(split.A) || isColor(split.A)) {
			return nil
		}
	}
	var list []Split
	for _, split := range c.alike {
		if split.P = seenOnBoth(a, b, split, d); split.P >= splitAt {
			list = append(list, split)
		}
	}
	return list
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
	case t.Name == "scar-edges" || t.Name == "scar-shape" || t.Name == "stoutness":
		return 2 // seen from a hand's breadth, or beside another twig
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
