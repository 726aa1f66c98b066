// Package zone answers: by which time zone do people here live? It holds a coarse map of the world's time zones and
// knows nothing else.
//
// The map is that of the npm package @photostructure/tz-lookup 11.7.0 (CC0 1.0), whose boundaries are those of
// OpenStreetMap as timezone-boundary-builder gathers them; see [Attribution]. It is right where people live but
// near the boundaries: of 39,000 towns of North America it gives all but one in 150 the clock they keep (see the
// test). Where a town is near, its own zone is surer.
package zone

import (
	_ "embed"
	"math"
	"strings"
	"sync"
)

// Attribution says whose work the boundaries are, as their licence asks.
const Attribution = "Time zone boundaries: (c) OpenStreetMap contributors, Open Database License 1.0, " +
	"by timezone-boundary-builder; simplified by tz-lookup."

// zones is the table: the names of the zones in alphabetical order, parted by spaces; and on the second line the
// tree, see [At].
//
//go:embed zones.txt
var zones string

// The tree's root has a node for each 7.5 degrees; each node within has four. A node is two characters, which are
// the digits of a number to the base 56; the highest numbers are the zones, the others say how many nodes on its
// children stand.
const (
	rootColumns, rootRows = 48, 24
	base                  = 56
	firstDigit            = '#'
)

var table = sync.OnceValue(func() (t struct {
	names []string
	tree  string
}) {
	names, tree, _ := strings.Cut(zones, "\n")
	t.names, t.tree = strings.Fields(names), strings.TrimSpace(tree)
	return t
})

// node returns the number of the i-th node of a tree.
func node(tree string, i int) int {
	return base*int(tree[2*i]-firstDigit) + int(tree[2*i+1]-firstDigit)
}

// At returns the IANA name of the time zone that is kept at a point, north and east positive; at sea it is the
// nautical one (Etc/GMT+5). It is "" where a coordinate is no number or out of range.
func At(latitude, longitude float64) string {
	if !(math.Abs(latitude) <= 90 && math.Abs(longitude) <= 180) {
		return ""
	}
	t := table()
	if latitude == 90 {
		return "Etc/GMT" // the map ends below the pole
	}
	x := min((180+longitude)*rootColumns/360, math.Nextafter(rootColumns, 0))
	y := min((90-latitude)*rootRows/180, math.Nextafter(rootRows, 0))
	column, row := math.Floor(x), math.Floor(y)
	leaf := base*base - len(t.names) // the first number that is a zone
	n := node(t.tree, int(row)*rootColumns+int(column))
	for at := 0; n < leaf; at++ {
		at += n // children stand four by four behind the root
		x, y = (x-column)*2, (y-row)*2
		column, row = math.Floor(x), math.Floor(y)
		n = node(t.tree, rootRows*rootColumns+at*4+int(row)*2+int(column))
	}
	return t.names[n-leaf]
}
