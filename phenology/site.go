package phenology

import (
	"fmt"
	"math"
	"time"
)

// Site is a named place.
type Site struct {
	ID        string // a-z, 0-9 and -; what sightings name it by
	Name      string
	Latitude  float64        // decimal degrees, north positive, [-90, 90], WGS 84
	Longitude float64        // decimal degrees, east positive, [-180, 180], WGS 84
	Elevation float64        // metres above sea level
	Zone      *time.Location // of its clocks; not used here
}

// Southern reports whether the site's seasons are those of the southern hemisphere.
func (s Site) Southern() bool { return s.Latitude < 0 }

// Check returns what is impossible about the place, nil if nothing: a latitude or longitude that is none, an elevation
// below -450 or above 6000 m.
func (s Site) Check() error {
	switch {
	case math.IsNaN(s.Latitude) || s.Latitude < -90 || s.Latitude > 90:
		return fmt.Errorf("found latitude %v, want decimal degrees from -90 to 90", s.Latitude)
	case math.IsNaN(s.Longitude) || s.Longitude < -180 || s.Longitude > 180:
		return fmt.Errorf("found longitude %v, want decimal degrees from -180 to 180", s.Longitude)
	case math.IsNaN(s.Elevation) || s.Elevation < -450 || s.Elevation > 6000:
		// The shore of the Dead Sea lies at about -430 m; no tree grows at 6000 m.
		return fmt.Errorf("found elevation %v m, want -450 to 6000 m", s.Elevation)
	}
	return nil
}
