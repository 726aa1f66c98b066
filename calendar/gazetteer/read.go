package gazetteer

import (
	"bytes"
	"compress/flate"
	"encoding/binary"
	"errors"
	"fmt"
	"io"
	"slices"
	"strconv"
	"strings"
	"sync"
)

var errShort = errors.New("it ends before its towns do")

// readParts reads a table: see [Pack].
func readParts(data []byte) (list []*part, err error) {
	data = bytes.TrimPrefix(data, []byte(Attribution+"\n"))
	length, n := binary.Uvarint(data)
	if n <= 0 || length > uint64(len(data)-n) {
		return nil, errShort
	}
	head, err := io.ReadAll(flate.NewReader(bytes.NewReader(data[n : n+int(length)])))
	if err != nil {
		return nil, err
	}
	data = data[n+int(length):]
	var zones []string
	for line := range strings.Lines(string(head)) {
		f := strings.Split(strings.TrimSuffix(line, "\n"), "\t")
		switch {
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
		i := slices.IndexFunc(regions, func(r Region) bool { return r.key() == f[0] })
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
			towns, err := p.read(member, n[1], n[3])
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

// read reads the member of a region, whose southernmost latitude and westernmost longitude are given in hundredths of a
// degree.
func (p *part) read(member []byte, south, west int) ([]Town, error) {
	data, err := io.ReadAll(flate.NewReader(bytes.NewReader(member)))
	if err != nil {
		return nil, err
	}
	count, n := binary.Uvarint(data)
	if n <= 0 || count > uint64(len(data)) {
		return nil, errShort
	}
	data = data[n:]
	towns := make([]Town, count)
	if len(data) < columns*len(towns) {
		return nil, errShort
	}
	column := func(i int) []byte { return data[i*len(towns) : (i+1)*len(towns)] }
	pair := func(i, at int) int { return int(column(i)[at])<<8 | int(column(i + 1)[at]) }
	names, last := string(data[columns*len(towns):]), ""
	for i := range towns {
		ending, rest, found := strings.Cut(names, "\n")
		shared, zone := int(column(sharedColumn)[i]), int(column(zoneColumn)[i])
		if !found || shared > len(last) || zone >= len(p.zones) {
			return nil, errShort
		}
		last, names = last[:shared]+ending, rest
		people := int(column(peopleColumn)[i])
		for range column(peopleColumn + 1)[i] {
			people *= 10
		}
		towns[i] = Town{Name: last, Region: p.region, Zone: p.zones[zone], People: people,
			Latitude:  float64(pair(latitudeColumn, i)+south) / 100,
			Longitude: float64(pair(longitudeColumn, i)+west) / 100}
		if e := pair(elevationColumn, i); e > 0 {
			towns[i].Elevation, towns[i].HasElevation = float64(e-seaLevel), true
		}
	}
	if names != "" {
		return nil, fmt.Errorf("%d bytes are left over after the last town", len(names))
	}
	return towns, nil
}
