package glance

import (
	"math"
	"slices"

	"treewhen/calendar"
	"treewhen/phenology"
	"treewhen/phenology/civil"
)

// Spring is a spring against those of past years: the heat gathered so far, and when the phases of spring come.
type Spring struct {
	Site   phenology.Site
	Season phenology.Season
	Span   civil.Span // the first half of the season
	AsOf   civil.Date
	Heat   *Heat // nil where there is no record
	Rows   []SpringRow
	Chief  int // of Rows: the one that says most today, the last that has come or, if none has, the first to come
}

// Heat is the degree-days above [HeatBase] that a season gathers from its first day on, at the end of each day.
type Heat struct {
	This  []float64   // of this season, as far as it is observed or forecast
	Seen  int         // of This are observed
	Past  [][]float64 // of past seasons, whole, oldest first; NaN from the first day on that is not in the record
	Years []int       // those seasons
}

// HeatBase is the temperature above which heat is counted, in degrees Celsius: the base most used for trees of the
// temperate zone (common practice, no source).
const HeatBase = 5.0

// SpringRow is one phase of one species.
type SpringRow struct {
	Species             *phenology.Species
	Phase               phenology.Phase
	Early, Middle, Late civil.Date // of this season: p10, p50 and p90
	Basis               phenology.Basis
	Past                []civil.Date // of past seasons, in the year of this one; by season
	Usual               civil.Date   // the middle one of those
}

// Ahead returns by how many days this season is ahead of the usual; below 0: behind.
func (r *SpringRow) Ahead() int { return int(r.Usual - r.Middle) }

// springPhases are what people wait for in spring, in its order.
var springPhases = []phenology.Phase{
	phenology.SapStart, phenology.BudSwell, phenology.Flowering, phenology.BudBreak, phenology.LeafOut,
}

// mostSpringRows is how many phases stand under the heat.
const mostSpringRows = 6

// NewSpring compares the spring of the season that the as-of day lies in. It is nil where the place has too short a
// record to compare with, or where nothing of the season itself is known. Species are taken in the place's order.
func NewSpring(pl *calendar.Place, asOf civil.Date) *Spring {
	t := pl.Outlook.Temps
	if t == nil || t.Drawn() {
		return nil
	}
	season := phenology.SeasonAt(*pl.Site(), asOf)
	s := &Spring{
		Site: *pl.Site(), Season: season, AsOf: asOf,
		Span: civil.Span{First: season.Date(1), Last: season.Date(springDays)},
	}
	if t.Observed() < s.Span.First {
		return nil
	}
	if s.Heat = newHeat(t, s); len(s.Heat.Past) < phenology.MinYears {
		return nil
	}
	for _, sp := range pl.Species {
		if len(s.Rows) >= mostSpringRows {
			break
		}
		s.addRows(pl, sp)
	}
	if len(s.Rows) == 0 {
		return nil
	}
	slices.SortStableFunc(s.Rows, func(a, b SpringRow) int { return int(a.Middle - b.Middle) })
	for i := range s.Rows {
		if s.Rows[i].Basis <= phenology.BasisReached {
			s.Chief = i
		}
	}
	return s
}

// springDays is how many days of a season are drawn: to the end of June, in the south of December.
const springDays = 181

// newHeat sums up the heat of this season and of past ones.
func newHeat(t *phenology.Temperatures, s *Spring) *Heat {
	series, h := t.Series(), &Heat{}
	sums := func(first, last civil.Date) []float64 {
		var list []float64
		sum := 0.0
		for d := first; d <= last; d++ {
			day := series.At(d)
			if !day.Complete() {
				sum = math.NaN()
			} else {
				sum += phenology.SineDegreeDays(day.Min, day.Max, HeatBase)
			}
			list = append(list, sum)
		}
		return list
	}
	h.This = sums(s.Span.First, min(t.Last(), s.Span.Last))
	if cut := slices.IndexFunc(h.This, math.IsNaN); cut >= 0 {
		h.This = h.This[:cut]
	}
	h.Seen = max(0, min(len(h.This), int(min(t.Observed(), s.AsOf)-s.Span.First)+1))
	for year := series.First.Year() - 1; year < s.Season.Year; year++ {
		past := s.Site.Season(year)
		list := sums(past.Date(1), past.Date(springDays))
		if !math.IsNaN(list[len(list)-1]) {
			h.Past, h.Years = append(h.Past, list), append(h.Years, year)
		}
	}
	return h
}

// Now returns the heat of this season by the last observed day, and the middle of what past ones had by then.
func (h *Heat) Now() (now, usual float64) {
	if h.Seen == 0 {
		return 0, 0
	}
	var by []float64
	for _, p := range h.Past {
		by = append(by, p[h.Seen-1])
	}
	return h.This[h.Seen-1], phenology.QuantileOf(by, 0.5)
}

// addRows adds the phases of a species that this season's days date, and past seasons'.
func (s *Spring) addRows(pl *calendar.Place, sp *phenology.Species) {
	this := pl.Outlook.Estimate(sp, s.Season.Year)
	var past []phenology.Estimates
	for _, year := range s.Heat.Years {
		past = append(past, pl.Outlook.Estimate(sp, year))
	}
	for _, p := range springPhases {
		e := this.Get(p)
		if p == phenology.SapStart && !tapped(pl, sp) || !e.HasDate() || e.Basis > phenology.BasisSeason ||
			!s.Span.Contains(e.P50()) {
			continue
		}
		row := SpringRow{Species: sp, Phase: p, Early: e.P10(), Middle: e.P50(), Late: e.P90(), Basis: e.Basis}
		for _, was := range past {
			if w := was.Get(p); w.HasDate() && w.Basis <= phenology.BasisReached {
				row.Past = append(row.Past, s.Season.Date(was.Season.Day(w.P50())))
			}
		}
		if len(row.Past) < phenology.MinYears {
			continue
		}
		sorted := slices.Sorted(slices.Values(row.Past))
		row.Usual = sorted[len(sorted)/2]
		if len(s.Rows) < mostSpringRows {
			s.Rows = append(s.Rows, row)
		}
	}
}

// tapped reports whether a species is tapped at a place.
func tapped(pl *calendar.Place, sp *phenology.Species) bool {
	return sp.Sap.Run != nil && sp.Sap.Tapped != phenology.TappedNever &&
		slices.Contains(pl.Activities, calendar.Tapping)
}
