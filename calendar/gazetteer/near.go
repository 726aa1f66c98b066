package gazetteer

import (
	"cmp"
	"math"
	"slices"
)

// Nearest returns the town that is nearest to a point, and how far off it is in kilometres.
func Nearest(latitude, longitude float64) (*Town, float64) {
	t := load()
	best, at := -1, math.Inf(1)
	for i := range t.towns {
		if d := kilometres(latitude, longitude, t.towns[i].Latitude, t.towns[i].Longitude); d < at {
			best, at = i, d
		}
	}
	return &t.towns[best], at
}

// Found is a town and how far off it is.
type Found struct {
	*Town
	Kilometres float64
}

// Near returns the towns within some kilometres of a point, the nearest first.
func Near(latitude, longitude, within float64) (list []Found) {
	for _, p := range parts() {
		if !p.reaches(latitude, longitude, within) {
			continue
		}
		towns := p.towns()
		for i := range towns {
			t := &towns[i]
			if math.Abs(t.Latitude-latitude) > within/leastDegree {
				continue
			}
			if d := kilometres(latitude, longitude, t.Latitude, t.Longitude); d <= within {
				list = append(list, Found{t, d})
			}
		}
	}
	slices.SortStableFunc(list, func(a, b Found) int { return cmp.Compare(a.Kilometres, b.Kilometres) })
	return list
}

// leastDegree is the length of a degree of latitude in kilometres, a little less than it has anywhere.
const leastDegree = 110

// reaches reports whether a town of the part may lie within some kilometres of a point.
func (p *part) reaches(latitude, longitude, within float64) bool {
	margin := within / leastDegree
	if latitude < p.south-margin || latitude > p.north+margin {
		return false
	}
	// A degree of longitude is shortest where one is farthest from the equator.
	poleward := min(89, max(math.Abs(latitude), math.Abs(p.south), math.Abs(p.north))+margin)
	margin /= math.Cos(poleward * math.Pi / 180)
	for _, turn := range []float64{-360, 0, 360} {
		if l := longitude + turn; l >= p.west-margin && l <= p.east+margin {
			return true
		}
	}
	return false
}

// Countries returns the countries of the towns that keep a time zone, by their codes: none for a zone of no town.
func Countries(zone string) (list []string) {
	for _, p := range parts() {
		if slices.Contains(p.zones, zone) && !slices.Contains(list, p.region.Country) {
			list = append(list, p.region.Country)
		}
	}
	slices.Sort(list)
	return list
}

// kilometres is the length of the great circle between two points, by the haversine formula on a sphere of 6371 km.
func kilometres(lat1, lon1, lat2, lon2 float64) float64 {
	const rad = math.Pi / 180
	s, c := math.Sin((lat2-lat1)/2*rad), math.Sin((lon2-lon1)/2*rad)
	h := s*s + math.Cos(lat1*rad)*math.Cos(lat2*rad)*c*c
	return 2 * 6371 * math.Asin(math.Sqrt(min(1, h)))
}
