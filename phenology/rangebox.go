package phenology

import "math"

// KilometresOutside returns how far a site lies outside the range, be it native or naturalized, in kilometres, 0 if it
// is in it. A range is a rough box, so the answer is rough too. A site of the other hemisphere, where the species can
// only have been planted, is compared by its mirrored latitude alone.
func (r *Range) KilometresOutside(site Site) float64 {
	if r.Naturalized != nil {
		native := *r
		native.Naturalized = nil
		return min(native.KilometresOutside(site), r.Naturalized.KilometresOutside(site))
	}
	lat, lon := site.Latitude, site.Longitude
	if (lat < 0) != (r.South+r.North < 0) {
		lat, lon = -lat, (r.West+r.East)/2
	}
	return Distance(max(r.South, min(lat, r.North)), nearestLongitude(r, lon), lat, lon)
}

// nearestLongitude returns the longitude of the range that is nearest to one, the shorter way round.
func nearestLongitude(r *Range, lon float64) float64 {
	if lon >= r.West && lon <= r.East {
		return lon
	}
	west, east := math.Abs(math.Remainder(lon-r.West, 360)), math.Abs(math.Remainder(lon-r.East, 360))
	if west < east {
		return r.West
	}
	return r.East
}

// Widened returns the estimate with its spread grown by so many days of standard deviation. What was seen or reached
// stays as it is.
func (e Estimate) Widened(days float64) Estimate {
	if !e.HasDate() || e.Basis <= BasisReached {
		return e
	}
	e.Dist = e.Dist.Later(0, days)
	return e
}

// Moved returns the estimate so many days later. What was seen stays as it is.
func (e Estimate) Moved(days float64) Estimate {
	if !e.HasDate() || e.Basis == BasisSeen {
		return e
	}
	e.Dist = e.Dist.Later(days, 0)
	return e
}
