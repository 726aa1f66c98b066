package phenology

import (
	"math"
)

// How far a date may be carried from the place where it was observed, and how its spread grows on the way. The law's
// authors give no error. These figures are set so that, of the years that monthly normals draw at twenty places up to
// 1800 km off, eight in ten lie within p10 to p90 (see [Shift]); how they share it out is our own choice, and so is the
// reach.
const (
	PlaceReachKM   = 2000 // kilometres; beyond, no date
	PlaceReachDays = 45   // days moved; beyond, no date
	placeNearDays  = 35   // days moved; beyond, only where no other date is nearer
	placeFixedSD   = 3.0  // days: one landscape beside another
	placeShareSD   = 0.2  // days for each day moved
	placePerKM     = 1. / 350
)

// away is how far a place is from another as a share of quite elsewhere: two thirds of it are reached at 50 km. Our
// own choice; it only has to leave a place of reference to its reference.
func away(km float64) float64 { return 1 - math.Exp(-km/50) }

// carriedSD is how far a date may be off for having been carried, as a standard deviation in days.
func carriedSD(moved, km float64) float64 {
	return math.Hypot(placeFixedSD*away(km), math.Hypot(placeShareSD*moved, placePerKM*km))
}

// carriedDate is a reference date carried to the site: the mean day there, its spread between years, how far it may
// be off by its own error and by having been carried, and how far for being of trees elsewhere
// ([Outlook.strangeSD]).
type carriedDate struct {
	day, spread, off, strange float64
	recalled                  bool // it is from memory
	source                    Source
}

// carry moves a phase's reference dates to the site by the bioclimatic law, leaving out those that are too far off:
// by more than 35 days, or, where all are, by more than [PlaceReachDays]. It also returns the distance in kilometres
// to the nearest of all, infinite where there is none.
func (o *Outlook) carry(r *PhaseRecord) (dates []carriedDate, nearest float64) {
	if dates, nearest = o.carryBy(r, placeNearDays); len(dates) == 0 {
		dates, nearest = o.carryBy(r, PlaceReachDays)
	}
	return dates, nearest
}

// carryBy is carry with a bound for the days moved.
func (o *Outlook) carryBy(r *PhaseRecord, reach float64) (dates []carriedDate, nearest float64) {
	nearest = math.Inf(1)
	for _, ref := range r.References {
		latitude := ref.Latitude
		longitude := ref.Longitude
		if o.Site.Southern() != (ref.Latitude < 0) {
			// A reference of the other hemisphere serves at its mirrored latitude; what its distance means there
			// nobody knows, so the law alone widens it.
			latitude, longitude = -latitude, o.Site.Longitude
		}
		km := Distance(latitude, longitude, o.Site.Latitude, o.Site.Longitude)
		nearest = min(nearest, km)
		east := o.Site.Longitude - ref.Longitude
		if longitude != ref.Longitude {
			east = 0 // no law across oceans
		}
		away := r.carriedBy(way{
			north: math.Abs(o.Site.Latitude) - math.Abs(latitude), east: east, up: o.Site.Elevation - ref.Elevation,
		})
		if km > PlaceReachKM || math.Abs(away.days) > reach {
			continue // a date that nothing moves cannot be moved too far; it is widened all the same
		}
		dates = append(dates, carriedDate{
			day:      r.Months.clamp(ref.Day + away.days),
			spread:   ref.Spread * math.Sqrt(1+shortOf(r.Phase, km)),
			off:      math.Hypot(math.Hypot(r.ownError(ref), away.unknown), carriedSD(away.law, km)),
			strange:  o.strangeSD(r, o.apart(ref), km),
			recalled: ref.Recalled(),
			source:   ref.Source,
		})
	}
	return dates, nearest
}

// CarriedFrom returns the sources of the reference dates that are near enough and like enough to date a phase at the
// site.
func (o *Outlook) CarriedFrom(r *PhaseRecord) (sources []Source) {
	dates, _ := o.carry(r)
	for _, d := range dates {
		sources = append(sources, d.source)
	}
	return sources
}

// place dates a phase from its reference dates, moved by the bioclimatic law and weighted by how surely each is
// known here: a reference of this very place by its own error, which is small, one from far off by what the way
// adds. A handbook's months, where the profile has them, bound it.
func (o *Outlook) place(r *PhaseRecord, season Season) Estimate {
	dates, nearest := o.carry(r)
	switch {
	case len(dates) == 0 && math.IsInf(nearest, 1):
		est := undated(r.Phase, season, LackPlaces)
		est.Lack.Months = r.Months
		return est
	case len(dates) == 0:
		est := undated(r.Phase, season, LackNear)
		est.Lack.KM = nearest
		return est
	}
	est := Estimate{Phase: r.Phase, Season: season, Recalled: ofFruit(r.Phase)}
	total := 0.0
	for _, c := range dates {
		est.Recalled = est.Recalled && c.recalled
		off := math.Hypot(c.off, c.strange)
		w := 1 / (off * off) // the years vary alike at all of them; what differs is how surely each is known here
		est.Dist = append(est.Dist, Component{Mean: c.day, SD: math.Hypot(c.spread, off), Weight: w})
		total += w
	}
	for i := range est.Dist {
		est.Dist[i].Weight /= total
	}
	est.Basis = BasisPlace
	return est
}

// usualDay returns a phase's mean day at the site, carried from its reference dates, and how far it may be off, by
// what each may be and by how they disagree; NaN where there is none within reach.
func (o *Outlook) usualDay(r *PhaseRecord) (day, off float64) {
	dates, _ := o.carry(r)
	if len(dates) == 0 {
		return math.NaN(), 0
	}
	var total, square, variance float64
	for _, c := range dates {
		w := 1 / (c.off * c.off)
		total += w
		day += w * c.day
		square += w * c.day * c.day
		variance += w * c.off * c.off
	}
	day /= total
	return day, math.Sqrt(variance/total + max(0, square/total-day*day))
}

// clamp keeps a day within a handbook's months; nil months keep nothing.
func (m *Months) clamp(day float64) float64 {
	if m == nil {
		return day
	}
	first, last := m.days()
	// A phase late in a long season may be counted on past the year's end; bring the months to where the day is.
	for day > last+182 {
		first, last = first+365, last+365
	}
	return max(first, min(day, last))
}

// days returns the first and last day of the months as days of a season; months past New Year run on past 365.
func (m *Months) days() (first, last float64) {
	to := m.To
	if to < m.From {
		to += 12
	}
	return monthStart(m.From), monthStart(to+1) - 1
}

// monthStart returns the day of the year on which a month begins; months past 12 run on.
func monthStart(month int) float64 {
	starts := [12]float64{1, 32, 60, 91, 121, 152, 182, 213, 244, 274, 305, 335}
	return starts[(month-1)%12] + 365*float64((month-1)/12)
}
