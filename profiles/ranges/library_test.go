package ranges_test

import (
	"testing"

	"treewhen/phenology"
	"treewhen/profiles"
	"treewhen/profiles/ranges"
)

// The ranges are of species that the library has, and lie where the profiles' own rough boxes say: of the points of
// a grid that a range holds, nearly all are within 200 km of its species' box.
func TestRangesOfTheLibrary(t *testing.T) {
	for _, id := range ranges.Species() {
		sp, err := profiles.Builtin().Find(id)
		if err != nil {
			t.Error(err)
			continue
		}
		if sp.Range == nil {
			continue
		}
		held, n := 0.0, 0.0
		for lat := 24.5; lat < 72; lat++ {
			for lon := -169.5; lon < -52; lon++ {
				if inside, _ := ranges.At(id, lat, lon); inside {
					n++
					if sp.Range.KilometresOutside(phenology.Site{Latitude: lat, Longitude: lon}) <= 200 {
						held++
					}
				}
			}
		}
		if n == 0 || held/n < 0.9 {
			t.Errorf("%s: of %.0f points of its range %.2f lie in its box or within 200 km", id, n, held/n)
		}
	}
}
