package climate_test

import (
	"math"
	"testing"

	"treewhen/calendar/gazetteer"
	"treewhen/phenology/climate"
)

// The towns' elevations (GeoNames) are no source of the table: eight in ten lie within what it says of its own.
func TestElevationsOfTowns(t *testing.T) {
	type count struct{ within, n float64 }
	var east, west, serves count
	for _, town := range gazetteer.Near(45, -95, 9000) {
		c, ok := climate.At(town.Latitude, town.Longitude)
		if !ok || !town.HasElevation {
			continue
		}
		in := 0.0
		if math.Abs(c.Elevation-town.Elevation) <= c.ElevationError() {
			in = 1
		}
		of := &west
		if c.Longitude >= -100 {
			of = &east
		}
		of.within, of.n = of.within+in, of.n+1
		if c.ElevationServes() {
			serves.n++
		}
	}
	t.Logf("east %.3f of %.0f, west %.3f of %.0f; serves at %.2f of those in the east", east.within/east.n, east.n,
		west.within/west.n, west.n, serves.n/east.n)
	for _, c := range []count{east, west} {
		if c.n < 5000 || c.within/c.n < 0.75 || c.within/c.n > 0.9 {
			t.Errorf("found %.3f of %.0f within, want some eight in ten", c.within/c.n, c.n)
		}
	}
}
