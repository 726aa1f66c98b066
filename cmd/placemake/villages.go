package main

import (
	"math"
	"path/filepath"

	"treewhen/calendar/gazetteer"
)

// The columns of the list of postal codes that are used, as its readme numbers them, from 0.
const (
	postalCountry   = 0
	postalName      = 2
	postalRegion    = 4
	postalLatitude  = 9
	postalLongitude = 10
	postalAccuracy  = 11 // 4: where a place of that name lies; else an estimate, or not said
	postalColumns   = 12
)

// villagesTable is the table of the villages that are not among the towns.
func villagesTable(from string) ([]byte, error) {
	towns, err := readTowns(from)
	if err != nil {
		return nil, err
	}
	mail, err := readPostal(from)
	if err != nil {
		return nil, err
	}
	return placeTable(villages(mail, towns))
}

// readPostal reads the places of the list of postal codes that are known to lie where it says.
func readPostal(from string) ([]place, error) {
	regions := map[string]string{}
	for _, g := range gazetteer.Regions() {
		regions[g.Country+"."+g.Code] = "@" + g.Country + "-" + g.Code
	}
	var places []place
	err := eachPlace(filepath.Join(from, postalFile), postalColumns, func(f []string) error {
		p := place{region: regions[f[postalCountry]+"."+f[postalRegion]], name: f[postalName]}
		if p.region == "" || f[postalAccuracy] != "4" {
			return nil
		}
		if err := p.locate(f[postalLatitude], f[postalLongitude]); err != nil {
			return err
		}
		places = append(places, p)
		return nil
	})
	return places, err
}

// villages returns the places of the mail whose name no town of their region has, be it as a city or a village, each
// with the time zone of the nearest town of its region. A place of several codes stands once.
func villages(mail, towns []place) []place {
	const onePlace = 0.3 // degrees: codes of one name in one region no farther apart are of one place
	byRegion, named := map[string][]place{}, map[string]bool{}
	key := func(p place) string { return p.region + " " + gazetteer.WithoutKind(gazetteer.Fold(p.name)) }
	for _, t := range towns {
		byRegion[t.region] = append(byRegion[t.region], t)
		named[key(t)] = true
	}
	far := func(a, b place) float64 { // in degrees of latitude
		return math.Hypot(a.latitude-b.latitude, (a.longitude-b.longitude)*math.Cos(a.latitude*math.Pi/180))
	}
	var list []place
	for _, p := range withoutTwins(mail) {
		near := byRegion[p.region]
		if named[key(p)] || len(near) == 0 {
			continue
		}
		if n := len(list) - 1; n >= 0 && key(list[n]) == key(p) && far(list[n], p) < onePlace {
			continue
		}
		best := near[0]
		for _, t := range near {
			if far(p, t) < far(p, best) {
				best = t
			}
		}
		p.zone = best.zone
		list = append(list, p)
	}
	return list
}
