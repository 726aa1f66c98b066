package outing

import (
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

// Worst returns the pairs of a sheet that need care, the worst first, at most so many of them, and how many more there
// are. There are never more than [MostPairs] to be had.
func (s *Sheet) Worst(most int) (worst []traits.Pair, more int) {
	told := min(most, len(s.worst))
	return s.worst[:told], s.Pairs.Total() - s.Pairs.AtAGlance - told
}

// judge counts the pairs of a sheet and finds the worst of those that need care, with what settles them at another
// time: of others nothing is said of that.
func (s *Sheet) judge() {
	var notApart, withCare, misled []int
	for i := range s.apart.Pairs() {
		switch ease, close := s.apart.Ease(i); {
		case ease == traits.NotApart:
			notApart = append(notApart, i)
		case ease == traits.WithCare:
			withCare = append(withCare, i)
		case close:
			misled = append(misled, i)
		}
	}
	s.Pairs = Pairs{NotByColor: len(misled), WithCare: len(withCare), NotApart: len(notApart)}
	s.Pairs.AtAGlance = s.apart.Pairs() - s.Pairs.Total()
	worst := slices.Concat(notApart, withCare)
	if len(worst) < MostPairs {
		var same []int
		for _, i := range misled {
			if p := s.apart.Pair(i); shaded(&p) {
				worst = append(worst, i)
			} else {
				same = append(same, i)
			}
		}
		worst = append(worst, same...)
	}
	for _, i := range worst[:min(MostPairs, len(worst))] {
		s.worst = append(s.worst, s.apart.Settled(i))
	}
}

// notApart returns the first pairs of a sheet that cannot be told apart, at most so many: they are the worst.
func (s *Sheet) notApart(most int) []traits.Pair {
	return s.worst[:min(most, s.Pairs.NotApart, len(s.worst))]
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
