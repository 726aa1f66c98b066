package main

import "math"

// The map: an Albers equal-area conic (Snyder 1987, Map Projections, USGS Professional Paper 1395, equations 14-3 to
// 14-6, on a sphere; from memory), in units of so many to a radius of the Earth.
const (
	width, height      = 640, 500
	scale              = 930.0
	north1, north2     = 30.0, 47.0 // the parallels that are true
	middleLat, middleE = 38.8, -79.5
	radian             = math.Pi / 180
)

// cone is the projection's constants: how fast meridians turn, and the term of the parallels' radii.
func cone() (n, c float64) {
	n = (math.Sin(north1*radian) + math.Sin(north2*radian)) / 2
	return n, math.Pow(math.Cos(north1*radian), 2) + 2*n*math.Sin(north1*radian)
}

// project returns a point's place on the map, from the upper left.
func project(latitude, longitude float64) (x, y float64) {
	n, c := cone()
	rho := func(lat float64) float64 { return math.Sqrt(c-2*n*math.Sin(lat*radian)) / n }
	theta := n * (longitude - middleE) * radian
	return width/2 + scale*rho(latitude)*math.Sin(theta),
		height/2 - scale*(rho(middleLat)-rho(latitude)*math.Cos(theta))
}

// unproject is project the other way.
func unproject(x, y float64) (latitude, longitude float64) {
	n, c := cone()
	rho0 := math.Sqrt(c-2*n*math.Sin(middleLat*radian)) / n
	x, y = (x-width/2)/scale, (height/2-y)/scale
	rho := math.Hypot(x, rho0-y)
	return math.Asin((c-rho*rho*n*n)/(2*n)) / radian, middleE + math.Atan2(x, rho0-y)/n/radian
}

// cell is a quarter of a degree, by its row and column from the equator and Greenwich.
type cell struct{ row, column int }

// cellAt is the cell that a point lies in.
func cellAt(latitude, longitude float64) cell {
	return cell{int(math.Floor(latitude * 4)), int(math.Floor(longitude * 4))}
}
