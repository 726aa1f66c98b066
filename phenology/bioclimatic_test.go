package phenology

import (
	"math"
	"testing"

	"pgregory.net/rapid"
)

func TestShiftWorkedRows(t *testing.T) {
	const feet = 0.3048 // metres
	for _, row := range []struct {
		name      string
		from, to  [3]float64
		want, tol float64
	}{
		// Worked by hand from the three rates: 2 x 4 - 0.3 x 0.8/2 + 100/400 x 4.
		{"north, a little west and up", [3]float64{42.5, -72.2, 1100 * feet}, [3]float64{44.5, -72.5, 1200 * feet},
			8.88, 1e-9},
		// Each rate by itself (Hopkins 1918); the law has 4 days for five degrees east, of which half is used.
		{"a degree north", [3]float64{42, -72, 0}, [3]float64{43, -72, 0}, 4, 0},
		{"five degrees east", [3]float64{42, -75, 0}, [3]float64{42, -70, 0}, 2, 0},
		{"four hundred feet up", [3]float64{42, -72, 0}, [3]float64{42, -72, 400 * feet}, 4, 1e-12},
		{"a hundred metres up", [3]float64{42, -72, 0}, [3]float64{42, -72, 100}, 3.28, 0.005},
		{"a degree poleward in the south", [3]float64{-42, 146, 0}, [3]float64{-43, 146, 0}, 4, 0},
		{"a degree equatorward in the south", [3]float64{-43, 146, 0}, [3]float64{-42, 146, 0}, -4, 0},
		{"over the date line", [3]float64{52, -179, 0}, [3]float64{52, 179, 0}, -0.8, 1e-9},
		{"nowhere", [3]float64{42, -72, 300}, [3]float64{42, -72, 300}, 0, 0},
	} {
		wantNear(t, row.name, Shift(row.from[0], row.from[1], row.from[2], row.to[0], row.to[1], row.to[2]), row.want,
			row.tol)
	}
	// Hubbard Brook's observed slope of 2.7 (0.4) days each 100 m is lower than the law's: they agree within two
	// standard errors, and no better.
	wantNear(t, "100 m up, against Hubbard Brook", Shift(44, -71.7, 500, 44, -71.7, 600), 2.7, 2*0.4)
}

func TestShiftProperties(t *testing.T) {
	place := func(t *rapid.T, name string) [3]float64 {
		return [3]float64{rapid.Float64Range(25, 60).Draw(t, name+" latitude"),
			rapid.Float64Range(-130, -55).Draw(t, name+" longitude"),
			rapid.Float64Range(0, 3000).Draw(t, name+" elevation")}
	}
	shift := func(a, b [3]float64) float64 { return Shift(a[0], a[1], a[2], b[0], b[1], b[2]) }
	mirror := func(p [3]float64) [3]float64 { return [3]float64{-p[0], p[1], p[2]} }
	rapid.Check(t, func(t *rapid.T) {
		a, b, c := place(t, "a"), place(t, "b"), place(t, "c")
		wantNear(t, "there and back", shift(a, b)+shift(b, a), 0, 1e-9)
		wantNear(t, "by way of another place", shift(a, b)+shift(b, c), shift(a, c), 1e-9)
		wantNear(t, "mirrored in the equator", shift(mirror(a), mirror(b)), shift(a, b), 1e-9)
	})
	if got := Shift(42, -72, math.NaN(), 43, -72, 0); !math.IsNaN(got) {
		t.Errorf("from an unknown elevation: %v, want NaN", got)
	}
}

func TestDistanceRows(t *testing.T) {
	for _, row := range []struct {
		name                   string
		lat1, lon1, lat2, lon2 float64
		want, tol              float64
	}{
		{"pole to equator", 90, 0, 0, 0, math.Pi / 2 * earthRadius, 1e-9},
		// The metre was first meant to make this 10 000 km, and did within 2 km; a sphere of the mean radius makes it
		// 0.06 percent longer than the ellipsoid's 10 001.966 km (Moritz 1980).
		{"pole to equator on the ellipsoid", 90, 0, 0, 0, 10001.966, 10},
		{"antipodes", 30, 20, -30, -160, math.Pi * earthRadius, 1e-6},
		{"over the date line", 0, 179.5, 0, -179.5, math.Pi / 180 * earthRadius, 1e-9},
		// Nashville to Los Angeles airports, 2886.4 km with a radius of 6371 km: a much copied worked example of the
		// haversine formula, from memory.
		{"airports", 36.12, -86.67, 33.94, -118.40, 2886.44, 0.05},
		{"here", 42.5, -72.2, 42.5, -72.2, 0, 0},
	} {
		wantNear(t, row.name, Distance(row.lat1, row.lon1, row.lat2, row.lon2), row.want, row.tol)
	}
}

// The angle between two places is also that between their unit vectors.
func TestDistanceAgreesWithVectors(t *testing.T) {
	vector := func(lat, lon float64) [3]float64 {
		lat, lon = lat*math.Pi/180, lon*math.Pi/180
		return [3]float64{math.Cos(lat) * math.Cos(lon), math.Cos(lat) * math.Sin(lon), math.Sin(lat)}
	}
	lats, lons := rapid.Float64Range(-90, 90), rapid.Float64Range(-180, 180)
	rapid.Check(t, func(t *rapid.T) {
		lat1, lon1, lat2, lon2 := lats.Draw(t, "lat1"), lons.Draw(t, "lon1"), lats.Draw(t, "lat2"), lons.Draw(t, "lon2")
		a, b := vector(lat1, lon1), vector(lat2, lon2)
		cross := math.Hypot(math.Hypot(a[1]*b[2]-a[2]*b[1], a[2]*b[0]-a[0]*b[2]), a[0]*b[1]-a[1]*b[0])
		angle := math.Atan2(cross, a[0]*b[0]+a[1]*b[1]+a[2]*b[2])
		// Near the antipodes the haversine loses half its digits: a square root of 1e-16 of the radius is 0.1 m.
		wantNear(t, "distance", Distance(lat1, lon1, lat2, lon2), angle*earthRadius, 1e-3)
		wantNear(t, "way back", Distance(lat2, lon2, lat1, lon1), Distance(lat1, lon1, lat2, lon2), 1e-9)
	})
}
