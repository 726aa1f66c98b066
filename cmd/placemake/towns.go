package main

import (
	"bufio"
	"bytes"
	"cmp"
	"compress/gzip"
	"fmt"
	"io"
	"math"
	"os"
	"path/filepath"
	"slices"
	"strconv"
	"strings"

	"treewhen/calendar/gazetteer"
)

// The files of a folder that the towns and the villages are made from: a table of places as GeoNames publishes it
// ("cities500": tab-separated, UTF-8, 19 columns, no header; its readme names them), and GeoNames' list of the postal
// codes of the United States (12 columns).
const (
	citiesFile = "cities500.txt"
	postalFile = "US.txt"
)

// townsTable is the table of towns.
func townsTable(from string) ([]byte, error) {
	towns, err := readTowns(from)
	if err != nil {
		return nil, err
	}
	return placeTable(towns)
}

// place is a row of the source, as far as the table has it.
type place struct {
	region              string // @US-VT
	name                string
	latitude, longitude float64
	elevation           string // metres, "" where it is not known
	zone                string
	people              int
}

// The columns that are used, as the readme of the source numbers them, from 0.
const (
	columnName      = 1
	columnLatitude  = 4
	columnLongitude = 5
	columnKind      = 7
	columnCountry   = 8
	columnRegion    = 10
	columnPeople    = 14
	columnElevation = 15
	columnGround    = 16 // height of the ground by a digital elevation model
	columnZone      = 17
	columns         = 19
)

func readTowns(from string) ([]place, error) {
	regions := map[string]string{}
	for _, g := range gazetteer.Regions() {
		regions[g.Country+"."+g.Source] = "@" + g.Country + "-" + g.Code
	}
	var places []place
	err := eachPlace(filepath.Join(from, citiesFile), columns, func(f []string) (err error) {
		p := place{region: regions[f[columnCountry]+"."+f[columnRegion]], name: f[columnName], zone: f[columnZone],
			elevation: height(f[columnElevation], f[columnGround])}
		// PPLQ and PPLH are places that people have left.
		if p.region == "" || f[columnKind] == "PPLQ" || f[columnKind] == "PPLH" {
			return nil
		}
		if err := p.locate(f[columnLatitude], f[columnLongitude]); err != nil {
			return err
		}
		if p.people, err = strconv.Atoi(f[columnPeople]); err != nil {
			return fmt.Errorf("people: %w", err)
		}
		places = append(places, p)
		return nil
	})
	return withoutTwins(places), err
}

// eachPlace calls f with the cells of each line of a table.
func eachPlace(file string, columns int, f func([]string) error) error {
	in, err := os.Open(file)
	if err != nil {
		return err
	}
	defer in.Close()
	lines := bufio.NewScanner(in)
	lines.Buffer(nil, 1<<20)
	for n := 1; lines.Scan(); n++ {
		cells := strings.Split(lines.Text(), "\t")
		if len(cells) != columns {
			return fmt.Errorf("%s:%d: found %d columns, want %d", file, n, len(cells), columns)
		}
		if err := f(cells); err != nil {
			return fmt.Errorf("%s:%d: %w", file, n, err)
		}
	}
	return lines.Err()
}

// locate sets where a place is.
func (p *place) locate(latitude, longitude string) (err error) {
	if p.latitude, err = strconv.ParseFloat(latitude, 64); err != nil {
		return fmt.Errorf("latitude: %w", err)
	}
	if p.longitude, err = strconv.ParseFloat(longitude, 64); err != nil {
		return fmt.Errorf("longitude: %w", err)
	}
	return nil
}

// height chooses between the elevation that somebody stated and that of the ground: the first if it is there, neither
// if they are so far apart that one must be wrong and nothing tells which.
func height(stated, ground string) string {
	const apart, none = 80, "-9999"
	g, errG := strconv.Atoi(ground)
	if ground == none || ground == "" {
		errG = strconv.ErrSyntax
	}
	s, errS := strconv.Atoi(stated)
	switch {
	case errS == nil && errG == nil && max(s-g, g-s) > apart:
		return ""
	case errS == nil && errG != nil && s == 0: // 0 without ground to bear it out is "not known"
		return ""
	case errS == nil:
		return strconv.Itoa(s)
	case errG == nil:
		return strconv.Itoa(g)
	}
	return ""
}

// withoutTwins sorts places by region, name and size, and drops those that stand twice in the source: of the same name,
// within a few kilometres.
func withoutTwins(places []place) []place {
	const twin = 0.05 // degrees
	slices.SortFunc(places, func(a, b place) int {
		return cmp.Or(cmp.Compare(a.region, b.region), cmp.Compare(gazetteer.Fold(a.name), gazetteer.Fold(b.name)),
			cmp.Compare(b.people, a.people), cmp.Compare(a.latitude, b.latitude), cmp.Compare(a.longitude, b.longitude))
	})
	var kept []place
	for _, p := range places {
		twins := false
		for i := len(kept) - 1; i >= 0 && kept[i].region == p.region &&
			gazetteer.Fold(kept[i].name) == gazetteer.Fold(p.name); i-- {
			twins = twins || math.Abs(kept[i].latitude-p.latitude) < twin &&
				math.Abs(kept[i].longitude-p.longitude) < twin
		}
		if !twins {
			kept = append(kept, p)
		}
	}
	return kept
}

// placeTable writes places as package gazetteer reads them: a head that says where each region's are and how far they
// reach, then the regions, each packed by itself.
func placeTable(places []place) ([]byte, error) {
	var zones []string
	for _, p := range places {
		if !slices.Contains(zones, p.zone) {
			zones = append(zones, p.zone)
		}
	}
	slices.Sort(zones)
	var head strings.Builder
	fmt.Fprintf(&head, "# %s\n", gazetteer.Attribution)
	head.WriteString("# regions: length in bytes, south, north, west and east of their towns in hundredths of a " +
		"degree, numbers of their time zones from 0\n")
	head.WriteString("# towns: name, latitude and longitude in hundredths of a degree, elevation in metres, " +
		"time zone by its number, people to two figures\n")
	fmt.Fprintf(&head, "zones\t%s\n", strings.Join(zones, "\t"))
	var members []byte
	for len(places) > 0 {
		n := slices.IndexFunc(places, func(p place) bool { return p.region != places[0].region })
		if n < 0 {
			n = len(places)
		}
		about, member, err := regionOf(places[:n], zones)
		if err != nil {
			return nil, err
		}
		fmt.Fprintf(&head, "%s\t%d\t%s\n", places[0].region, len(member), about)
		members = append(members, member...)
		places = places[n:]
	}
	data, err := compress(head.String())
	return append(data, members...), err
}

// regionOf packs the places of one region, and returns what the head says of them.
func regionOf(places []place, zones []string) (about string, member []byte, err error) {
	var b strings.Builder
	fmt.Fprintln(&b, places[0].region)
	var latitudes, longitudes, kept []int
	for _, p := range places {
		people := ""
		if p.people > 0 {
			people = strconv.Itoa(twoFigures(p.people))
		}
		latitude, longitude := int(math.Round(p.latitude*100)), int(math.Round(p.longitude*100))
		zone := slices.Index(zones, p.zone)
		fmt.Fprintf(&b, "%s\t%d\t%d\t%s\t%d\t%s\n", p.name, latitude, longitude, p.elevation, zone, people)
		latitudes, longitudes = append(latitudes, latitude), append(longitudes, longitude)
		if !slices.Contains(kept, zone) {
			kept = append(kept, zone)
		}
	}
	slices.Sort(kept)
	about = fmt.Sprintf("%d\t%d\t%d\t%d",
		slices.Min(latitudes), slices.Max(latitudes), slices.Min(longitudes), slices.Max(longitudes))
	for _, zone := range kept {
		about += fmt.Sprintf("\t%d", zone)
	}
	member, err = compress(b.String())
	return about, member, err
}

// compress makes a gzip member; its header bears no time, so the same table is the same file.
func compress(text string) ([]byte, error) {
	var b bytes.Buffer
	z, err := gzip.NewWriterLevel(&b, gzip.BestCompression)
	if err != nil {
		return nil, err
	}
	if _, err := io.WriteString(z, text); err != nil {
		return nil, err
	}
	err = z.Close()
	return b.Bytes(), err
}

// twoFigures rounds a number to two significant figures.
func twoFigures(n int) int {
	unit := 1
	for n/unit >= 100 {
		unit *= 10
	}
	return (n + unit/2) / unit * unit
}
