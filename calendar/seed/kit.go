package seed

import (
	"cmp"
	"maps"
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

// kitOf lists what jobs need from a day on, under the month in which it is needed first.
func kitOf(jobs []*Job, from civil.Date) (months []KitMonth) {
	seen := map[Kit]*KitItem{}
	month := map[civil.Date][]*KitItem{}
	byWindow := slices.Clone(jobs)
	slices.SortStableFunc(byWindow, func(a, b *Job) int {
		return cmp.Compare(a.Entry.Window.First, b.Entry.Window.First)
	})
	for _, j := range byWindow {
		e := j.Entry
		opens := max(e.Window.First, from)
		first := civil.Of(opens.Year(), opens.Month(), 1)
		for _, what := range kitFor(e) {
			item := seen[what]
			if item == nil {
				item = &KitItem{What: what}
				seen[what] = item
				month[first] = append(month[first], item)
			}
			if sp := e.Species[0]; !slices.Contains(item.For, sp) {
				item.For = append(item.For, sp)
			}
		}
	}
	for _, first := range slices.Sorted(maps.Keys(month)) {
		k := KitMonth{First: first}
		for _, item := range month[first] {
			k.Items = append(k.Items, *item)
		}
		months = append(months, k)
	}
	return months
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
		if f.Stratifies != nil {
			return []Kit{DampSand, ColdStore}
		}
		return []Kit{SealedJars, ColdStore}
	case *Test:
		return []Kit{CountFrame}
	case *Sprouting:
		return nil
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
