package awayfromhome

import (
	"cmp"
	"encoding/csv"
	"fmt"
	"io/fs"
	"slices"
	"strconv"
	"time"

	"treewhen/phenology"
)

// sighting is when a phase came at a site in a year, in our own terms.
type sighting struct {
	site    phenology.Site
	species string
	phase   phenology.Phase
	year    int
	day     float64 // of the year
}

// The network's phenophases that are read, by its numbers.
const (
	breakingBuds  = "371" // the first breaking leaf buds
	firstLeaf     = "483" // the first unfolded leaf
	openFlowers   = "501" // the first open flowers
	coloredLeaves = "498" // the first colored leaves
	fallingLeaves = "471" // the first falling leaves
)

// halfway is half of what lies between breaking buds and the first leaf, in days: the median of 460 trees and years
// is 7. Our bud break, half of the buds, comes between the two.
const halfway = 3.5

// Beyond these days of the year a sighting is a slip, and one whose last "no" is longer ago than a visit or two may
// be late by as much.
const (
	springFrom, springTo = 50, 180
	autumnFrom, autumnTo = 220, 340
	lastNoDays           = 10
)

type seenKey struct {
	site, species string
	year          int
}

// readSeen reads the two files of sightings. The first wins where both have a day.
func readSeen(folder fs.FS) ([]sighting, error) {
	sites := map[string]phenology.Site{}
	days := map[seenKey]map[string]float64{}
	for _, name := range []string{"npn-siteyears.csv", "npn-more-phases.csv"} {
		if err := readFile(folder, name, sites, days); err != nil {
			return nil, fmt.Errorf("%s:%w", name, err)
		}
	}
	var list []sighting
	for key, of := range days {
		add := func(phase phenology.Phase, day float64) {
			list = append(list, sighting{sites[key.site], key.species, phase, key.year, day})
		}
		bud, hasBud := of[breakingBuds]
		leaf, hasLeaf := of[firstLeaf]
		switch {
		case hasBud && hasLeaf && leaf >= bud && leaf-bud < 40:
			add(phenology.BudBreak, (bud+leaf)/2)
		case hasBud:
			add(phenology.BudBreak, bud+halfway)
		case hasLeaf:
			add(phenology.BudBreak, leaf-halfway)
		}
		for number, phase := range map[string]phenology.Phase{openFlowers: phenology.Flowering,
			coloredLeaves: phenology.LeafColor, fallingLeaves: phenology.LeafFall} {
			if day, ok := of[number]; ok {
				add(phase, day)
			}
		}
	}
	slices.SortFunc(list, func(a, b sighting) int {
		return cmp.Or(cmp.Compare(a.site.ID, b.site.ID), cmp.Compare(a.species, b.species),
			cmp.Compare(a.phase, b.phase), cmp.Compare(a.year, b.year))
	})
	return list, nil
}

func readFile(folder fs.FS, name string, sites map[string]phenology.Site, days map[seenKey]map[string]float64) error {
	f, err := folder.Open(name)
	if err != nil {
		return err
	}
	defer f.Close()
	rows, err := csv.NewReader(f).ReadAll()
	if err != nil {
		return err
	}
	for i, cells := range rows[1:] {
		var n [6]float64 // latitude, longitude, elevation, year, day, days since the last no
		for k, column := range []int{1, 2, 3, 6, 7, 8} {
			if column >= len(cells) || column == 8 && cells[column] == "" {
				continue
			}
			if n[k], err = strconv.ParseFloat(cells[column], 64); err != nil {
				return fmt.Errorf("%d: %w", i+2, err)
			}
		}
		phase, day := cells[5], n[4]
		from, to := springFrom, springTo
		if phase == coloredLeaves || phase == fallingLeaves {
			from, to = autumnFrom, autumnTo
		}
		if day < float64(from) || day > float64(to) || len(cells) > 8 && (cells[8] == "" || n[5] > lastNoDays) {
			continue
		}
		sites[cells[0]] = phenology.Site{ID: cells[0], Name: cells[0], Latitude: n[0], Longitude: n[1],
			Elevation: n[2], Zone: time.UTC}
		key := seenKey{cells[0], cells[4], int(n[3])}
		if days[key] == nil {
			days[key] = map[string]float64{}
		}
		if _, known := days[key][phase]; !known {
			days[key][phase] = day
		}
	}
	return nil
}
