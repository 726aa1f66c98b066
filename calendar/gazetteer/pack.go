package gazetteer

import (
	"bytes"
	"compress/flate"
	"encoding/binary"
	"fmt"
	"math"
	"slices"
	"strings"
)

// The columns of a member, each of a byte a town; of two bytes the high ones are the first column.
const (
	sharedColumn    = 0 // how many bytes of its name are those of the one before
	latitudeColumn  = 1 // hundredths of a degree from the southernmost
	longitudeColumn = 3 // from the westernmost
	elevationColumn = 5 // metres, and seaLevel; 0 where it is not known
	zoneColumn      = 7 // by its number in the region
	peopleColumn    = 8 // two figures, then how many noughts follow
	columns         = 10
)

// seaLevel is what elevations of the sea's level are written as, so that none is below 1.
const seaLevel = 1000

// Pack returns a table of towns, which stand region by region and in it by name; cmd/placemake makes it so.
//
// It begins with [Attribution] on a line, and the length of its head. The head is text: a line "zones" names the
// time zones, each other a region by country and code, the length of its member in bytes, the southernmost and
// northernmost latitude and the westernmost and easternmost longitude of its towns in hundredths of a degree, and
// the numbers of their zones. The members follow one after another: the number of towns, their columns, and of each
// name what is not that of the one before, a line each. Columns apart take a third less than rows. Head and members
// are packed by package compress/flate, numbers are varints of package encoding/binary.
func Pack(towns []Town) ([]byte, error) {
	var zones []string
	for i := range towns {
		if !slices.Contains(zones, towns[i].Zone) {
			zones = append(zones, towns[i].Zone)
		}
	}
	slices.Sort(zones)
	head := "zones\t" + strings.Join(zones, "\t") + "\n"
	var members []byte
	for len(towns) > 0 {
		n := slices.IndexFunc(towns, func(t Town) bool { return t.Region != towns[0].Region })
		if n < 0 {
			n = len(towns)
		}
		about, member, err := packRegion(towns[:n], zones)
		if err != nil {
			return nil, err
		}
		head += fmt.Sprintf("%s\t%d%s\n", towns[0].Region.key(), len(member), about)
		members = append(members, member...)
		towns = towns[n:]
	}
	packed, err := deflate([]byte(head))
	return slices.Concat([]byte(Attribution+"\n"), binary.AppendUvarint(nil, uint64(len(packed))), packed, members), err
}

// packRegion packs the towns of one region, and returns what the head says of them.
func packRegion(towns []Town, zones []string) (about string, member []byte, err error) {
	n := len(towns)
	latitudes, longitudes := make([]int, n), make([]int, n)
	var kept []int
	for i, t := range towns {
		latitudes[i], longitudes[i] = int(math.Round(t.Latitude*100)), int(math.Round(t.Longitude*100))
		if zone := slices.Index(zones, t.Zone); !slices.Contains(kept, zone) {
			kept = append(kept, zone)
		}
	}
	slices.Sort(kept)
	south, west := slices.Min(latitudes), slices.Min(longitudes)
	about = fmt.Sprintf("\t%d\t%d\t%d\t%d", south, slices.Max(latitudes), west, slices.Max(longitudes))
	for _, zone := range kept {
		about += fmt.Sprintf("\t%d", zone)
	}

	table := make([][]byte, columns)
	put := func(column, value int) { table[column] = append(table[column], byte(value)) }
	pair := func(column, value int) {
		put(column, value>>8)
		put(column+1, value)
	}
	var names strings.Builder
	last := ""
	for i, t := range towns {
		shared := 0
		for shared < min(len(last), len(t.Name), 255) && last[shared] == t.Name[shared] {
			shared++
		}
		put(sharedColumn, shared)
		names.WriteString(t.Name[shared:] + "\n")
		last = t.Name
		pair(latitudeColumn, latitudes[i]-south)
		pair(longitudeColumn, longitudes[i]-west)
		elevation := 0
		if t.HasElevation {
			elevation = int(t.Elevation) + seaLevel
		}
		pair(elevationColumn, elevation)
		put(zoneColumn, slices.Index(kept, slices.Index(zones, t.Zone)))
		people, noughts := t.People, 0
		for people >= 100 {
			people, noughts = people/10, noughts+1
		}
		put(peopleColumn, people)
		put(peopleColumn+1, noughts)
	}
	parts := append([][]byte{binary.AppendUvarint(nil, uint64(n))}, table...)
	member, err = deflate(append(parts, []byte(names.String()))...)
	return about, member, err
}

// deflate packs parts that are unlike each other, each with a code of its own.
func deflate(parts ...[]byte) ([]byte, error) {
	var b bytes.Buffer
	w, err := flate.NewWriter(&b, flate.BestCompression)
	if err != nil {
		return nil, err
	}
	for i, part := range parts {
		if i > 0 && len(part) > leastBlock {
			if err := w.Flush(); err != nil {
				return nil, err
			}
		}
		if _, err := w.Write(part); err != nil {
			return nil, err
		}
	}
	err = w.Close()
	return b.Bytes(), err
}

// leastBlock is the least number of bytes for which a code of their own pays.
const leastBlock = 100
