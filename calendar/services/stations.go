package services

import (
	"cmp"
	"math"
	"regexp"
	"slices"
	"strings"

	"treewhen/phenology"
	"treewhen/phenology/civil"
)

// Station is one that a service knows.
type Station struct {
	ID, Name            string // the name is the service's own, for the log alone
	Latitude, Longitude float64
	Elevation           *float64 // metres; nil where the service does not say
	First, Last         civil.Date
	Fullness            float64 // share of the days that have values; NaN where the service does not say
}

// Stations are those of one answer that have temperatures, days and a place.
type Stations struct {
	List []Station
	Rows int // of the answer
	More int // how many rows there are in all; 0 where the answer has them all
}

// sound reports whether a station can be asked for.
func (s *Station) sound(identifier *regexp.Regexp) bool {
	return identifier.MatchString(s.ID) && math.Abs(s.Latitude) <= 90 && math.Abs(s.Longitude) <= 180 &&
		s.First <= s.Last && s.First.Year() > 1700 && s.Last.Year() < 2200
}

// How stations are weighed: in kilometres of distance. All of it is our own choice.
const (
	Within        = 60.0 // kilometres within which stations are looked for
	metresAKm     = 10.0 // of height that count as a kilometre: height changes dates more than distance does
	unknownHeight = 10.0 // kilometres, where a height is not known
	observer      = 5.0  // for a cooperative observer, who reads in the morning as a rule
	missingYear   = 1.5  // for each of thirty years that a record lacks
	silent        = 5.0  // for a station that reports no more, beside one that does
	wanted        = 30   // years
	mostCost      = 120.0
	// Fresh is for how many days back a station counts as one that reports.
	Fresh = 45
)

// Kilometres returns how far a station is from a point.
func (s *Station) Kilometres(at Point) float64 {
	return phenology.Distance(at.Latitude, at.Longitude, s.Latitude, s.Longitude)
}

// Climb returns by how many metres a station stands higher than a point; NaN where that is not known.
func (s *Station) Climb(at Point) float64 {
	if s.Elevation == nil {
		return math.NaN()
	}
	return *s.Elevation - at.Elevation
}

// Reports reports whether a station still had a value lately.
func (s *Station) Reports(today civil.Date) bool { return s.Last >= today-Fresh }

// covered returns how many years stations have together, of the thirty before a day.
func covered(today civil.Date, list ...*Station) float64 {
	const year = 365.25
	whole := civil.Span{First: today.AddYears(-wanted), Last: today}
	share := make([]float64, whole.Days())
	for _, s := range list {
		full := s.Fullness
		if math.IsNaN(full) {
			full = 0.9 // most that are listed with daily values have nearly all
		}
		in := whole.Intersect(civil.Span{First: s.First, Last: s.Last})
		for d := in.First; d <= in.Last; d++ {
			at := &share[d-whole.First]
			*at = max(*at, full)
		}
	}
	days := 0.0
	for _, v := range share {
		days += v
	}
	return days / year
}

// cost is how far off a station is, all told, in kilometres.
func (s *Station) cost(at Point) float64 {
	cost := s.Kilometres(at)
	if climb := s.Climb(at); math.IsNaN(climb) {
		cost += unknownHeight
	} else {
		cost += math.Abs(climb) / metresAKm
	}
	if strings.HasPrefix(s.ID, "USC") { // identifiers of GHCN-Daily; from memory
		cost += observer
	}
	return cost
}

// Nearest returns the stations that may serve at a point, the best first, so many at most.
func Nearest(list []Station, at Point, most int) []Station {
	list = slices.Clone(list)
	slices.SortStableFunc(list, func(a, b Station) int {
		return cmp.Or(cmp.Compare(a.cost(at), b.cost(at)), cmp.Compare(a.ID, b.ID))
	})
	list = slices.DeleteFunc(list, func(s Station) bool { return s.cost(at) > mostCost })
	return list[:min(most, len(list))]
}

// Pick returns the one or two stations that serve best at a point together, the one that still reports first: its level
// is that of the joined record. Where none reports, the longest record nearby comes alone.
func Pick(list []Station, at Point, today civil.Date) []Station {
	list = Nearest(list, at, len(list))
	best := func(worth func(s *Station) (float64, bool)) *Station {
		var found *Station
		least := math.Inf(1)
		for i := range list {
			if w, ok := worth(&list[i]); ok && w < least {
				found, least = &list[i], w
			}
		}
		return found
	}
	alone := func(s *Station) float64 { return s.cost(at) + missingYear*(wanted-covered(today, s)) }
	first := best(func(s *Station) (float64, bool) { return alone(s), s.Reports(today) })
	if first == nil {
		if first = best(func(s *Station) (float64, bool) { return alone(s), covered(today, s) >= 1 }); first == nil {
			return nil
		}
		return []Station{*first}
	}
	second := best(func(s *Station) (float64, bool) {
		w := s.cost(at) + missingYear*(wanted-covered(today, first, s))
		if !s.Reports(today) {
			w += silent
		}
		return w, s != first && covered(today, s) >= 1
	})
	if second == nil {
		return []Station{*first}
	}
	return []Station{*first, *second}
}
