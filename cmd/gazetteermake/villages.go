package main

import (
	"bufio"
	"fmt"
	"io"
	"math"
	"strconv"
	"strings"

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

// readPostal reads the places of a list of postal codes that are known to lie where it says.
func readPostal(r io.Reader) ([]place, error) {
	regions := map[string]string{}
	for _, g := range gazetteer.Regions() {
		regions[g.Country+"."+g.Code] = "@" + g.Country + "-" + g.Code
	}
	var places []place
	scan := bufio.NewScanner(r)
	for n := 1; scan.Scan(); n++ {
		f := strings.Split(scan.Text(), "\t")
		if len(f) != postalColumns {
			return nil, fmt.Errorf("%d: found %d columns, want %d", n, len(f), postalColumns)
		}
		region := regions[f[postalCountry]+"."+f[postalRegion]]
		if region == "" || f[postalAccuracy] != "4" {
			continue
		}
		p := place{region: region, name: f[postalName]}
		var err error
		if p.latitude, err = strconv.ParseFloat(f[postalLatitude], 64); err != nil {
			return nil, fmt.Errorf("%d: latitude: %w", n, err)
		}
		if p.longitude, err = strconv.ParseFloat(f[postalLongitude], 64); err != nil {
			return nil, fmt.Errorf("%d: longitude: %w", n, err)
		}
		places = append(places, p)
	}
	return places, scan.Err()
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
