package main

import (
	"encoding/binary"
	"encoding/json"
	"fmt"
	"math"
	"os"
	"slices"

	"treewhen/calendar/glance"
)

// What is left out of the outlines of land: detail below so many degrees, rings smaller than so many, and what lies
// wholly south of a latitude, where nobody taps a tree.
const (
	coastDetail  = 0.06
	coastSmall   = 0.4
	coastSouth   = -60.0
	fewestPoints = 4 // of a ring
)

// topology is the part of a TopoJSON file that is read here: arcs in steps of a grid, and which arcs bound the land.
type topology struct {
	Transform struct{ Scale, Translate [2]float64 }
	Arcs      [][][2]float64
	Objects   struct {
		Land struct {
			Geometries []struct {
				Type string
				Arcs [][][]int // of a MultiPolygon: polygons, rings, arcs; ^n is arc n backwards
			}
		}
	}
}

// coastTable simplifies the outlines of land and writes them as package glance reads them.
func coastTable(from string) ([]byte, error) {
	data, err := os.ReadFile(from)
	if err != nil {
		return nil, err
	}
	var t topology
	if err := json.Unmarshal(data, &t); err != nil {
		return nil, fmt.Errorf("%s: %w", from, err)
	}
	arcs := make([][]glance.Dot, len(t.Arcs))
	for i, a := range t.Arcs {
		var x, y float64
		for _, step := range a {
			x, y = x+step[0], y+step[1]
			arcs[i] = append(arcs[i], glance.Dot{
				Latitude:  y*t.Transform.Scale[1] + t.Transform.Translate[1],
				Longitude: x*t.Transform.Scale[0] + t.Transform.Translate[0],
			})
		}
	}
	var rings [][]glance.Dot
	for _, g := range t.Objects.Land.Geometries {
		if g.Type != "MultiPolygon" {
			return nil, fmt.Errorf("%s: found a %s, want a MultiPolygon", from, g.Type)
		}
		for _, polygon := range g.Arcs {
			for _, ring := range polygon {
				if kept := simplified(joined(arcs, ring)); len(kept) >= fewestPoints {
					rings = append(rings, kept)
				}
			}
		}
	}
	return packedRings(rings), nil
}

// joined puts a ring's arcs end to end; each begins where the one before ends.
func joined(arcs [][]glance.Dot, ring []int) (points []glance.Dot) {
	for _, n := range ring {
		arc := arcs[max(n, ^n)]
		if n < 0 {
			arc = slices.Clone(arc)
			slices.Reverse(arc)
		}
		if points != nil {
			arc = arc[1:]
		}
		points = append(points, arc...)
	}
	return points
}

// simplified keeps the points of a ring that a line without them would miss by [coastDetail] or more (Douglas and
// Peucker 1973; from memory); nil for a ring that is left out.
func simplified(ring []glance.Dot) (kept []glance.Dot) {
	north, south, east, west := -90.0, 90.0, -180.0, 180.0
	for _, p := range ring {
		north, south = max(north, p.Latitude), min(south, p.Latitude)
		east, west = max(east, p.Longitude), min(west, p.Longitude)
	}
	if north < coastSouth || max(north-south, east-west) < coastSmall {
		return nil
	}
	keep := make([]bool, len(ring))
	keep[0], keep[len(ring)-1] = true, true
	for open := [][2]int{{0, len(ring) - 1}}; len(open) > 0; {
		a, b := open[len(open)-1][0], open[len(open)-1][1]
		open = open[:len(open)-1]
		worst, at := coastDetail, -1
		for i := a + 1; i < b; i++ {
			if off := offLine(ring[i], ring[a], ring[b]); off > worst {
				worst, at = off, i
			}
		}
		if at >= 0 {
			keep[at] = true
			open = append(open, [2]int{a, at}, [2]int{at, b})
		}
	}
	for i, p := range ring {
		if keep[i] {
			kept = append(kept, p)
		}
	}
	return kept
}

// offLine is how far a point lies off the line through two others, in degrees of latitude.
func offLine(p, a, b glance.Dot) float64 {
	k := math.Cos((a.Latitude + b.Latitude) / 2 * math.Pi / 180)
	dx, dy := (b.Longitude-a.Longitude)*k, b.Latitude-a.Latitude
	x, y := (p.Longitude-a.Longitude)*k, p.Latitude-a.Latitude
	if long := math.Hypot(dx, dy); long > 1e-9 {
		return math.Abs(x*dy-y*dx) / long
	}
	return math.Hypot(x, y) // a ring ends where it begins
}

// packedRings writes rings as coast.bin has them.
func packedRings(rings [][]glance.Dot) []byte {
	data := binary.AppendUvarint(nil, uint64(len(rings)))
	for _, ring := range rings {
		data = binary.AppendUvarint(data, uint64(len(ring)))
		var lat, lon int64
		for _, p := range ring {
			y, x := int64(math.Round(p.Latitude/glance.CoastUnit)), int64(math.Round(p.Longitude/glance.CoastUnit))
			data = binary.AppendVarint(binary.AppendVarint(data, y-lat), x-lon)
			lat, lon = y, x
		}
	}
	return data
}
