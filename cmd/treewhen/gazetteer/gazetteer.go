// Package gazetteer answers: where is this town? It holds the towns and villages of the United States, Canada and Mexico
// that have some 500 people or more, each with its latitude, longitude, elevation and time zone. It knows nothing of trees.
//
// The table is made from GeoNames by cmd/gazetteermake; see [Attribution], which goes wherever a figure of it goes. A town
// is where its middle is, to a hundredth of a degree (a kilometre or so); people's land may lie higher or lower.
package gazetteer

import (
	"bytes"
	"cmp"
	"compress/gzip"
	_ "embed"
	"fmt"
	"io"
	"math"
	"slices"
	"strconv"
	"strings"
	"sync"
)

// Attribution says whose work the table is, as its licence asks: the makers, the licence, and what was changed.
const Attribution = "Towns, their elevations and time zones are from GeoNames (https://www.geonames.org), licensed under CC BY 4.0 " +
	"(https://creativecommons.org/licenses/by/4.0/); a selection, with coordinates rounded to 0.01 degree."

// Town is a town, a village or a part of a city.
type Town struct {
	Name                string
	Region              *Region
	Latitude, Longitude float64 // decimal degrees, north and east positive, to 0.01
	Elevation           float64 // metres; only if HasElevation. Of nearly half the towns it is that of a ground model at one point, which may be a hill's
	HasElevation        bool    // false where the source has none, or two that contradict each other
	Zone                string  // IANA name
	People              int     // to two figures; 0: not known
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

//go:embed towns.tsv.gz
var packed []byte

// table is the towns in the order of the file, by region and name, and beside each its folded name.
type table struct {
	towns  []Town
	folded []string
}

// load reads the table once. It is part of the program, so that an error in it is the program's own.
var load = sync.OnceValue(func() *table {
	text, err := unpack()
	if err == nil {
		var t *table
		if t, err = parse(text); err == nil {
			return t
		}
	}
	panic("gazetteer: " + err.Error())
})

func unpack() (string, error) {
	z, err := gzip.NewReader(bytes.NewReader(packed))
	if err != nil {
		return "", err
	}
	data, err := io.ReadAll(z)
	return string(data), err
}

// parse reads a table: lines that begin with # are comments, a line "zones" names the time zones, a line that begins with @
// the region of the towns below it, by country and code.
func parse(text string) (*table, error) {
	t := &table{towns: make([]Town, 0, strings.Count(text, "\n"))}
	var zones []string
	var region *Region
	n := 0
	for line := range strings.Lines(text) {
		n++
		line = strings.TrimSuffix(line, "\n")
		f := strings.Split(line, "\t")
		switch {
		case strings.HasPrefix(line, "#"):
		case f[0] == "zones":
			zones = f[1:]
		case strings.HasPrefix(line, "@"):
			i := slices.IndexFunc(regions, func(r Region) bool { return "@"+r.Country+"-"+r.Code == line })
			if i < 0 {
				return nil, fmt.Errorf("line %d: there is no region %s", n, line)
			}
			region = &regions[i]
		default:
			one, err := parseTown(f, zones)
			if err != nil || region == nil {
				return nil, fmt.Errorf("line %d: found %q, want a town: %v", n, line, err)
			}
			one.Region = region
			t.towns = append(t.towns, one)
			t.folded = append(t.folded, Fold(one.Name))
		}
	}
	return t, nil
}

func parseTown(f, zones []string) (t Town, err error) {
	if len(f) != 6 {
		return t, fmt.Errorf("found %d columns, want 6", len(f))
	}
	var n [5]int
	for i := range n {
		if f[i+1] == "" {
			continue
		}
		if n[i], err = strconv.Atoi(f[i+1]); err != nil {
			return t, err
		}
	}
	if n[3] < 0 || n[3] >= len(zones) {
		return t, fmt.Errorf("there is no time zone %d", n[3])
	}
	return Town{Name: f[0], Latitude: float64(n[0]) / 100, Longitude: float64(n[1]) / 100,
		Elevation: float64(n[2]), HasElevation: f[3] != "", Zone: zones[n[3]], People: n[4]}, nil
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
	const degree = 111 // kilometres of latitude, a little less than it has anywhere
	towns := load().towns
	for i := range towns {
		t := &towns[i]
		if math.Abs(t.Latitude-latitude) > within/(degree-1) {
			continue
		}
		if d := kilometres(latitude, longitude, t.Latitude, t.Longitude); d <= within {
			list = append(list, Found{t, d})
		}
	}
	slices.SortStableFunc(list, func(a, b Found) int { return cmp.Compare(a.Kilometres, b.Kilometres) })
	return list
}

// Countries returns the countries of the towns that keep a time zone, by their codes: none for a zone of no town.
func Countries(zone string) []string { return zoneCountries()[zone] }

var zoneCountries = sync.OnceValue(func() map[string][]string {
	found := map[string][]string{}
	for _, t := range load().towns {
		if !slices.Contains(found[t.Zone], t.Region.Country) {
			found[t.Zone] = append(found[t.Zone], t.Region.Country)
		}
	}
	for _, list := range found {
		slices.Sort(list)
	}
	return found
})

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
