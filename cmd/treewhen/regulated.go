package main

import (
	"fmt"
	"io"
	"slices"
	"strings"

	"treewhen/calendar"
	"treewhen/cmd/treewhen/gazetteer"
	"treewhen/phenology"
)

// countryNames are the countries of the gazetteer as profiles write them in regulations.
var countryNames = map[string]string{"US": "United States", "CA": "Canada", "MX": "Mexico"}

// forbiddingRule returns the regulation by which collecting a species' seed can be forbidden at a point, nil if the
// profile has none, and the town by whose state or province, and country, that was judged. Near a border it may be the
// wrong one: what comes of it is for a person to check.
func forbiddingRule(sp *phenology.Species, latitude, longitude float64) (*phenology.Regulation, *gazetteer.Town) {
	town, km := gazetteer.Nearest(latitude, longitude)
	if km > zoneReachKM {
		return nil, nil
	}
	for i := range sp.Regulated {
		r := &sp.Regulated[i]
		if r.Collecting && (r.Where == town.Region.Name || r.Where == countryNames[town.Region.Country]) {
			return r, town
		}
	}
	return nil, nil
}

// reportForbidden writes which species of a site's seed collection may be forbidden there, and the words that take them out.
func (in *inputs) reportForbidden(w io.Writer, pl *place, list []*phenology.Species) {
	for _, sp := range list {
		if slices.Contains(pl.site.Options.Seed.Prohibited, sp.ID) {
			continue
		}
		if r, town := forbiddingRule(sp, pl.site.Latitude, pl.site.Longitude); r != nil {
			fmt.Fprintf(w, "  doubt: collecting seed of %s can be forbidden in %s, by the nearest town, %s: %s (%s)\n",
				sp.Name(), r.Where, town, strings.TrimSuffix(r.Text, "."), r.Source)
			fmt.Fprintf(w, "    to leave it out, set in the plan under activities, %s: prohibited: [%s]\n", calendar.SeedCollection, sp.ID)
		}
	}
}
