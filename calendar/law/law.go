// Package law answers: whose law holds at a place, and what does it say of collecting a species there? It tells the
// state by the nearest town, which near a border may be wrong, and the rules by what profiles say. What comes of it is
// for a person to check: it is no legal advice.
package law

import (
	"slices"
	"strings"
	"sync"

	"treewhen/calendar"
	"treewhen/calendar/gazetteer"
	"treewhen/phenology"
)

// countryNames are the countries of the gazetteer as profiles write them in regulations.
var countryNames = map[string]string{"US": "United States", "CA": "Canada", "MX": "Mexico"}

// ownLaw is a word for the part of a country that has laws of its own.
var ownLaw = map[string]string{"US": "state", "CA": "province", "MX": "state"}

// borderKM is by how much a town of another state or country may be farther off than the nearest, for a place to lie in
// its state as well as not.
const borderKM = 10

// townKM is how near the middle of a town a place is the town itself, and lies in its state alone. Rivers that are
// borders run by many towns, so it is small.
const townKM = 0.5

// Jurisdiction is whose rules hold at a place.
type Jurisdiction struct {
	Country string              // ISO 3166-1 alpha-2, "" if it is not known
	Abroad  bool                // it is none of the gazetteer's countries
	States  []*gazetteer.Region // that it lies in, or may; none if that is not known
	Town    *gazetteer.Town     // by which the states were judged
}

// At tells by the nearest town of a place's time zone whose rules hold there; without a town, by the zone. Near a
// border between states it may be either.
func At(latitude, longitude float64, zone string) Jurisdiction {
	countries := gazetteer.Countries(zone)
	var j Jurisdiction
	near := gazetteer.Near(latitude, longitude, gazetteer.ZoneReach)
	inZone := func(f gazetteer.Found) bool { return slices.Contains(countries, f.Region.Country) }
	if slices.ContainsFunc(near, inZone) { // across the border is another zone, or another country that has it too
		near = slices.DeleteFunc(near, func(f gazetteer.Found) bool { return !inZone(f) })
	}
	for _, f := range near {
		if f.Kilometres > near[0].Kilometres+borderKM || len(j.States) > 0 && near[0].Kilometres <= townKM {
			break
		}
		if f.Region.Country == near[0].Region.Country && !slices.Contains(j.States, f.Region) {
			j.States = append(j.States, f.Region)
		}
	}
	switch {
	case len(near) > 0:
		j.Country, j.Town = near[0].Region.Country, near[0].Town
	case len(countries) == 1:
		j.Country = countries[0]
	case len(countries) == 0:
		j.Abroad = strings.Contains(zone, "/") && !strings.HasPrefix(zone, "Etc/") // a zone of no place tells nothing
	}
	return j
}

// Name says where a place lies: "Vermont or New Hampshire".
func (j Jurisdiction) Name() string {
	var names []string
	for _, r := range j.States {
		names = append(names, r.Name)
	}
	return strings.Join(names, " or ")
}

// statesByName finds the states and provinces by the names that profiles write.
var statesByName = sync.OnceValue(func() map[string]*gazetteer.Region {
	found := map[string]*gazetteer.Region{}
	for i, r := range gazetteer.Regions() {
		found[gazetteer.Fold(r.Name)] = &gazetteer.Regions()[i]
	}
	return found
})

// Rules picks what law says of a species at a place from what its profile says of all places. A rule of another country
// is left out, and so is what another state says; what names no place that is known here may hold anywhere.
func (j Jurisdiction) Rules(sp *phenology.Species) (rules calendar.SpeciesRules) {
	for _, r := range sp.Regulated {
		if state := statesByName()[gazetteer.Fold(r.Where)]; state != nil {
			switch {
			case j.Abroad || j.Country != "" && state.Country != j.Country:
			case slices.Contains(j.States, state):
				rules.Here = append(rules.Here, r)
			default:
				rules.Elsewhere = append(rules.Elsewhere, r)
			}
			continue
		}
		named, own := false, false
		for code, name := range countryNames {
			if strings.Contains(r.Where, name) {
				named, own = true, own || code == j.Country
			}
		}
		switch {
		case named && (j.Abroad || j.Country != "" && !own):
		case named && j.Country == "":
			rules.Elsewhere = append(rules.Elsewhere, r)
		default:
			rules.Here = append(rules.Here, r)
		}
	}
	return rules
}

// RulesAt returns what law says of species at a site, nil if it says nothing of any of them.
func RulesAt(site phenology.Site, list []*phenology.Species) *calendar.Rules {
	if !slices.ContainsFunc(list, func(sp *phenology.Species) bool { return len(sp.Regulated) > 0 }) {
		return nil
	}
	j := At(site.Latitude, site.Longitude, site.Zone.String())
	rules := &calendar.Rules{
		Country: countryNames[j.Country], State: j.Name(), Own: ownLaw[j.Country],
		Of: map[string]calendar.SpeciesRules{},
	}
	for _, sp := range list {
		rules.Of[sp.ID] = j.Rules(sp)
	}
	return rules
}

// Forbidding returns the regulation by which collecting a species' seed can be forbidden at a place, nil if the profile
// has none, and by what that was judged. What comes of it is for a person to check.
func Forbidding(sp *phenology.Species, latitude, longitude float64, zone string) (*phenology.Regulation, Jurisdiction) {
	if len(sp.Regulated) == 0 {
		return nil, Jurisdiction{}
	}
	j := At(latitude, longitude, zone)
	if len(j.States) == 0 {
		return nil, j
	}
	for _, r := range j.Rules(sp).Here {
		if r.Collecting {
			return &r, j
		}
	}
	return nil, j
}
