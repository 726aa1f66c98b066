package outing

import (
	"cmp"
	"encoding/json"
	"slices"

	"treewhen/calendar"
	"treewhen/phenology"
	"treewhen/phenology/civil"
)

const (
	worthALook = 0.2 // from this chance on a species is named beside a sight
	mostNamed  = 8   // species of a sight are named
)

// Sight is something that may be there on a day, and which species show it.
type Sight struct {
	See calendar.Sight
	On  []Showing // the likeliest first
}

// Sights are what may be there on a day.
type Sights []Sight

// MarshalJSON writes the chance of each species by the name of the sight and the id of the species, but for what is as
// good as impossible: the whole library has hundreds of those every day.
func (list Sights) MarshalJSON() ([]byte, error) {
	chances := map[string]map[string]calendar.Chance{}
	for _, s := range list {
		of := map[string]calendar.Chance{}
		for _, x := range s.On {
			if x.P >= 0.005 {
				of[x.Species.ID] = calendar.Chance(x.P)
			}
		}
		if len(of) > 0 {
			chances[s.See.String()] = of
		}
	}
	return json.Marshal(chances)
}

// Showing is how likely a species shows a sight.
type Showing struct {
	Species *phenology.Species
	P       float64 // in [0, 1]
	AllYear bool    // it can be seen all year, and nothing can change the chance
}

// sightsOf groups the chances of wishes on a day by what is to be seen: the theme first, and then what is likeliest on
// any species. It returns the wishes in that order as well.
func sightsOf(wishes []tripWish, theme calendar.Sight, d civil.Date) (Sights, []*tripWish) {
	type chance struct {
		*tripWish
		p float64
	}
	chances := make([]chance, len(wishes))
	for i := range wishes {
		chances[i] = chance{&wishes[i], wishes[i].on(d)}
	}
	slices.SortStableFunc(chances, func(a, b chance) int {
		return cmp.Or(cmp.Compare(boolInt(a.see != theme), boolInt(b.see != theme)), cmp.Compare(b.p, a.p))
	})
	var list Sights
	shown := make([]*tripWish, len(chances))
	for i, x := range chances {
		k := slices.IndexFunc(list, func(s Sight) bool { return s.See == x.see })
		if k < 0 {
			k = len(list)
			list = append(list, Sight{See: x.see})
		}
		list[k].On = append(list[k].On, Showing{x.sp, x.p, x.always})
		shown[i] = x.tripWish
	}
	return list, shown
}

// Named returns those that are worth naming, each with the species that are: what the day was chosen for with its
// likeliest, and else what has a chance of a fifth or more.
func (list Sights) Named() Sights {
	var named Sights
	for i, s := range list {
		n := 0
		for n < len(s.On) && (s.On[n].P >= worthALook || i+n == 0) {
			n++
		}
		if n > 0 {
			named = append(named, Sight{s.See, s.On[:n]})
		}
	}
	return named
}

// Shortest returns the species that are named where there is room for a few, and how many are left out.
func (s *Sight) Shortest() (on []Showing, more int) {
	if n := len(s.On) - mostNamed; n > 1 {
		return s.On[:mostNamed], n
	}
	return s.On, 0
}

func boolInt(b bool) int {
	if b {
		return 1
	}
	return 0
}
