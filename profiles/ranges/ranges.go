// Package ranges answers: is this tree at home here? It holds the native ranges of 59 species of North America on a
// grid of a quarter of a degree. It knows nothing of what the trees do.
//
// The maps are Little's (see [Attribution]), drawn from the records of their time, as others digitised them. They
// are rough at their edges, to some 25 km and where a map's line was followed carelessly more; a species may stand
// in a cell only in its valleys; and planted or naturalized trees are not on them. So "outside" is a reason to ask,
// never to refuse.
package ranges

import (
	"math"
	"math/bits"
)

// Attribution says whose work the ranges are.
const Attribution = "Ranges: E. L. Little, Atlas of United States Trees (U.S. Department of Agriculture, 1971 to " +
	"1981), as digitised on a grid of a quarter of a degree; in the public domain."

// The grid: rows from the south, columns from the west, cells named by their south-western corner.
const (
	south, west   = 24.0, -170.0 // degrees
	step          = 0.25         // degrees
	rows, columns = 192, 472
)

// At reports whether a species, named by its id, is native at a point (north and east positive), and whether its
// range is known at all.
func At(species string, latitude, longitude float64) (inside, known bool) {
	r := of(species)
	if r == nil {
		return false, false
	}
	return r.has(cellOf(latitude, longitude)), true
}

// Kilometres returns how far a point lies from the nearest cell of a species' range, 0 in it and on its edge; known is
// false where the range is not known or a coordinate is no number.
func Kilometres(species string, latitude, longitude float64) (km float64, known bool) {
	r := of(species)
	if r == nil || !(math.Abs(latitude) <= 90 && math.Abs(longitude) <= 180) {
		return 0, false
	}
	row, column := cellOf(latitude, longitude)
	if r.has(row, column) {
		return 0, true
	}
	// Row by row away from the point, until a row as such is farther off than the nearest cell found. In a row that
	// cell is the nearest which is so by its number: along a parallel, distance grows with the difference in
	// longitude.
	row = max(0, min(rows-1, row))
	right, left := column, column-1 // where to begin looking, either way
	if column < 0 || column >= columns {
		right, left = 0, columns-1 // whichever edge of the map is nearer, the way about the Earth included
	}
	best := math.Inf(1)
	look := func(row int) (farther bool) {
		low := south + float64(row)*step
		lat := max(low, min(latitude, low+step))
		if kilometres(latitude, 0, lat, 0) > best {
			return true
		}
		for _, c := range r.nearestInRow(row, right, left) {
			edge := west + float64(c)*step
			lon := longitude
			if within := math.Mod(longitude-edge+720, 360); within > step {
				lon = edge
				if math.Abs(math.Remainder(longitude-edge-step, 360)) < math.Abs(math.Remainder(longitude-edge, 360)) {
					lon = edge + step
				}
			}
			best = min(best, kilometres(latitude, longitude, lat, lon))
		}
		return false
	}
	for up := row; up < rows && !look(up); up++ {
	}
	for down := row - 1; down >= 0 && !look(down); down-- {
	}
	return best, true
}

// Knows reports whether the range of a species is known. It unpacks none.
func Knows(species string) bool { return table().rasters[species] != nil }

// cellOf returns the row and column of a point; outside the grid they are, too.
func cellOf(latitude, longitude float64) (row, column int) {
	if !(math.Abs(latitude) <= 90 && math.Abs(longitude) <= 180) {
		return -1, -1
	}
	return int(math.Floor((latitude - south) / step)), int(math.Floor((longitude - west) / step))
}

func (r *raster) has(row, column int) bool {
	if row < 0 || row >= rows || column < 0 || column >= columns {
		return false
	}
	i := row*columns + column
	return r.bits[i/8]&(0x80>>(i%8)) != 0
}

// nearestInRow returns the first cells of a row from one column on to the right and from another on to the left.
// Rows begin with a byte of their own (columns is a multiple of 8), so that eight empty cells are passed at a time.
func (r *raster) nearestInRow(row, right, left int) (found []int) {
	line := r.bits[row*columns/8 : (row+1)*columns/8]
	for c := right; c < columns; {
		b := line[c/8] << (c % 8)
		if b != 0 {
			found = append(found, c+bits.LeadingZeros8(b))
			break
		}
		c += 8 - c%8
	}
	for c := left; c >= 0; {
		b := line[c/8] >> (7 - c%8)
		if b != 0 {
			found = append(found, c-bits.TrailingZeros8(b))
			break
		}
		c -= c%8 + 1
	}
	return found
}

// kilometres is the length of the great circle between two points, by the haversine formula on a sphere of 6371 km.
func kilometres(lat1, lon1, lat2, lon2 float64) float64 {
	const rad = math.Pi / 180
	s, c := math.Sin((lat2-lat1)/2*rad), math.Sin((lon2-lon1)/2*rad)
	h := s*s + math.Cos(lat1*rad)*math.Cos(lat2*rad)*c*c
	return 2 * 6371 * math.Asin(math.Sqrt(min(1, h)))
}
