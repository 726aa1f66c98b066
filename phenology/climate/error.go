package climate

import "math"

// Region is a part of the continent in which the table is as far off as in the rest of it.
type Region int

// The regions, by how far the table may be trusted.
const (
	East            Region = iota // east of 100 degrees west, to 50 north
	West                          // west of it, to 50 north: plains and wide valleys
	North                         // beyond 50 degrees north
	CaliforniaCoast               // within 50 km of the Pacific from San Diego to Oregon
	Mountains                     // west of 105 degrees west, where the land rises and falls
)

// Error returns how far monthly means may be off in a region once they have been moved to a station's height: the
// root mean square in K. As it was measured for the table before it was made warmer, it is 0.78 in the east (eight
// stations of 1991 to 2020, 24 monthly values each; nine of 1961 to 1990 had 0.73), 1.08 in the west (annual means
// of the stations of the United States) and 2.9 on California's coast, whose fogs a table of this kind does not
// see. Trusted is false where nobody should date a tree by it without asking: there, and in western mountains, for
// which there is no honest figure and 2.9 stands as well. In the north nothing was measured; 1.5 is our own guess.
func (r Region) Error() (rms float64, trusted bool) {
	switch r {
	case East:
		return 0.78, true
	case West:
		return 1.08, true
	case North:
		return 1.5, true
	}
	return 2.9, false
}

const (
	eastOf     = -100.0 // degrees; the measurements above are parted here
	northOf    = 50.0   // degrees
	ranges     = -105.0 // degrees; the mountains lie west of it
	relief     = 300.0  // metres within three cells: our own choice, see the test for the places it parts
	coastReach = 50.0   // kilometres; our own choice
)

// californiaCoast is the shore from San Diego to Oregon, degrees north and east, from memory to a tenth of a degree.
var californiaCoast = [][2]float64{{32.5, -117.1}, {33.7, -118.2}, {34.0, -118.5}, {34.4, -119.7}, {34.5, -120.5},
	{35.2, -120.8}, {36.3, -121.9}, {36.9, -122.0}, {37.8, -122.5}, {38.9, -123.7}, {40.4, -124.4}, {42.0, -124.2}}

// Region returns which region the cell's point lies in.
func (c Cell) Region() Region {
	switch {
	case c.Longitude < ranges && c.Relief >= relief:
		if c.onCaliforniaCoast() {
			return CaliforniaCoast
		}
		return Mountains
	case c.onCaliforniaCoast():
		return CaliforniaCoast
	case c.Latitude > northOf:
		return North
	case c.Longitude < eastOf:
		return West
	}
	return East
}

// Error is [Region.Error] of the cell's region.
func (c Cell) Error() (rms float64, trusted bool) { return c.Region().Error() }

// ElevationError returns how far the cell's elevation may be from that of a place there, in metres: of the 39,000
// towns of the embedded table, eight in ten lie within it, in plains as in mountains. It is half of the cell's
// relief, and 20 at least.
func (c Cell) ElevationError() float64 { return max(20, c.Relief/2) }

// ElevationServes reports whether the cell's elevation may stand for that of a place of which nothing else is
// known: east of 100 degrees west, where it is some 125 m off at most, which is four days of spring. Elsewhere
// people have to be asked.
func (c Cell) ElevationServes() bool { return c.Longitude >= eastOf && c.ElevationError() <= 125 }

func (c Cell) onCaliforniaCoast() bool {
	const degree = math.Pi / 180 * 6371 // kilometres
	narrow := math.Cos(c.Latitude * math.Pi / 180)
	for i := 1; i < len(californiaCoast); i++ {
		a, b := californiaCoast[i-1], californiaCoast[i]
		ay, ax := (a[0]-c.Latitude)*degree, (a[1]-c.Longitude)*degree*narrow
		by, bx := (b[0]-c.Latitude)*degree, (b[1]-c.Longitude)*degree*narrow
		dy, dx := by-ay, bx-ax
		along := max(0, min(1, -(ay*dy+ax*dx)/(dy*dy+dx*dx)))
		if math.Hypot(ay+along*dy, ax+along*dx) <= coastReach {
			return true
		}
	}
	return false
}
