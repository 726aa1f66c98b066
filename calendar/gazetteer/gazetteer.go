// Package gazetteer answers: where is this town? It holds the towns and villages of the United States, Canada and
// Mexico that have some 500 people or more, each with its latitude, longitude, elevation and time zone, and by name the
// smaller villages of the United States that have a post office. It knows nothing of trees.
//
// The tables are made from GeoNames by cmd/placemake; see [Attribution], which goes wherever a figure of it goes. A
// town is where its middle is, to a hundredth of a degree (a kilometre or so); people's land may lie higher or lower.
package gazetteer

import (
	"bytes"
	"cmp"
	"compress/gzip"
	_ "embed"
	"fmt"
	"io"
	"slices"
	"strconv"
	"strings"
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

// The table is a run of gzip members, which gunzip takes for one: a head, then a member for each region.
//
//go:embed towns.tsv.gz
var packed []byte

// part is the towns of one region. They are unpacked when they are first asked for: who asks what is near a place needs
// those of a few regions.
type part struct {
	region                   *Region
	south, north, west, east float64  // of its towns, degrees
	zones                    []string // that they keep
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

// unpack returns the text of the first gzip member of data, and how long the member is.
func unpack(data []byte) (text string, length int, err error) {
	r := bytes.NewReader(data)
	z, err := gzip.NewReader(r)
	if err != nil {
		return "", 0, err
	}
	z.Multistream(false)
	b, err := io.ReadAll(z)
	return string(b), len(data) - r.Len(), err
}

// readParts reads the head of a table: lines that begin with # are comments, a line "zones" names the time zones, each
// other a region by country and code, the length of its member in bytes, the southernmost and northernmost latitude and
// the westernmost and easternmost longitude of its towns in hundredths of a degree, and the numbers of their zones.
func readParts(data []byte) (list []*part, err error) {
	head, length, err := unpack(data)
	if err != nil {
		return nil, err
	}
	data = data[length:]
	var zones []string
	for line := range strings.Lines(head) {
		f := strings.Split(strings.TrimSuffix(line, "\n"), "\t")
		switch {
		case strings.HasPrefix(line, "#"):
			continue
		case f[0] == "zones":
			zones = f[1:]
			continue
		case len(f) < 7:
			return nil, fmt.Errorf("found %q, want a region with 6 figures or more", line)
		}
		n := make([]int, len(f)-1)
		for i := range n {
			if n[i], err = strconv.Atoi(f[i+1]); err != nil {
				return nil, fmt.Errorf("%s: %w", f[0], err)
			}
		}
		i := slices.IndexFunc(regions, func(r Region) bool { return "@"+r.Country+"-"+r.Code == f[0] })
		if i < 0 || n[0] < 0 || n[0] > len(data) {
			return nil, fmt.Errorf("there is no region %s, or not all of it", f[0])
		}
		p := &part{region: &regions[i]}
		p.south, p.north, p.west, p.east = float64(n[1])/100, float64(n[2])/100, float64(n[3])/100, float64(n[4])/100
		for _, z := range n[5:] {
			if z < 0 || z >= len(zones) {
				return nil, fmt.Errorf("%s: there is no time zone %d", f[0], z)
			}
			p.zones = append(p.zones, zones[z])
		}
		member := data[:n[0]]
		data = data[n[0]:]
		p.towns = sync.OnceValue(func() []Town {
			text, _, err := unpack(member)
			var towns []Town
			if err == nil {
				towns, err = parse(text, p.region, zones)
			}
			if err != nil {
				panic("gazetteer: " + f[0] + ": " + err.Error())
			}
			return towns
		})
		list = append(list, p)
	}
	if len(data) > 0 {
		return nil, fmt.Errorf("%d bytes are left over after the last region", len(data))
	}
	return list, nil
}

// parse reads the member of a region: a line of its code that begins with @, and a line for each town.
func parse(text string, region *Region, zones []string) ([]Town, error) {
	towns := make([]Town, 0, strings.Count(text, "\n"))
	for line := range strings.Lines(text) {
		if strings.HasPrefix(line, "@") {
			continue
		}
		one, err := parseTown(strings.Split(strings.TrimSuffix(line, "\n"), "\t"), zones)
		if err != nil {
			return nil, fmt.Errorf("found %q, want a town: %w", line, err)
		}
		one.Region = region
		towns = append(towns, one)
	}
	return towns, nil
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

// byPeople puts the larger towns first; of two as large, by region and name.
func byPeople(a, b *Town) int {
	return cmp.Or(cmp.Compare(b.People, a.People), cmp.Compare(a.Region.Country, b.Region.Country),
		cmp.Compare(a.Region.Code, b.Region.Code), cmp.Compare(a.Name, b.Name), cmp.Compare(a.Latitude, b.Latitude))
}
