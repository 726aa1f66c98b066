package phenology

import "math"

const (
	// rangeEdgeKM is how far from a mapped range a site still counts as in it: the maps are drawn in cells of some 25
	// km.
	rangeEdgeKM = 25
	// Outside its range a tree is planted, of seed from nobody knows where, and in the long run of another climate: its
	// dates get a day of standard deviation for each so many kilometres, up to farthest. Our own choice.
	rangeKMPerDay = 50
	farthestKM    = 500
)

// KilometresOutside returns how far a site lies outside where a species is at home, native or naturalized, in
// kilometres: 0 if it is in it or within 25 km of it, or if nothing is known of where it grows. North of the equator
// it goes by the map of the native range, if there is one, else by the rough box of [Range].
func (s *Species) KilometresOutside(site Site) float64 {
	switch {
	case s.native == nil || site.Latitude < 0:
		if s.Range == nil {
			return 0
		}
		return s.Range.KilometresOutside(site)
	}
	km := s.native(site.Latitude, site.Longitude)
	if s.Range != nil && s.Range.Naturalized != nil {
		km = min(km, s.Range.Naturalized.KilometresOutside(site))
	}
	if km <= rangeEdgeKM {
		return 0
	}
	return km
}

// homeEdgeKM is how far outside a mapped range a place may lie for a species to be at home there all the same: on a
// shore the cell of a town may count as the sea, or the lake. A third of a cell; our own choice.
const homeEdgeKM = 8

// AtHome reports whether a site lies in where a species is at home, where there is a map to within 8 km.
func (s *Species) AtHome(site Site) bool {
	if s.native == nil || site.Latitude < 0 {
		return s.KilometresOutside(site) == 0
	}
	return s.native(site.Latitude, site.Longitude) <= homeEdgeKM ||
		s.Range != nil && s.Range.Naturalized != nil && s.Range.Naturalized.KilometresOutside(site) == 0
}

// OutsideSD returns by how many days a date is less sure for a tree that stands so many kilometres outside its range.
func OutsideSD(km float64) float64 { return min(km, farthestKM) / rangeKMPerDay }

// outside widens a date by what it is less sure for outside the species' range; what was seen there in other years
// takes that away as it takes away the rest of the doubt.
func (e *estimator) outside(est Estimate) Estimate {
	far := e.outlook.memo.outside.of(e.species, func() float64 {
		return e.species.KilometresOutside(e.outlook.Site)
	})
	if far == 0 {
		return est
	}
	return est.Widened(OutsideSD(far) / float64(1+est.Seen))
}

// KilometresOutside returns how far a site lies outside the range, be it native or naturalized, in kilometres, 0 if it
// is in it. A range is a rough box, so the answer is rough too. A site of the other hemisphere, where the species can
// only have been planted, is compared by its mirrored latitude alone.
func (r *Range) KilometresOutside(site Site) float64 {
	if r.Naturalized != nil {
		native := *r
		native.Naturalized = nil
		return min(native.KilometresOutside(site), r.Naturalized.KilometresOutside(site))
	}
	if len(r.Parts) > 0 {
		km := math.Inf(1)
		for i := range r.Parts {
			km = min(km, r.Parts[i].KilometresOutside(site))
		}
		return km
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
