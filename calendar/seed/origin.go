package seed

import (
	"cmp"
	"slices"

	"treewhen/calendar"
	"treewhen/phenology"
)

// origin is where seed comes from that may be put together: the stands of one seed zone, or one stand without a zone.
// Seed of several origins is never mixed, since where a tree's parents grew decides where it can grow.
type origin struct {
	stands []*calendar.Stand // none: the place as a whole
	apart  bool              // its species grows at another origin here as well
	first  bool              // of its species' origins, by zone or stand
}

// origins returns the origins of a species' seed among some stands, by zone or stand.
func origins(stands []*calendar.Stand, sp *phenology.Species) (list []origin) {
	for _, s := range stands {
		if !slices.Contains(s.Species, sp) {
			continue
		}
		i := slices.IndexFunc(list, func(o origin) bool { return o.zone() != "" && o.zone() == s.SeedZone })
		if i < 0 {
			i, list = len(list), append(list, origin{})
		}
		list[i].stands = append(list[i].stands, s)
	}
	for i := range list {
		list[i].apart = len(list) > 1
		slices.SortFunc(list[i].stands, func(a, b *calendar.Stand) int { return cmp.Compare(a.ID, b.ID) })
	}
	slices.SortFunc(list, func(a, b origin) int {
		return cmp.Or(cmp.Compare(a.zone(), b.zone()), cmp.Compare(a.stands[0].ID, b.stands[0].ID))
	})
	if len(list) > 0 {
		list[0].first = true
	}
	return list
}

func (o origin) zone() string {
	if len(o.stands) == 0 {
		return ""
	}
	return o.stands[0].SeedZone
}

// tell tells its work from that of the species' other origins. The first tells nothing, as all seed did together when
// it was not kept apart, so that what is in calendars stays the same event.
func (o origin) tell() []string {
	switch {
	case !o.apart || o.first:
		return nil
	case o.zone() != "":
		return []string{"zone", o.zone()}
	}
	return []string{"stand", o.stands[0].ID}
}

// lot returns the lot that is to be collected of it; nil for the place as a whole.
func (o origin) lot() *calendar.Lot {
	if len(o.stands) == 0 {
		return nil
	}
	l := &calendar.Lot{SeedZone: o.zone(), Apart: o.apart}
	for _, s := range o.stands {
		l.Stands = append(l.Stands, s.Name)
	}
	return l
}
