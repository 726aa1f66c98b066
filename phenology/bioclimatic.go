package phenology

import "math"

// The rates of the bioclimatic law in spring and early summer.
const (
	daysPerDegreePoleward = 4.0
	daysPerDegreeEast     = 4.0 / 5 / 2          // half of the law's: see [Shift]
	daysPerMetreUp        = 4.0 / (400 * 0.3048) // 4 days each 400 ft; the international foot is 0.3048 m by definition
)

// Shift returns how many days later a spring phase comes at one place than at another by Hopkins' bioclimatic law: 4
// days for each degree of latitude poleward and 4 for each 400 ft (122 m) up, with its longitude term halved: 2 days
// for each 5 degrees of longitude east. Negative is earlier. Latitudes are degrees north (negative south), longitudes
// degrees east (negative west), elevations metres. In late summer and autumn the law runs the other way: take the
// result's negative.
//
// The law has 4 days for each 5 degrees east. By that, spring in the Midwest would be 6 to 14 days ahead of what the
// models of the built-in species make of its monthly normals: in Wisconsin two weeks ahead of New England at one
// latitude, where the normals say a few days. Over twenty places from 35 to 47 degrees north and 68 to 94 west (a test
// in package profiles lists them and measures) dates carried by the law were 5.9 days off, and with half its longitude
// term 3.7; by the normals themselves it is 0.25 to 0.35 days for each degree east, where the law has 0.8. They would
// have a little less for latitude (3.2 days) and height (2.1 days each 100 m) as well; those rates are Hopkins' still.
//
// In the southern hemisphere poleward is south, and the result is in the southern season. Between the hemispheres it
// compares latitudes as if one were mirrored, which no source tests.
//
// The law is for eastern and central North America, and its longitude term for that continent alone: elsewhere compare
// places of one longitude. It is a fallback for places without temperatures, good over short distances (see
// [Distance]); it is not for sap, which follows freeze and thaw. Mountains differ: at Hubbard Brook, New Hampshire,
// sugar maple came 2.7 (standard error 0.4) days later for each 100 m up (Richardson and others 2006, Global Change
// Biology 12:1174), where the law says 3.3.
//
// Source: Hopkins (1918), Periodical events and natural law as guides to agricultural research and practice, Monthly
// Weather Review Supplement 9; its rates as later accounts of the law state them (from memory), the eastward one halved
// by climate normals of twenty places.
func Shift(fromLatitude, fromLongitude, fromElevation, toLatitude, toLongitude, toElevation float64) float64 {
	return daysPerDegreePoleward*(math.Abs(toLatitude)-math.Abs(fromLatitude)) +
		// The shorter way round, so that the date line is no cliff.
		daysPerDegreeEast*math.Remainder(toLongitude-fromLongitude, 360) +
		daysPerMetreUp*(toElevation-fromElevation)
}

// earthRadius is the mean radius of the Earth, (2a + b) / 3 of the Geodetic Reference System 1980 (Moritz 1980), in km.
// A sphere puts distances out by at most 0.6 percent.
const earthRadius = 6371.0088

// Distance returns the great-circle distance between two places in kilometres. Latitudes are degrees north, longitudes
// degrees east.
//
// Source: the haversine formula (Sinnott 1984, Virtues of the haversine, Sky and Telescope 68:159, from memory), which
// keeps its precision for places close together.
func Distance(fromLatitude, fromLongitude, toLatitude, toLongitude float64) float64 {
	haversine := func(degrees float64) float64 {
		s := math.Sin(degrees / 2 * degree)
		return s * s
	}
	h := haversine(toLatitude-fromLatitude) +
		math.Cos(fromLatitude*degree)*math.Cos(toLatitude*degree)*haversine(toLongitude-fromLongitude)
	return 2 * earthRadius * math.Asin(math.Sqrt(min(h, 1))) // at the antipodes rounding can pass 1
}
