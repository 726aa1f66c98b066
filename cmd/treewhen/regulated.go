package main

import (
	"fmt"
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

// borderKM is by how much a town of another state or country may be farther off than the nearest, for a place to lie in its
// state as well as not.
const borderKM = 10

// jurisdiction is whose rules hold at a place.
type jurisdiction struct {
	country string              // ISO 3166-1 alpha-2, "" if it is not known
	abroad  bool                // it is none of the gazetteer's countries
	states  []*gazetteer.Region // that it lies in, or may; none if that is not known
	town    *gazetteer.Town     // by which the states were judged
}

// jurisdictionOf tells by the nearest town of a place's time zone whose rules hold there; without a town, by the zone. Near a
// border between states it may be either.
func jurisdictionOf(latitude, longitude float64, zone string) jurisdiction {
	countries := gazetteer.Countries(zone)
	var j jurisdiction
	near := gazetteer.Near(latitude, longitude, zoneReachKM)
	inZone := func(f gazetteer.Found) bool { return slices.Contains(countries, f.Region.Country) }
	if slices.ContainsFunc(near, inZone) { // across the border is another zone, or another country that has it too
		near = slices.DeleteFunc(near, func(f gazetteer.Found) bool { return !inZone(f) })
	}
	for _, f := range near {
		if f.Kilometres > near[0].Kilometres+borderKM {
			break
		}
		if f.Region.Country == near[0].Region.Country && !slices.Contains(j.states, f.Region) {
			j.states = append(j.states, f.Region)
		}
	}
	switch {
	case len(near) > 0:
		j.country, j.town = near[0].Region.Country, near[0].Town
	case len(countries) == 1:
		j.country = countries[0]
	case len(countries) == 0:
		j.abroad = strings.Contains(zone, "/") && !strings.HasPrefix(zone, "Etc/") // a zone of no place tells nothing
	}
	return j
}

// name says where a place lies: "Vermont or New Hampshire".
func (j jurisdiction) name() string {
	var names []string
	for _, r := range j.states {
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

// rules picks what law says of a species at a place from what its profile says of all places. A rule of another country is
// left out, and so is what another state says; what names no place that is known here may hold anywhere.
func (j jurisdiction) rules(sp *phenology.Species) (rules calendar.SpeciesRules) {
	for _, r := range sp.Regulated {
		if state := statesByName()[gazetteer.Fold(r.Where)]; state != nil {
			switch {
			case j.abroad || j.country != "" && state.Country != j.country:
			case slices.Contains(j.states, state):
				rules.Here = append(rules.Here, r)
			default:
				rules.Elsewhere = append(rules.Elsewhere, r)
			}
			continue
		}
		named, own := false, false
		for code, name := range countryNames {
			if strings.Contains(r.Where, name) {
				named, own = true, own || code == j.country
			}
		}
		switch {
		case named && (j.abroad || j.country != "" && !own):
		case named && j.country == "":
			rules.Elsewhere = append(rules.Elsewhere, r)
		default:
			rules.Here = append(rules.Here, r)
		}
	}
	return rules
}

// rulesAt returns what law says of species at a site, nil if it says nothing of any of them.
func rulesAt(site phenology.Site, list []*phenology.Species) *calendar.Rules {
	if !slices.ContainsFunc(list, func(sp *phenology.Species) bool { return len(sp.Regulated) > 0 }) {
		return nil
	}
	j := jurisdictionOf(site.Latitude, site.Longitude, site.Zone.String())
	rules := &calendar.Rules{Country: countryNames[j.country], State: j.name(), Own: ownLaw[j.country], Of: map[string]calendar.SpeciesRules{}}
	if rules.Own == "" {
		rules.Own = "state or province"
	}
	for _, sp := range list {
		rules.Of[sp.ID] = j.rules(sp)
	}
	return rules
}

// forbiddingRule returns the regulation by which collecting a species' seed can be forbidden at a place, nil if the profile
// has none, and by what that was judged. What comes of it is for a person to check.
func forbiddingRule(sp *phenology.Species, latitude, longitude float64, zone string) (*phenology.Regulation, jurisdiction) {
	if len(sp.Regulated) == 0 {
		return nil, jurisdiction{}
	}
	j := jurisdictionOf(latitude, longitude, zone)
	if len(j.states) == 0 {
		return nil, j
	}
	for _, r := range j.rules(sp).Here {
		if r.Collecting {
			return &r, j
		}
	}
	return nil, j
}

// doubt is something to look at with a species at a site.
type doubt struct {
	place     *place
	text      func([]doubt) string // of all sites of which it is said
	key, mend string
	km        float64
}

// reportDoubts writes which species of the sites' seed collections may be forbidden there, with the words that take them out,
// and which are far from home: each once, with all sites of which it is said.
func (in *inputs) reportDoubts(w *reportWriter) {
	var doubts []doubt
	for _, pl := range in.places {
		if len(pl.site.Species)+len(pl.stands) == 0 || !slices.Contains(pl.site.Activities, calendar.SeedCollection) {
			continue
		}
		for _, sp := range pl.allSpecies() {
			doubts = append(doubts, doubtsOf(pl, sp)...)
		}
	}
	if len(doubts) == 0 {
		return
	}
	w.line(0, "")
	w.line(0, "doubtful species:")
	for _, group := range grouped(doubts, func(d doubt) string { return d.key }) {
		w.line(2, "%s", group[0].text(group))
		if group[0].mend != "" {
			w.line(4, "%s", group[0].mend)
		}
	}
}

// doubtsOf returns what is doubtful about a species at a site.
func doubtsOf(pl *place, sp *phenology.Species) (list []doubt) {
	names := func(group []doubt) string {
		var places []*place
		for _, d := range group {
			places = append(places, d.place)
		}
		return siteNames(places)
	}
	if !slices.Contains(pl.site.Options.Seed.Prohibited, sp.ID) {
		if r, j := forbiddingRule(sp, pl.site.Latitude, pl.site.Longitude, pl.site.Zone.String()); r != nil {
			list = append(list, doubt{place: pl, key: "law " + sp.ID + r.Where,
				text: func(group []doubt) string {
					by := "the nearest town, " + j.town.String()
					if len(group) > 1 {
						by = "the nearest towns"
					}
					return fmt.Sprintf("%s at %s: collecting its seed can be forbidden in %s, judged by %s: %s (%s)",
						sp.Name(), names(group), r.Where, by, strings.TrimSuffix(r.Text, "."), r.Source)
				},
				mend: fmt.Sprintf("to leave it out, set in the plan under activities, %s: prohibited: [%s]", calendar.SeedCollection, sp.ID)})
		}
	}
	if sp.Range != nil {
		if km := sp.Range.KilometresOutside(pl.site.Site); km > 0 {
			list = append(list, doubt{place: pl, key: "range " + sp.ID, km: km,
				text: func(group []doubt) string {
					least, most := group[0].km, group[0].km
					for _, d := range group {
						least, most = min(least, d.km), max(most, d.km)
					}
					return fmt.Sprintf("%s at %s: %s km outside its range, a rough box; see treewhen species %s", sp.Name(), names(group), spanOf(least, most), sp.ID)
				}})
		}
	}
	return list
}
