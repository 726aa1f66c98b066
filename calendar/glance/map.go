package glance

import (
	"fmt"
	"math"
)

// Map is where places lie, drawn flat: a stereographic projection about their middle (Snyder 1987, Map Projections,
// USGS Professional Paper 1395, equations 21-2 to 21-4 on a sphere; from memory), which keeps angles and, over a
// region, sizes.
type Map struct {
	Wide, High float64
	Grid       [][]Point // parallels and meridians
	Coast      [][]Point
	Dots       []PlacedDot
	Labels     []Label // of the grid
}

// Dot is a place on a map.
type Dot struct {
	Latitude, Longitude float64 // decimal degrees
	Band                int     // what tells it from others
}

// PlacedDot is a dot where it is drawn.
type PlacedDot struct {
	Point
	Band int
}

// Point is a place on the drawing, from its upper left corner.
type Point struct{ X, Y float64 }

// Label is a text on the drawing.
type Label struct {
	Point
	Text string
}

// projection is a stereographic one.
type projection struct {
	lat, lon float64 // of its middle, radians
	scale    float64
	mid      Point
}

func (p projection) at(latitude, longitude float64) (Point, bool) {
	lat, lon := latitude*math.Pi/180, longitude*math.Pi/180-p.lon
	cos := math.Sin(p.lat)*math.Sin(lat) + math.Cos(p.lat)*math.Cos(lat)*math.Cos(lon)
	if cos < -0.2 { // the other side of the Earth
		return Point{}, false
	}
	k := 2 / (1 + cos) * p.scale
	return Point{
		p.mid.X + k*math.Cos(lat)*math.Sin(lon),
		p.mid.Y - k*(math.Cos(p.lat)*math.Sin(lat)-math.Sin(p.lat)*math.Cos(lat)*math.Cos(lon)),
	}, true
}

// leastDegrees is how much of the Earth a map shows at least: below that coasts are too rough to tell anything.
const leastDegrees = 2.0

// NewMap places dots on a map of a size with the coasts around them; nil where there are none. A frame is kept free.
func NewMap(dots []Dot, wide, high float64) *Map {
	if len(dots) == 0 {
		return nil
	}
	m := &Map{Wide: wide, High: high}
	p := fitting(dots, wide, high)
	for _, d := range dots {
		at, _ := p.at(d.Latitude, d.Longitude)
		m.Dots = append(m.Dots, PlacedDot{at, d.Band})
	}
	for _, ring := range coasts() {
		m.Coast = append(m.Coast, m.within(p, ring)...)
	}
	m.addGrid(p)
	return m
}

// fitting returns the projection about the middle of some dots that shows them all.
func fitting(dots []Dot, wide, high float64) projection {
	var x, y, z float64
	for _, d := range dots {
		lat, lon := d.Latitude*math.Pi/180, d.Longitude*math.Pi/180
		x, y, z = x+math.Cos(lat)*math.Cos(lon), y+math.Cos(lat)*math.Sin(lon), z+math.Sin(lat)
	}
	p := projection{lat: math.Atan2(z, math.Hypot(x, y)), lon: math.Atan2(y, x), scale: 1}
	least := leastDegrees / 2 * math.Pi / 180
	minX, maxX, minY, maxY := -least, least, -least, least
	for _, d := range dots {
		at, _ := p.at(d.Latitude, d.Longitude)
		minX, maxX, minY, maxY = min(minX, at.X), max(maxX, at.X), min(minY, at.Y), max(maxY, at.Y)
	}
	const frame = 0.86
	p.scale = frame * min(wide/(maxX-minX), high/(maxY-minY))
	p.mid = Point{wide/2 - p.scale*(minX+maxX)/2, high/2 - p.scale*(minY+maxY)/2}
	return p
}

// within returns the parts of a line that may be seen, without points closer than half a pixel or so to one before.
func (m *Map) within(p projection, ring []Dot) [][]Point {
	var parts [][]Point
	var part []Point
	var last Point
	shown := false
	inside := func(a Point) bool { return a.X >= 0 && a.X <= m.Wide && a.Y >= 0 && a.Y <= m.High }
	end := func() {
		if len(part) > 1 {
			parts = append(parts, part)
		}
		part = nil
	}
	for _, d := range ring {
		at, ok := p.at(d.Latitude, d.Longitude)
		if !ok {
			end()
			shown = false
			continue
		}
		if inside(at) {
			if part == nil && shown {
				part = append(part, last)
			}
			if n := len(part); n == 0 || math.Hypot(at.X-part[n-1].X, at.Y-part[n-1].Y) >= 1 {
				part = append(part, at)
			}
		} else if part != nil {
			part = append(part, at)
			end()
		}
		last, shown = at, true
	}
	end()
	return parts
}

// gridSteps are the distances of parallels and meridians that may be drawn, in degrees.
var gridSteps = []float64{0.5, 1, 2, 5, 10, 20, 30}

// addGrid adds parallels and meridians, some four across.
func (m *Map) addGrid(p projection) {
	step := gridSteps[len(gridSteps)-1]
	for _, s := range gridSteps {
		if s*math.Pi/180*p.scale > m.High/4 {
			step = s
			break
		}
	}
	midLat, midLon := p.lat*180/math.Pi, p.lon*180/math.Pi
	for k := -12.0; k <= 12; k++ {
		if lat := (math.Round(midLat/step) + k) * step; math.Abs(lat) < 89 {
			m.addLine(p, func(t float64) Dot { return Dot{Latitude: lat, Longitude: midLon + t} },
				degrees(lat, "N", "S"), true)
		}
		lon := (math.Round(midLon/step) + k) * step
		m.addLine(p, func(t float64) Dot { return Dot{Latitude: max(-89, min(89, midLat+t)), Longitude: lon} },
			degrees(lon, "E", "W"), false)
	}
}

// addLine adds a line of the grid with its label, at the left of a parallel and at the foot of a meridian.
func (m *Map) addLine(p projection, at func(t float64) Dot, label string, parallel bool) {
	reach := math.Min(80, math.Max(m.Wide, m.High)/p.scale*180/math.Pi)
	var ring []Dot
	for t := -reach; t <= reach; t += reach / 40 {
		ring = append(ring, at(t))
	}
	for _, part := range m.within(p, ring) {
		m.Grid = append(m.Grid, part)
		if parallel {
			if y := part[0].Y - 3; y > 12 && y < m.High-16 {
				m.Labels = append(m.Labels, Label{Point{4, y}, label})
			}
		} else if x := part[0].X + 3; x > 40 && x < m.Wide-40 {
			m.Labels = append(m.Labels, Label{Point{x, m.High - 5}, label})
		}
	}
}

func degrees(d float64, above, below string) string {
	for d > 180 {
		d -= 360
	}
	for d < -180 {
		d += 360
	}
	side := above
	if d < 0 {
		side = below
	}
	return fmt.Sprintf("%g° %s", math.Abs(d), side)
}
