package profiles

import (
	"slices"

	"treewhen/phenology"
)

// mustPrecede are the pairs of phases that come in this order on every tree. Not among them, since all of these happen:
// flowering after bud break (sugar maple) or before bud swell (silver maple), bud swell long after the first sap, seed
// of a species falling in one place before it is called ripe in another (white ash in the Woody Plant Seed Manual,
// Agriculture Handbook 727, table Fraxinus 2: ripe October to November, shed September to December).
var mustPrecede = [][2]phenology.Phase{
	{phenology.SapStart, phenology.SapEnd},
	{phenology.SapEnd, phenology.LeafOut},
	{phenology.BudSwell, phenology.BudBreak},
	{phenology.BudBreak, phenology.LeafOut},
	{phenology.Flowering, phenology.FloweringEnd},
	{phenology.Flowering, phenology.FruitRipe},
	{phenology.FruitRipe, phenology.SeedFallEnd},
	{phenology.SeedFall, phenology.SeedFallEnd},
	{phenology.LeafOut, phenology.LeafColor},
	{phenology.LeafColor, phenology.LeafFall},
	{phenology.LeafFall, phenology.Dormant},
}

// autumnFlower is the day of the season from which a flowering species sets the fruit of the next year (witch-hazel):
// its fruit then ripens before its flowers open.
const autumnFlower = 213 // 1 August

// order compares dates of phases at one place: what is known of several places cannot be compared without moving it.
func (c *check) order() {
	for _, at := range c.places() {
		days := c.daysAt(at)
		for _, pair := range mustPrecede {
			first, ok1 := days[pair[0]]
			second, ok2 := days[pair[1]]
			if !ok1 || !ok2 || first < second || pair[0] == phenology.Flowering && first >= autumnFlower {
				continue
			}
			c.report("phases."+pair[1].String(), "found %s on day %.0f and %s on day %.0f at %s, want %s first",
				pair[0], first, pair[1], second, at.Place, pair[0])
		}
	}
	flower, ripe := c.species.Phase(phenology.Flowering), c.species.Phase(phenology.FruitRipe)
	if flower != nil && ripe != nil && flower.Months != nil && ripe.Months != nil &&
		flower.Months.From < 8 && ripe.Months.From < flower.Months.From {
		c.report("phases.fruit-ripe.months",
			"found fruit ripe from month %d and flowers from month %d, want flowers first", ripe.Months.From,
			flower.Months.From)
	}
}

// places returns one reference for each place that the species has dates from.
func (c *check) places() (places []phenology.Reference) {
	for _, r := range c.species.Phases {
		for _, ref := range r.References {
			if !slices.ContainsFunc(places, func(o phenology.Reference) bool { return samePlace(o, ref) }) {
				places = append(places, ref)
			}
		}
	}
	return places
}

func samePlace(a, b phenology.Reference) bool {
	return a.Latitude == b.Latitude && a.Longitude == b.Longitude && a.Elevation == b.Elevation
}

// daysAt returns the mean day of each phase at a place: by reference, else by a lag after a phase that has one.
func (c *check) daysAt(at phenology.Reference) map[phenology.Phase]float64 {
	days := map[phenology.Phase]float64{}
	for _, r := range c.species.Phases {
		for _, ref := range r.References {
			if samePlace(ref, at) {
				days[r.Phase] = ref.Day
			}
		}
	}
	for range c.species.Phases { // each round resolves at least one more link of a chain of lags
		for _, r := range c.species.Phases {
			if _, known := days[r.Phase]; known || r.Model == nil {
				continue
			}
			for _, m := range r.Model.Models {
				if l, ok := m.(phenology.Lag); ok {
					if after, known := days[l.After]; known {
						days[r.Phase] = after + l.Days
					}
				}
			}
		}
	}
	return days
}

// lags finds phases that wait for each other.
func (c *check) lags() {
	const walking, done = 1, 2
	state := map[phenology.Phase]int{}
	var visit func(p phenology.Phase)
	visit = func(p phenology.Phase) {
		r := c.species.Phase(p)
		if r == nil || r.Model == nil || state[p] == done {
			state[p] = done
			return
		}
		state[p] = walking
		for i, m := range r.Model.Models {
			after, ok := phenology.DependsOn(m)
			switch {
			case !ok || after == p:
			case state[after] == walking:
				c.report(item("phases."+p.String()+".dating.models", i),
					"found %s waiting for %s, which waits for %s in turn, want an end to it", p, after, p)
			default:
				visit(after)
			}
		}
		state[p] = done
	}
	for _, r := range c.species.Phases {
		visit(r.Phase)
	}
}
