package phenology

import "fmt"

// Basis is what a date rests on, the strongest first.
type Basis int

// The bases.
const (
	BasisSeen    Basis = iota // the user recorded it
	BasisReached              // this season's temperatures so far have met the requirement
	BasisSeason               // this season's temperatures so far, then the site's past years
	BasisRecord               // the site's past years
	BasisNormals              // the site's monthly normals
	BasisPlace                // latitude, longitude and elevation alone
	BasisNone                 // it cannot be dated
)

var basisNames = [...]string{"seen", "reached", "season", "record", "normals", "place", "none"}

// String returns the basis's name as outputs write it.
func (b Basis) String() string {
	if b < 0 || int(b) >= len(basisNames) {
		return fmt.Sprintf("basis(%d)", int(b))
	}
	return basisNames[b]
}

// MarshalText writes the basis's name.
func (b Basis) MarshalText() ([]byte, error) { return []byte(b.String()), nil }
