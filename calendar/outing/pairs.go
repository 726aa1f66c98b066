package outing

import (
	"cmp"
	"slices"

	"treewhen/phenology/traits"
)

// Pairs are how many pairs of species can be told apart on a day, and how.
type Pairs struct {
	AtAGlance  int `json:"at_a_glance"`
	NotByColor int `json:"not_by_color"` // at a glance, though their colors mislead
	WithCare   int `json:"with_care"`
	NotApart   int `json:"not_apart"`
}

// Total returns how many pairs there are.
func (p Pairs) Total() int { return p.AtAGlance + p.NotByColor + p.WithCare + p.NotApart }

func countPairs(list []traits.Pair) (n Pairs) {
	for _, p := range list {
		switch {
		case p.Ease == traits.NotApart:
			n.NotApart++
		case p.Ease == traits.WithCare:
			n.WithCare++
		case len(p.Close) > 0:
			n.NotByColor++
		default:
			n.AtAGlance++
		}
	}
	return n
}

// Worst returns the pairs of a sheet that need care, the worst first, at most so many of them, and how many more there
// are.
func (s *Sheet) Worst(most int) (worst []traits.Pair, more int) {
	for _, p := range s.Compared {
		if p.Ease != traits.Apart || len(p.Close) > 0 {
			worst = append(worst, p)
		}
	}
	slices.SortStableFunc(worst, func(a, b traits.Pair) int {
		return cmp.Or(cmp.Compare(b.Ease, a.Ease), cmp.Compare(boolInt(!shaded(a)), boolInt(!shaded(b))))
	})
	more = max(0, len(worst)-most)
	worst = worst[:len(worst)-more]
	s.apart.Settle(worst)
	return worst, more
}

// notApart returns the first pairs of a sheet that cannot be told apart, at most so many.
func (s *Sheet) notApart(most int) (list []traits.Pair) {
	for _, p := range s.Compared {
		if p.Ease == traits.NotApart && len(list) < most {
			list = append(list, p)
		}
	}
	s.apart.Settle(list)
	return list
}

// shaded reports whether what a pair is close in is a shade apart, which misleads, and not the same in both, by which
// nobody tries to tell the two.
func shaded(p traits.Pair) bool {
	return len(p.Close) > 0 && slices.ContainsFunc(p.By, func(s traits.Split) bool {
		return s.A.Organ == p.Close[0].A.Organ && s.A.Name == p.Close[0].A.Name
	})
}

// brief returns pairs with the best of their characters alone, which is what is said of them.
func brief(list []traits.Pair) []traits.Pair {
	short := slices.Clone(list)
	for i := range short {
		p := &short[i]
		for _, splits := range []*[]traits.Split{&p.By, &p.Close, &p.Hints} {
			*splits = slices.Clone((*splits)[:min(1, len(*splits))])
		}
	}
	return short
}
