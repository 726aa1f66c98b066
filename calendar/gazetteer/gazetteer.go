// Package gazetteer answers: where is this town? It holds the towns and villages of the United States, Canada and
// Mexico that have some 500 people or more, each with its latitude, longitude, elevation and time zone, and by name the
// smaller villages of the United States that have a post office. It knows nothing of trees.
//
// The tables are made from GeoNames by cmd/placemake; see [Attribution], which goes wherever a figure of it goes. A
// town is where its middle is, to a hundredth of a degree (a kilometre or so); people's land may lie higher or lower.
package gazetteer

import (
	"cmp"
	_ "embed"
	"fmt"
	"strconv"
	"sync"
)

// Attribution says whose work the table is, as its licence asks: the makers, the licence, and what was changed.
const Attribution = "Towns, their elevations and time zones are from GeoNames (https://www.geonames.org), licensed " +
	"under CC BY 4.0 (https://creativecommons.org/licenses/by/4.0/); a selection, with coordinates rounded to 0.01 " +
	"degree."

// ZoneReach is how far from a town, in kilometres, its time zone and its state still serve: they follow counties and
// states.
const ZoneReach = 50

// VillageReach is how far off, in kilometres, a village known by its mail alone may lie. Of 26,000 codes of towns in
// both lists half lie within 2 km of the town's middle and nine in ten within 10 km.
const VillageReach = 10

// Town is a town, a village or a part of a city.
type Town struct {
	Name                string
	Region              *Region
	Latitude, Longitude float64 // decimal degrees, north and east positive, to 0.01
	// metres; only if HasElevation. Of nearly half the towns it is that of a ground model at one point, which may be a
	// hill's
	Elevation    float64
	HasElevation bool   // false where the source has none, or two that contradict each other
	Zone         string // IANA name
	People       int    // to two figures; 0: not known
	// known by its mail alone: where it lies to about [VillageReach], and of its height nothing
	Village bool
}

// String returns the town with its region: "Stowe, Vermont".
func (t *Town) String() string { return t.Name + ", " + t.Region.Name }

// Describe returns the town with what tells it from others of its name: "Stowe, Vermont (44.47, -72.69; 4,300 people)".
func (t *Town) Describe() string {
	text := fmt.Sprintf("%s (%.2f, %.2f", t, t.Latitude, t.Longitude)
	if t.People > 0 {
		text += "; " + thousands(t.People) + " people"
	}
	return text + ")"
}

func thousands(n int) string {
	s := strconv.Itoa(n)
	for i := len(s) - 3; i > 0; i -= 3 {
		s = s[:i] + "," + s[i:]
	}
	return s
}

// The table is a head, then a member for each region: see [Pack].
//
//go:embed towns.bin
var packed []byte

// part is the towns of one region. They are unpacked when they are first asked for: who asks what is near a place needs
// those of a few regions.
type part struct {
	region                   *Region
	south, north, west, east float64  // of its towns, degrees
	zones                    []string // that they keep, in the order of their numbers in the member
	towns                    func() []Town
}

// parts are the regions in the order of the table, which is part of the program, so that an error in it is the
// program's own.
var parts = sync.OnceValue(func() []*part {
	list, err := readParts(packed)
	if err != nil {
		panic("gazetteer: " + err.Error())
	}
	return list
})

// table is the towns in the order of the file, by region and name, and beside each its folded name.
type table struct {
	towns  []Town
	folded []string
}

// load unpacks the whole table once.
var load = sync.OnceValue(func() *table { return whole(parts()) })

func whole(parts []*part) *table {
	t := &table{}
	for _, p := range parts {
		t.towns = append(t.towns, p.towns()...)
	}
	t.folded = make([]string, len(t.towns))
	for i := range t.towns {
		t.folded[i] = Fold(t.towns[i].Name)
	}
	return t
}

// byPeople puts the larger towns first; of two as large, by region and name.
func byPeople(a, b *Town) int {
	return cmp.Or(cmp.Compare(b.People, a.People), cmp.Compare(a.Region.Country, b.Region.Country),
		cmp.Compare(a.Region.Code, b.Region.Code), cmp.Compare(a.Name, b.Name), cmp.Compare(a.Latitude, b.Latitude))
}
