package law_test

import (
	"strings"
	"testing"
	"time"

	"treewhen/calendar"
	"treewhen/calendar/build"
	"treewhen/calendar/law"
	"treewhen/calendar/words"
	"treewhen/phenology"
	"treewhen/phenology/civil"
	"treewhen/profiles"
)

// Where a place lies is told by the nearest town of its own time zone; near a border between states it may lie in
// either, and away from all towns its zone tells the country alone.
func TestJurisdiction(t *testing.T) {
	for _, tt := range []struct {
		name, zone, country, states string
		latitude, longitude         float64
		abroad                      bool
	}{
		{name: "Stowe", latitude: 44.47, longitude: -72.69, zone: "America/New_York", country: "US", states: "Vermont"},
		{name: "on the Connecticut River", latitude: 43.99, longitude: -72.1, zone: "America/New_York", country: "US", states: "Vermont or New Hampshire"},
		{name: "Windsor, across from Detroit", latitude: 42.32, longitude: -83.04, zone: "America/Toronto", country: "CA", states: "Ontario"},
		{name: "Detroit", latitude: 42.33, longitude: -83.05, zone: "America/Detroit", country: "US", states: "Michigan"},
		{name: "Montréal", latitude: 45.5, longitude: -73.58, zone: "America/Toronto", country: "CA", states: "Québec"},
		{name: "far from any town", latitude: 51.5, longitude: -83, zone: "America/Toronto", country: "CA"},
		{name: "Berlin", latitude: 52.5, longitude: 13.4, zone: "Europe/Berlin", abroad: true},
		{name: "a zone of no place", latitude: 52.5, longitude: 13.4, zone: "UTC"},
	} {
		j := law.At(tt.latitude, tt.longitude, tt.zone)
		if j.Country != tt.country || j.Abroad != tt.abroad || !sameStates(j.Name(), tt.states) {
			t.Errorf("%s: found %q, %q, abroad %v, want %q, %q, %v", tt.name, j.Country, j.Name(), j.Abroad, tt.country, tt.states, tt.abroad)
		}
	}
}

func sameStates(a, b string) bool {
	x, y := strings.Split(a, " or "), strings.Split(b, " or ")
	return len(x) == len(y) && (a == b || len(x) == 2 && x[0] == y[1] && x[1] == y[0])
}

// A collection is told the rules of its own state and country and no others, and once that rules differ; no summary
// says 'if the law allows' for the law of somewhere else.
func TestOnlyOnesOwnRulesAreTold(t *testing.T) {
	places := map[string]struct {
		latitude, longitude float64
		zone                string
	}{
		"Vermont":      {44.47, -72.69, "America/New_York"},
		"Pennsylvania": {40.79, -77.86, "America/New_York"},
		"Quebec":       {46.8, -71.22, "America/Toronto"},
		"nowhere":      {51.5, -83, "America/Toronto"},
		"Germany":      {52.5, 13.4, "Europe/Berlin"},
	}
	const once = "Rules differ and change: ask your"
	for _, tt := range []struct {
		place, species string
		allows         bool     // the summary says 'if the law allows'
		want           []string // what the cautions begin with, in order
	}{
		{"Vermont", "Norway maple", true, []string{"Check the law first: Norway maple, Vermont: ", once + " state "}},
		{"Pennsylvania", "Norway maple", false, []string{once + " state "}},
		{"Quebec", "Norway maple", false, nil},
		{"Germany", "Norway maple", false, nil},
		{"Vermont", "black ash", false, []string{"Check the rules first: black ash, some of the United States, and regulated areas of Canada: ", once + " state "}},
		{"Quebec", "black ash", true, []string{"Check the rules first: black ash, some of the United States", "Check the law first: black ash, Canada: ", once + " province "}},
		{"nowhere", "black ash", true, []string{"Check the rules first: black ash, some of the United States", "Check the law first: black ash, Canada: ", once + " province "}},
		{"Vermont", "butternut", true, []string{"Check the law first: butternut, several states of the United States: ", once + " state "}},
		{"Quebec", "butternut", true, []string{"Check the law first: butternut, Canada: ", once + " province "}},
		{"Vermont", "sugar maple", false, nil},
	} {
		where := places[tt.place]
		zone := loadZone(t, where.zone)
		sp, err := profiles.Builtin().Find(tt.species)
		if err != nil {
			t.Fatal(err)
		}
		site := phenology.Site{ID: "here", Name: "Here", Latitude: where.latitude, Longitude: where.longitude, Elevation: 100, Zone: zone}
		list := []*phenology.Species{sp}
		place := &calendar.Place{Outlook: &phenology.Outlook{Site: site}, Species: list, Activities: []calendar.Activity{calendar.SeedCollection},
			Options: calendar.DefaultOptions(), Rules: law.RulesAt(site, list)}
		asOf := civil.Of(2027, 3, 12)
		s := build.At(&calendar.Plan{Title: "x", AsOf: asOf, Span: civil.Span{First: asOf, Last: asOf + 365}}, place)
		var e *calendar.Entry
		for _, one := range s.Entries {
			if one.Task == calendar.TaskCollect {
				e = one
			}
		}
		if e == nil {
			if tt.place != "Germany" && tt.place != "nowhere" { // too far from the species' range
				t.Errorf("%s at %s: no collection: %v", tt.species, tt.place, s.Notes)
			}
			continue
		}
		said := words.Say(e)
		if got := strings.HasSuffix(said.Summary, ", if the law allows"); got != tt.allows {
			t.Errorf("%s at %s: found %q", tt.species, tt.place, said.Summary)
		}
		var got []string
		for _, c := range words.Minded(said.Cautions) {
			if strings.HasPrefix(c, "Check the ") || strings.HasPrefix(c, "Rules differ") {
				got = append(got, c)
			}
		}
		if len(got) != len(tt.want) {
			t.Errorf("%s at %s: found\n%s\nwant %d", tt.species, tt.place, strings.Join(got, "\n"), len(tt.want))
			continue
		}
		for i, want := range tt.want {
			if !strings.HasPrefix(got[i], want) {
				t.Errorf("%s at %s: found %q, want %q", tt.species, tt.place, got[i], want)
			}
		}
	}
}

// Where the state is not known, the country's states that have rules are named and no more.
func TestRulesOfACountryAloneAreBrief(t *testing.T) {
	sp, err := profiles.Builtin().Find("Norway maple")
	if err != nil {
		t.Fatal(err)
	}
	site := phenology.Site{Latitude: 36, Longitude: -74, Zone: loadZone(t, "America/New_York")} // at sea, where no town is
	rules := law.RulesAt(site, []*phenology.Species{sp})
	if rules.State != "" || rules.Country != "United States" || len(rules.Of[sp.ID].Here) != 0 || len(rules.Of[sp.ID].Elsewhere) != 7 {
		t.Errorf("found %q, %q, %+v", rules.State, rules.Country, rules.Of)
	}
}

func loadZone(t *testing.T, name string) *time.Location {
	t.Helper()
	zone, err := time.LoadLocation(name)
	if err != nil {
		t.Fatal(err)
	}
	return zone
}
