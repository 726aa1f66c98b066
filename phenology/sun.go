package phenology

import (
	"fmt"
	"math"
	"time"

	"treewhen/phenology/civil"
)

// sunriseAltitude is that of the sun's centre at sunrise and sunset, in degrees. Its upper limb then stands on a level
// horizon: 34' of refraction and 16' of semidiameter, the round figures of the almanacs. Terrain, height above the
// horizon and the day's weather move the real sunrise by minutes.
const sunriseAltitude = -50.0 / 60

// DayLengthAt returns the hours from sunrise to sunset, in [0, 24], on d at latitude degrees north (negative south) and
// longitude degrees east (negative west). The sun is up while its upper limb, refracted, is above a level horizon; its
// declination is that of the place's mean noon, 12 h UT less longitude / 15. In polar night the day is 0 and in
// midnight sun 24, never NaN. It panics if latitude is not in [-90, 90] or longitude not in [-180, 180].
//
// Source: the sun's coordinates of low accuracy of Meeus (1998), Astronomical Algorithms, 2nd ed., chapter 25, and the
// hour angle of his chapter 15, from memory. Against two general-purpose astronomy libraries (the test names them) it
// is within half a minute to latitude 65; from there to 75, where the sun grazes the horizon, it was up to 3.3 minutes
// off on single days.
func DayLengthAt(latitude, longitude float64, d civil.Date) float64 {
	checkPlace(latitude, longitude)
	sinLat, cosLat := math.Sincos(latitude * degree)
	sinDec, cosDec := sunAt(meanNoon(longitude, d)).declination()
	return 24 / math.Pi * halfDayArc(sinLat, cosLat, sinDec, cosDec, sinSunriseAltitude)
}

// SunTimes returns when the sun rises and sets on d at latitude degrees north and longitude degrees east, in UTC and
// rounded to the second. The day is the one around the place's own mean noon, whatever its clocks say, so either
// moment can fall on another date in UTC. It reports false in polar night and in midnight sun; [DayLengthAt] tells
// them apart. It panics if latitude is not in [-90, 90] or longitude not in [-180, 180].
//
// Sources as for [DayLengthAt], with the equation of time of Meeus (1998), chapter 28 (W. M. Smart's series), from
// memory. Against a general-purpose astronomy library (the test names it) it is within 8 seconds to latitude 60, but
// no real horizon is that level: give it to users in whole minutes.
func SunTimes(latitude, longitude float64, d civil.Date) (rise, set time.Time, ok bool) {
	return sunCrossings(latitude, longitude, d, sinSunriseAltitude)
}

const degree = math.Pi / 180 // radians

var sinSunriseAltitude = math.Sin(sunriseAltitude * degree)

func checkPlace(latitude, longitude float64) {
	if !(latitude >= -90 && latitude <= 90) || !(longitude >= -180 && longitude <= 180) {
		panic(fmt.Sprintf("phenology: no place at latitude %v, longitude %v", latitude, longitude))
	}
}

// meanNoon returns local mean noon of d in days from the epoch J2000.0, 2000-01-01 12 h. The difference between
// universal and terrestrial time, about 70 s, moves the declination by a second of arc and is left out.
func meanNoon(longitude float64, d civil.Date) float64 {
	const j2000 = 10957 // civil.Of(2000, time.January, 1)
	return float64(d-j2000) - longitude/360
}

// solar is where the sun stands at a moment. Angles are in radians.
type solar struct {
	meanLongitude, meanAnomaly, eccentricity float64
	sinApparent                              float64 // sine of the apparent ecliptic longitude
	sinObliquity                             float64
	sinAnomaly, cosAnomaly                   float64
}

// sunAt returns the sun's place at a time in days from J2000.0. Source: Meeus (1998), chapter 25, "low accuracy", which
// he gives as good to 0.01 degrees of longitude.
func sunAt(days float64) solar {
	t := days / 36525 // Julian centuries
	var s solar
	s.meanLongitude = (280.46646 + t*(36000.76983+t*0.0003032)) * degree
	s.meanAnomaly = (357.52911 + t*(35999.05029-t*0.0001537)) * degree
	s.eccentricity = 0.016708634 - t*(0.000042037+t*0.0000001267)
	s.sinAnomaly, s.cosAnomaly = math.Sincos(s.meanAnomaly)
	// The equation of the centre; sin 2M and sin 3M by the multiple-angle formulas, since this runs for every day of
	// decades at thousands of sites.
	sin2 := 2 * s.sinAnomaly * s.cosAnomaly
	sin3 := s.sinAnomaly * (3 - 4*s.sinAnomaly*s.sinAnomaly)
	centre := (1.914602-t*(0.004817+t*0.000014))*s.sinAnomaly + (0.019993-t*0.000101)*sin2 + 0.000289*sin3
	// Aberration, and the largest term of nutation through the moon's node.
	sinNode, cosNode := math.Sincos((125.04 - 1934.136*t) * degree)
	s.sinApparent = math.Sin(s.meanLongitude + (centre-0.00569-0.00478*sinNode)*degree)
	obliquity := 23.4392911 - 0.0130042*t + 0.00256*cosNode // 23 degrees 26' 21.448" in 2000
	s.sinObliquity = math.Sin(obliquity * degree)
	return s
}

// declination returns the sine and cosine of the sun's declination.
func (s solar) declination() (sin, cos float64) {
	sin = s.sinObliquity * s.sinApparent
	return sin, math.Sqrt(1 - sin*sin)
}

// equationOfTime returns apparent less mean solar time, in days.
func (s solar) equationOfTime() float64 {
	tan := math.Tan(math.Asin(s.sinObliquity) / 2)
	y := tan * tan
	sin2L, cos2L := math.Sincos(2 * s.meanLongitude)
	e := s.eccentricity
	minutes := y*sin2L - 2*e*s.sinAnomaly + 4*e*y*s.sinAnomaly*cos2L -
		y*y*sin2L*cos2L - 2.5*e*e*s.sinAnomaly*s.cosAnomaly // sin 4L = 2 sin 2L cos 2L; sin 2M likewise
	return minutes / (2 * math.Pi)
}

// halfDayArc returns the hour angle at which the sun stands at an altitude, in [0, pi]: 0 if it never comes so high, pi
// if it never sinks so low. It is compared before it is divided, so that neither the poles nor rounding give NaN.
func halfDayArc(sinLat, cosLat, sinDec, cosDec, sinAltitude float64) float64 {
	above, reach := sinAltitude-sinLat*sinDec, cosLat*cosDec
	switch {
	case above >= reach:
		return 0
	case above <= -reach:
		return math.Pi
	}
	return math.Acos(above / reach)
}

// sunCrossings returns when the sun passes an altitude before and after the apparent noon of d.
func sunCrossings(latitude, longitude float64, d civil.Date, sinAltitude float64) (up, down time.Time, ok bool) {
	checkPlace(latitude, longitude)
	sinLat, cosLat := math.Sincos(latitude * degree)
	noon := meanNoon(longitude, d)
	sinDec, cosDec := sunAt(noon).declination()
	arc := halfDayArc(sinLat, cosLat, sinDec, cosDec, sinAltitude)
	if arc == 0 || arc == math.Pi {
		return time.Time{}, time.Time{}, false
	}
	crossing := func(side float64) time.Time {
		at := noon + side*arc/(2*math.Pi)
		// The sun moves on between noon and the crossing. Two rounds are enough: more of them change no second. Near
		// the pole the arc found at noon stays the answer where the later sun would not cross at all.
		for range 2 {
			sun := sunAt(at)
			sinDec, cosDec := sun.declination()
			h := halfDayArc(sinLat, cosLat, sinDec, cosDec, sinAltitude)
			if h == 0 || h == math.Pi {
				h = arc
			}
			at = noon - sun.equationOfTime() + side*h/(2*math.Pi)
		}
		const j2000 = 946728000 // Unix time of 2000-01-01 12:00 UTC
		return time.Unix(j2000+int64(math.Round(at*24*60*60)), 0).UTC()
	}
	return crossing(-1), crossing(+1), true
}
