package zone

import (
	"math"
	"strings"
	"testing"
	"time"
	_ "time/tzdata"

	"pgregory.net/rapid"

	"treewhen/calendar/gazetteer"
)

// The towns' zones (GeoNames) are no source of the map: nearly all towns keep the clock that the map gives them,
// and where not, a boundary is near.
func TestTownsKeepTheirClock(t *testing.T) {
	named, clock, n := 0.0, 0.0, 0.0
	wrong := map[string]int{}
	for _, town := range gazetteer.Near(45, -95, 9900) {
		got := At(town.Latitude, town.Longitude)
		n++
		if got == town.Zone {
			named++
		}
		if sameClock(t, got, town.Zone) {
			clock++
		} else {
			wrong[town.Region.Country]++
		}
	}
	t.Logf("of %.0f towns: the same name %.4f, the same clock %.4f; another clock by country: %v", n, named/n,
		clock/n, wrong)
	if n < 39_000 || named/n < 0.98 || clock/n < 0.993 {
		t.Errorf("found the clock of %.4f of %.0f towns, want 0.993 of 39,000", clock/n, n)
	}
}

// sameClock reports whether two zones have the same time all through 2026.
func sameClock(t *testing.T, a, b string) bool {
	if a == b {
		return true
	}
	first, err := time.LoadLocation(a)
	if err != nil {
		t.Fatal(err)
	}
	second, err := time.LoadLocation(b)
	if err != nil {
		t.Fatal(err)
	}
	for m := time.January; m <= time.December; m++ {
		day := time.Date(2026, m, 15, 12, 0, 0, 0, time.UTC)
		_, x := day.In(first).Zone()
		_, y := day.In(second).Zone()
		if x != y {
			return false
		}
	}
	return true
}

// Towns after which the IANA database names its zones, at coordinates from memory, to a tenth of a degree; and the
// sea.
func TestZones(t *testing.T) {
	for _, tt := range []struct {
		lat, lon float64
		want     string
	}{
		{40.7, -74.0, "America/New_York"},
		{41.9, -87.6, "America/Chicago"},
		{39.7, -105.0, "America/Denver"},
		{33.4, -112.1, "America/Phoenix"},
		{38.3, -85.8, "America/Kentucky/Louisville"},
		{47.6, -52.7, "America/St_Johns"},
		{44.6, -63.6, "America/Halifax"},
		{50.5, -104.6, "America/Regina"},
		{61.2, -149.9, "America/Anchorage"},
		{51.5, -0.1, "Europe/London"},
		{-43.5, 172.6, "Pacific/Auckland"},
		{35, -50, "Etc/GMT+3"},
		{90, 0, "Etc/GMT"},
		{91, 0, ""},
		{0, math.NaN(), ""},
	} {
		if got := At(tt.lat, tt.lon); got != tt.want {
			t.Errorf("%v, %v: found %q, want %q", tt.lat, tt.lon, got, tt.want)
		}
	}
}

// Whatever the point, also at the map's edges: a zone that the IANA database has.
func TestAnyPoint(t *testing.T) {
	check := func(fatalf func(string, ...any), lat, lon float64) {
		if z := At(lat, lon); z == "" || strings.ContainsAny(z, "\n ") {
			fatalf("%v, %v: found %q", lat, lon, z)
		} else if _, err := time.LoadLocation(z); err != nil {
			fatalf("%v, %v: %v", lat, lon, err)
		}
	}
	for _, lat := range []float64{-90, math.Nextafter(-90, 0), 0, math.Nextafter(90, 0), 90} {
		for _, lon := range []float64{-180, math.Nextafter(-180, 0), -7.5, 0, math.Nextafter(180, 0), 180} {
			check(t.Errorf, lat, lon)
		}
	}
	rapid.Check(t, func(rt *rapid.T) {
		check(rt.Fatalf, rapid.Float64Range(-90, 90).Draw(rt, "lat"), rapid.Float64Range(-180, 180).Draw(rt, "lon"))
	})
	for _, name := range table().names {
		if _, err := time.LoadLocation(name); err != nil {
			t.Error(err)
		}
	}
}

func BenchmarkAt(b *testing.B) {
	for b.Loop() {
		At(42.53, -72.19)
	}
}
