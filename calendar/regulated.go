package calendar

import (
	"fmt"
	"strings"

	"treewhen/calendar/phrase"
	"treewhen/phenology"
)

// Rules are what law says of species at a place, picked from what profiles say of all places.
type Rules struct {
	Country string // "" if it is not known
	State   string // the state or province, or those that a place near a border may lie in: "Vermont or New Hampshire"; "" if it is not known
	Own     string // what to ask, in a word: state, or province
	Of      map[string]SpeciesRules
}

// SpeciesRules are what law says of one species at a place.
type SpeciesRules struct {
	Here []phenology.Regulation // of its state and its country
	// Elsewhere are the states of the country that have rules of their own, but for those of Here. Where the state is not known,
	// the place may lie in any of them.
	Elsewhere []phenology.Regulation
}

// rules returns what law says of a species at the place. Where nothing is known of the place, all that the profile says may
// hold at it.
func (p *Place) rules(sp *phenology.Species) (r SpeciesRules, own string, certain bool) {
	if p.Rules == nil {
		return SpeciesRules{Elsewhere: sp.Regulated}, "state or province", false
	}
	return p.Rules.Of[sp.ID], p.Rules.Own, p.Rules.State != ""
}

// MayForbid reports whether collecting a species' seed can be forbidden at the place.
func (p *Place) MayForbid(sp *phenology.Species) bool {
	r, _, certain := p.rules(sp)
	list := r.Here
	if !certain {
		list = append(list[:len(list):len(list)], r.Elsewhere...)
	}
	for _, one := range list {
		if one.Collecting {
			return true
		}
	}
	return false
}

// LawCautions say what law says of collecting a species at the place: the rules of its own state and country, and, once, that
// others have others.
func (p *Place) LawCautions(sp *phenology.Species) (list []string) {
	r, own, certain := p.rules(sp)
	first := func(collecting bool) string {
		if collecting {
			return "Check the law first: "
		}
		return "Check the rules first: "
	}
	for _, one := range r.Here {
		list = append(list, fmt.Sprintf("%s%s, %s: %s (%s).", first(one.Collecting), phrase.Name(sp.Name()), one.Where, strings.TrimSuffix(one.Text, "."), one.Source))
	}
	if len(r.Elsewhere) > 0 && !certain {
		collecting := false
		var where []string
		for _, one := range r.Elsewhere {
			collecting = collecting || one.Collecting
			where = append(where, one.Where)
		}
		const most = 3
		if n := len(where); n > most+1 {
			where = append(where[:most:most], fmt.Sprintf("%d more", n-most))
		}
		list = append(list, fmt.Sprintf("%s%s is regulated in %s.", first(collecting), phrase.Name(sp.Name()), phrase.Join(where)))
	}
	if len(r.Here)+len(r.Elsewhere) > 0 {
		list = append(list, fmt.Sprintf("Rules differ and change: ask your %s before you collect, move or sell seed of a regulated species.", own))
	}
	return list
}
