package glance

import (
	_ "embed"
	"encoding/binary"
	"sync"
)

// coast.bin holds the outlines of land, made by cmd/placemake from Natural Earth's at 1:50 million, which are in the
// public domain: how many rings there are; of each, how many points; of each point, by how many fiftieths of a degree
// it lies north and east of the one before. All are varints, the differences zigzag.
//
//go:embed coast.bin
var coastData []byte

// CoastUnit is of what the outlines are counted in, in degrees.
const CoastUnit = 1.0 / 50

// coasts returns the outlines of land, each a ring.
var coasts = sync.OnceValue(func() [][]Dot {
	at := 0
	count := func() uint64 {
		v, n := binary.Uvarint(coastData[at:])
		at += n
		return v
	}
	step := func() float64 {
		v, n := binary.Varint(coastData[at:])
		at += n
		return float64(v) * CoastUnit
	}
	rings := make([][]Dot, count())
	for i := range rings {
		rings[i] = make([]Dot, count())
		var p Dot
		for k := range rings[i] {
			p.Latitude += step()
			p.Longitude += step()
			rings[i][k] = p
		}
	}
	return rings
})
