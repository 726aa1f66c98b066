package seed

import (
	"cmp"
	"slices"

	"treewhen/calendar"
	"treewhen/phenology"
	"treewhen/phenology/civil"
)

// Kit is something to have at hand. Common practice, no source.
type Kit uint8

// What to have at hand, in the order of a seed's way.
const (
	Binoculars Kit = iota
	KnifeAndLens
	FloatTub
	TagsAndPencils
	BucketsAndSacks // for nuts
	HardHats
	LiddedBuckets // for soft fruit
	Sheets        // to shake fruit onto
	AirySacks     // for cones
	PrunersAndBags
	Tarpaulins
	DustMasks
	DryingRacks
	HuskGloves
	PulpSieves
	StillRoom // without a draft, for seed with down
	SealedJars
	ColdStore
	DampSand
	WarmShelf
	Files // to scarify with
	BedLabels
	Mesh // against animals
	CountFrame
)

// kit lists what is needed, under the month in which it is needed first.
func (s *SiteLoad) kit() {
	seen := map[Kit]*KitItem{}
	month := map[civil.Date][]*KitItem{}
	var months []civil.Date
	byWindow := slices.Clone(s.Entries)
	slices.SortStableFunc(byWindow, func(a, b *calendar.Entry) int {
		return cmp.Compare(a.Window.First, b.Window.First)
	})
	for _, e := range byWindow {
		first := civil.Of(e.Window.First.Year(), e.Window.First.Month(), 1)
		for _, what := range kitFor(e) {
			item := seen[what]
			if item == nil {
				item = &KitItem{What: what}
				seen[what] = item
				if month[first] == nil {
					months = append(months, first)
				}
				month[first] = append(month[first], item)
			}
			if sp := e.Species[0]; !slices.Contains(item.For, sp) {
				item.For = append(item.For, sp)
			}
		}
	}
	slices.Sort(months)
	for _, first := range months {
		k := KitMonth{First: first}
		for _, item := range month[first] {
			k.Items = append(k.Items, *item)
		}
		s.Kit = append(s.Kit, k)
	}
}

// Fruits that are handled alike.
var (
	nuts  = []phenology.Fruit{phenology.Acorn, phenology.Nut}
	soft  = []phenology.Fruit{phenology.Drupe, phenology.Berry, phenology.Pome, phenology.BerryLikeCone}
	cones = []phenology.Fruit{phenology.Cone, phenology.SeedCatkin, phenology.SeedHead}
)

// kitFor returns what an entry needs.
func kitFor(e *calendar.Entry) []Kit {
	fruit := e.Species[0].Seed.Fruit
	is := func(kinds []phenology.Fruit) bool { return slices.Contains(kinds, fruit) }
	switch f := e.Facts.(type) {
	case *Scout:
		return []Kit{Binoculars}
	case *Check:
		if is(nuts) {
			return []Kit{KnifeAndLens, FloatTub}
		}
		return []Kit{KnifeAndLens}
	case *Collection:
		return append([]Kit{TagsAndPencils}, collectKit(fruit)...)
	case *Cleaning:
		return cleaningKit(fruit)
	case *Store:
		return []Kit{SealedJars, ColdStore}
	case *Stratification:
		list := []Kit{DampSand, ColdStore}
		if f.Begins().Kind == phenology.WarmStratify {
			list = append(list, WarmShelf)
		}
		if f.Step == 1 && Has(f.Treatment.Before, phenology.Scarify) {
			list = append(list, Files)
		}
		return list
	case *Sow:
		if is(nuts) {
			return []Kit{BedLabels, Mesh}
		}
		return []Kit{BedLabels}
	}
	return []Kit{CountFrame}
}

func collectKit(fruit phenology.Fruit) []Kit {
	switch {
	case slices.Contains(nuts, fruit):
		return []Kit{BucketsAndSacks, HardHats}
	case slices.Contains(soft, fruit):
		return []Kit{LiddedBuckets, Sheets}
	case slices.Contains(cones, fruit):
		return []Kit{AirySacks}
	case fruit == phenology.Capsule:
		return []Kit{PrunersAndBags}
	}
	return []Kit{Tarpaulins}
}

func cleaningKit(fruit phenology.Fruit) []Kit {
	switch {
	case fruit == phenology.SeedHead:
		return []Kit{DustMasks, DryingRacks}
	case fruit == phenology.Acorn:
		return []Kit{FloatTub}
	case fruit == phenology.Nut:
		return []Kit{FloatTub, HuskGloves}
	case slices.Contains(soft, fruit):
		return []Kit{PulpSieves, DryingRacks}
	case fruit == phenology.Capsule:
		return []Kit{StillRoom}
	}
	return []Kit{DryingRacks}
}
