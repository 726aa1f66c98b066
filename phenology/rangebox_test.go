package phenology_test

import (
	"math"
	"testing"

	"treewhen/phenology"
)

// Distances are great circles on a sphere of 6371.0088 km: a degree of latitude is 111.195 km.
func TestKilometresOutsideARange(t *testing.T) {
	box := &phenology.Range{South: 30, North: 45, West: -95, East: -70}
	const degree = 2 * math.Pi * 6371.0088 / 360
	for _, tt := range []struct {
		name     string
		lat, lon float64
		want     float64
	}{
		{"inside", 40, -80, 0},
		{"on the edge", 45, -70, 0},
		{"two degrees north", 47, -80, 2 * degree},
		{"one degree south", 29, -80, degree},
		{"ten degrees west at the equator's scale times cos 40", 40, -105, 10 * degree * math.Cos(40*math.Pi/180)},
		{"mirrored in the south", -40, 172, 0},
		{"mirrored, beyond", -47, 172, 2 * degree},
	} {
		got := box.KilometresOutside(phenology.Site{Latitude: tt.lat, Longitude: tt.lon})
		// The parallel is not the shortest way: along ten degrees of it, it is a third of a percent longer.
		if math.Abs(got-tt.want) > 0.004*tt.want+1e-9 {
			t.Errorf("%s: %.1f km, want %.1f", tt.name, got, tt.want)
		}
	}
}
