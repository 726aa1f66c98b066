// Package climate answers: how warm is each month here, as a rule? It holds the monthly normals (the means of daily
// minimum and maximum, 1991 to 2020) of the land of North America from 24 to 72 degrees north, in cells of a
// quarter of a degree, for places that have no station of their own. It knows nothing of trees.
//
// The table is made by cmd/placemake; see [Attribution], which goes wherever a figure of it goes. How far off it
// may be says [Cell.Error], which is the first thing to look at: the normals are good in the east, fair in the
// west, and bad on its coasts and in its mountains.
package climate

import "math"

// Attribution says whose work the table is.
const Attribution = "Climate: derived from CRU CL 2.0 (New and others 2002, Climate Research 21:1-25) " +
	"and NOAA gridded climate normals 1991-2020."

// How temperatures fall with height in the table: it was interpolated with these rates, so that taking a figure
// from one height of a cell to another with them is what its makers did. Degrees Celsius per kilometre.
const (
	LapseMin = 4.0 // of minima
	LapseMax = 6.0 // of maxima
)

// By how much the table is too cold in the east, in K, and added to it. At ten stations of which NOAA's normals
// were at hand its minima were 1.12 and its maxima 0.27 too low, each station's mean between 0.3 and 1.1; so were,
// by 0.4 to 1.1 in the mean, four forests' own thermometers (Harvard Forest; Bartlett, Willow Creek and
// Morgan-Monroe of AmeriFlux). It is nearly all of the error that was measured for the table. West of 100 degrees
// west nothing tells; the correction fades to nothing at 110.
const (
	coldMin, coldMax  = 1.0, 0.3
	fadesFrom, fadeTo = -100.0, -110.0 // degrees of longitude
)

// Cell is what is normal at a point.
type Cell struct {
	Latitude, Longitude float64 // of the point, decimal degrees, north and east positive
	// Elevation is the height that Min and Max are of, in metres: that of the country about the point, which in
	// hills may be some hundred metres from the point's own. See [Cell.MovedTo].
	Elevation float64
	Min, Max  [12]float64 // means of daily minimum and maximum, degrees Celsius, January first
	// Relief is the difference in metres between the highest and the lowest of the cells about the point, each of
	// which is itself a mean over some 25 km. It tells plains from mountains.
	Relief float64
}

// How far from the middle of a cell of land, in cells, a point still counts as land: a harbour, or an island of no
// cell of its own. Nantucket does, the Florida Keys do not. Our own choice.
const reach = 3

// At returns what is normal at a point, north and east positive, at the height of the country about it. There is
// none (false) outside North America, at sea more than three quarters of a degree from a cell of land, and where a
// coordinate is no number.
//
// The four cells about a point are taken to sea level, weighed by how near each is (bilinear), and brought to their
// mean height. Left out and told from its neighbours in this way a cell comes out 0.16 K off, from the nearest one
// moved by height 0.30, from the nearest one as it is 0.62 (root mean square; a test measures it).
func At(latitude, longitude float64) (Cell, bool) {
	if !(latitude >= -90 && latitude <= 90 && longitude >= -180 && longitude <= 180) {
		return Cell{}, false
	}
	t := table()
	// Cells are numbered from their corner; their figures are those of their middles.
	y, x := latitude/step-0.5, longitude/step-0.5
	south, west := int(math.Floor(y)), int(math.Floor(x))
	up, right := y-float64(south), x-float64(west)

	c := Cell{Latitude: latitude, Longitude: longitude}
	total := 0.0
	add := func(row, column int, weight float64) {
		if weight <= 0 {
			return
		}
		if r := t.at(row, column); r != nil {
			c.add(r, weight)
			total += weight
		}
	}
	add(south, west, (1-up)*(1-right))
	add(south, west+1, (1-up)*right)
	add(south+1, west, up*(1-right))
	add(south+1, west+1, up*right)
	if total == 0 {
		row, column, ok := t.nearest(y, x)
		if !ok {
			return Cell{}, false
		}
		add(row, column, 1)
	}
	c.scale(1 / total)
	share := max(0, min(1, (longitude-fadeTo)/(fadesFrom-fadeTo)))
	for m := range 12 {
		c.Min[m] += coldMin * share
		c.Max[m] += coldMax * share
	}
	c.Relief = t.relief(int(math.Round(y)), int(math.Round(x)))
	return c, true
}

// EachCell calls f for every cell of land, from the south and the west, with its middle and its height in metres.
func EachCell(f func(latitude, longitude, elevation float64)) {
	t := table()
	for row := firstRow; row < lastRow; row++ {
		for column := firstColumn; column < lastColumn; column++ {
			if r := t.at(row, column); r != nil {
				f((float64(row)+0.5)*step, (float64(column)+0.5)*step, float64(r.elevation))
			}
		}
	}
}

// The cells that the table may have: 24 to 72 degrees north, 170 to 52 degrees west.
const (
	firstRow, lastRow       = 24 * 4, 72 * 4
	firstColumn, lastColumn = -180 * 4, -50 * 4
)

// add adds a record, at sea level, with a weight.
func (c *Cell) add(r *record, weight float64) {
	height := float64(r.elevation)
	c.Elevation += weight * height
	for m := range 12 {
		c.Min[m] += weight * (float64(r.tenths[m])/10 + LapseMin*height/1000)
		c.Max[m] += weight * (float64(r.tenths[12+m])/10 + LapseMax*height/1000)
	}
}

// scale divides sums by their weight and takes them from sea level to the cell's height.
func (c *Cell) scale(by float64) {
	c.Elevation *= by
	for m := range 12 {
		c.Min[m] = c.Min[m]*by - LapseMin*c.Elevation/1000
		c.Max[m] = c.Max[m]*by - LapseMax*c.Elevation/1000
	}
}

// nearest returns the nearest cell of land to a point in cells.
func (t *cells) nearest(y, x float64) (row, column int, ok bool) {
	// Cells narrow towards the pole.
	narrow := math.Cos((y + 0.5) * step * math.Pi / 180)
	least := math.Inf(1)
	for r := int(y) - reach; r <= int(y)+reach; r++ {
		for c := int(math.Floor(x)) - reach; c <= int(math.Floor(x))+reach; c++ {
			d := math.Hypot(float64(r)-y, (float64(c)-x)*narrow)
			if d < least && d <= reach && t.at(r, c) != nil {
				least, row, column, ok = d, r, c, true
			}
		}
	}
	return row, column, ok
}

// relief returns the difference in height between the highest and lowest cells of land within one of a cell.
func (t *cells) relief(row, column int) float64 {
	low, high := math.Inf(1), math.Inf(-1)
	for r := row - 1; r <= row+1; r++ {
		for c := column - 1; c <= column+1; c++ {
			if rec := t.at(r, c); rec != nil {
				low, high = min(low, float64(rec.elevation)), max(high, float64(rec.elevation))
			}
		}
	}
	return max(0, high-low)
}

// MovedTo returns the normals as they would be at another height, in metres, by [LapseMin] and [LapseMax]. Far up,
// maxima that have come below the minima are brought to the mean of both.
func (c Cell) MovedTo(elevation float64) Cell {
	up := (elevation - c.Elevation) / 1000
	c.Elevation = elevation
	for m := range 12 {
		c.Min[m] -= LapseMin * up
		c.Max[m] -= LapseMax * up
		if c.Max[m] < c.Min[m] {
			c.Min[m] = (c.Min[m] + c.Max[m]) / 2
			c.Max[m] = c.Min[m]
		}
	}
	return c
}

// Mean returns a month's mean temperature, the middle between its minimum and maximum, January being 0.
func (c Cell) Mean(month int) float64 { return (c.Min[month] + c.Max[month]) / 2 }
