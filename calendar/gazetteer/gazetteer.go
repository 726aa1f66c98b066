// Package gazetteer answers: where is this town? It holds the towns and villages of the United States, Canada and
// Mexico that have some 500 people or more, each with its latitude, longitude, elevation and time zone, and by name the
// smaller villages of the United States that have a post office. It knows nothing of trees.
//
// The tables are made from GeoNames by cmd/gazetteermake; see [Attribution], which goes wherever a figure of it goes. A
// town is where its middle is, to a hundredth of a degree (a kilometre or so); people's land may lie higher or lower.
package gazetteer

import (
	"cmp"
	_ "embed"
	"fmt"
	"math"
	"slices"
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

// Nearest returns the town that is nearest to a point, and how far off it is in kilometres.
func Nearest(latitude, longitude float64) (*Town, float64) {
	t := load()
	best, at := -1, math.Inf(1)
	for i := range t.towns {
		if d := kilometres(latitude, longitude, t.towns[i].Latitude, t.towns[i].Longitude); d < at {
			best, at = i, d
		}
	}
	return &t.towns[best], at
}

// Found is a town and how far off it is.
type Found struct {
	*Town
	Kilometres float64
}

// Near returns the towns within some kilometres of a point, the nearest first.
func Near(latitude, longitude, within float64) (list []Found) {
	for _, p := range parts() {
		if !p.reaches(latitude, longitude, within) {
			continue
		}
		towns := p.towns()
		for i := range towns {
			t := &towns[i]
			if math.Abs(t.Latitude-latitude) > within/leastDegree {
				continue
			}
			if d := kilometres(latitude, longitude, t.Latitude, t.Longitude); d <= within {
				list = append(list, Found{t, d})
			}
		}
	}
	slices.SortStableFunc(list, func(a, b Found) int { return cmp.Compare(a.Kilometres, b.Kilometres) })
	return list
}

// leastDegree is the length of a degree of latitude in kilometres, a little less than it has anywhere.
const leastDegree = 110

// reaches reports whether a town of the part may lie within some kilometres of a point.
func (p *part) reaches(latitude, longitude, within float64) bool {
	margin := within / leastDegree
	if latitude < p.south-margin || latitude > p.north+margin {
		return false
	}
	// A degree of longitude is shortest where one is farthest from the equator.
	poleward := min(89, max(math.Abs(latitude), math.Abs(p.south), math.Abs(p.north))+margin)
	margin /= math.Cos(poleward * math.Pi / 180)
	for _, turn := range []float64{-360, 0, 360} {
		if l := longitude + turn; l >= p.west-margin && l <= p.east+margin {
			return true
		}
	}
	return false
}

// Countries returns the countries of the towns that keep a time zone, by their codes: none for a zone of no town.
func Countries(zone string) (list []string) {
	for _, p := range parts() {
		if slices.Contains(p.zones, zone) && !slices.Contains(list, p.region.Country) {
			list = append(list, p.region.Country)
		}
	}
	slices.Sort(list)
	return list
}

// kilometres is the length of the great circle between two points, by the haversine formula on a sphere of 6371 km.
func kilometres(lat1, lon1, lat2, lon2 float64) float64 {
	const rad = math.Pi / 180
	s, c := math.Sin((lat2-lat1)/2*rad), math.Sin((lon2-lon1)/2*rad)
	h := s*s + math.Cos(lat1*rad)*math.Cos(lat2*rad)*c*c
	return 2 * 6371 * math.Asin(math.Sqrt(min(1, h)))
}

// byPeople puts the larger towns first; of two as large, by region and name.
func byPeople(a, b *Town) int {
	return cmp.Or(cmp.Compare(b.People, a.People), cmp.Compare(a.Region.Country, b.Region.Country),
		cmp.Compare(a.Region.Code, b.Region.Code), cmp.Compare(a.Name, b.Name), cmp.Compare(a.Latitude, b.Latitude))
}
