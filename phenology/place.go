package phenology

import (
	"fmt"
	"math"
)

// How far a date may be carried from the place where it was observed, and how its spread grows on the way. The law's
// authors give no error; these are our own choice, and hindcasts against sites far apart are the way to better ones.
const (
	placeReachKM   = 1500 // kilometres; beyond, no date
	placeReachDays = 35   // days moved; beyond, no date
	placeFixedSD   = 3.0  // days: one site beside another in the same landscape
	placeShareSD   = 0.3  // days for each day moved
	placePerKM     = 1. / 200
)

// place dates a phase from its reference dates, moved by the bioclimatic law and weighted by how surely each can be
// moved. A handbook's months, where the profile has them, bound it.
func (o *Outlook) place(r *PhaseRecord, season Season) Estimate {
	est := Estimate{Phase: r.Phase, Season: season, Basis: BasisNone}
	nearest := math.Inf(1)
	var total float64
	for _, ref := range r.References {
		km := Distance(ref.Latitude, ref.Longitude, o.Site.Latitude, o.Site.Longitude)
		if o.Site.Southern() != (ref.Latitude < 0) {
			// A reference of the other hemisphere serves at its mirrored latitude; what its distance means there
			// nobody knows, so the law alone widens it.
			km = Distance(-ref.Latitude, ref.Longitude, o.Site.Latitude, ref.Longitude)
		}
		nearest = min(nearest, km)
		moved := Shift(ref.Latitude, ref.Longitude, ref.Elevation, o.Site.Latitude, o.Site.Longitude, o.Site.Elevation)
		if o.Site.Southern() != (ref.Latitude < 0) {
			moved = Shift(-ref.Latitude, ref.Longitude, ref.Elevation, o.Site.Latitude, ref.Longitude, o.Site.Elevation)
		}
		if km > placeReachKM || math.Abs(moved) > placeReachDays {
			continue
		}
		day := ref.Day
		switch r.Moves {
		case MovesLater:
			day += moved
		case MovesEarlier:
			day -= moved
		}
		sd := math.Hypot(ref.Spread, placeFixedSD+placeShareSD*math.Abs(moved)+placePerKM*km)
		w := 1 / (sd * sd)
		est.Dist = append(est.Dist, Component{Mean: r.Months.clamp(day), SD: sd, Weight: w})
		total += w
	}
	if len(est.Dist) == 0 {
		if math.IsInf(nearest, 1) {
			est.Reason = fmt.Sprintf("the profile gives no date for %s at any place", r.Phase)
		} else {
			est.Reason = fmt.Sprintf("the nearest place with a date for %s is %.0f km off or too unlike; dates are moved %d km and %d days at most",
				r.Phase, nearest, placeReachKM, placeReachDays)
		}
		return est
	}
	for i := range est.Dist {
		est.Dist[i].Weight /= total
	}
	est.Basis = BasisPlace
	return est
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
