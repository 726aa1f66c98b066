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
// are. There are never more than [MostPairs] to be had.
func (s *Sheet) Worst(most int) (worst []traits.Pair, more int) {
	list := s.needCare()
	told := min(most, MostPairs, len(list))
	for _, i := range list[:told] {
		worst = append(worst, s.Compared[i])
	}
	return worst, len(list) - told
}

// needCare returns which of the pairs of a sheet need care, the worst first.
func (s *Sheet) needCare() (list []int) {
	for i := range s.Compared {
		if p := &s.Compared[i]; p.Ease != traits.Apart || len(p.Close) > 0 {
			list = append(list, i)
		}
	}
	slices.SortStableFunc(list, func(i, k int) int {
		a, b := &s.Compared[i], &s.Compared[k]
		return cmp.Or(cmp.Compare(b.Ease, a.Ease), cmp.Compare(boolInt(!shaded(a)), boolInt(!shaded(b))))
	})
	return list
}

// settle finds what settles the worst pairs at another time: of others nothing is said of that.
func (s *Sheet) settle() {
	list := s.needCare()
	for _, i := range list[:min(MostPairs, len(list))] {
		s.apart.Settle(&s.Compared[i])
	}
}

// notApart returns the first pairs of a sheet that cannot be told apart, at most so many: they are the worst.
func (s *Sheet) notApart(most int) (list []traits.Pair) {
	for _, p := range s.Compared {
		if p.Ease == traits.NotApart && len(list) < most {
			list = append(list, p)
		}
	}
	return list
}

// shaded reports whether what a pair is close in is a shade apart, which misleads, and not the same in both, by which
// nobody tries to tell the two.
func shaded(p *traits.Pair) bool {
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
