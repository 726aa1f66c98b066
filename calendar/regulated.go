package calendar

import (
	"slices"

	"treewhen/phenology"
)

// Rules are what law says of species at a place, picked from what profiles say of all places.
type Rules struct {
	Country string // "" if it is not known
	State   string // the state or province; near a border "Vermont or New Hampshire"; "" if it is not known
	Own     string // what to ask, in a word: state, or province; "" if neither is known
	Of      map[string]SpeciesRules
}

// SpeciesRules are what law says of one species at a place.
type SpeciesRules struct {
	Here []phenology.Regulation // of its state and its country
	// Elsewhere are the states of the country that have rules of their own, but for those of Here. Where the state is
	// not known, the place may lie in any of them.
	Elsewhere []phenology.Regulation
}

// Law is what law says of collecting a species' seed at a place.
type Law struct {
	SpeciesRules
	Own     string // whom to ask, in a word, as in [Rules]; "" if nothing is known of the place
	Certain bool   // the state is known: what is said of elsewhere does not hold here
}

// Law returns what law says of a species at the place, nil if nothing. Where nothing is known of the place, all that
// the profile says may hold at it.
func (p *Place) Law(sp *phenology.Species) *Law {
	l := &Law{SpeciesRules: SpeciesRules{Elsewhere: sp.Regulated}}
	if p.Rules != nil {
		l = &Law{p.Rules.Of[sp.ID], p.Rules.Own, p.Rules.State != ""}
	}
	if len(l.Here)+len(l.Elsewhere) == 0 {
		return nil
	}
	return l
}

// MayForbid reports whether collecting the seed can be forbidden. A nil law forbids nothing.
func (l *Law) MayForbid() bool {
	forbids := func(r phenology.Regulation) bool { return r.Collecting }
	return l != nil && (slices.ContainsFunc(l.Here, forbids) || !l.Certain && slices.ContainsFunc(l.Elsewhere, forbids))
}
