package main

import (
	"bufio"
	"cmp"
	"fmt"
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

// placeTable packs places as package gazetteer reads them.
func placeTable(places []place) ([]byte, error) {
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
