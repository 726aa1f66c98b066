package phenology

import (
	"slices"

	"treewhen/phenology/civil"
)

// Estimate is when a phase comes in one season, and how sure that is.
type Estimate struct {
	Phase    Phase
	Season   Season
	Basis    Basis
	Dist     Distribution // empty if Basis is BasisNone
	Years    int          // years of record that went in; 0 where none did
	Observed civil.Date   // with BasisReached and BasisSeason: the last observed day
	Invented float64      // share, in [0, 1], of the deciding days that were filled or forecast
	Seen     int          // other years' sightings at the site that the model was moved by
	Habit    int          // other species seen at the site, of which it was learnt how its observer dates
	Climb    float64      // metres by which the temperatures were moved up to the site
	BuiltIn  float64      // with BasisNormals: degrees Celsius by which the built-in climate may be off; else 0
	Placed   float64      // with BasisNormals: the weight, of 1, that dates carried from other places have beside them
	Recalled bool         // of fruit: every date of a place that it rests on is from memory
	After    *Estimate    // the phase that the date was counted from, where a lag alone gives it; else nil
	Lack     Lack         // why there is no date, or why its basis is not a stronger one
}

// Quantile returns the date by which the phase has come with probability p, in (0, 1). It panics if e has no date.
func (e Estimate) Quantile(p float64) civil.Date { return e.Season.Nearest(e.Dist.Quantile(p)) }

// halfDay is what a date adds at either end of a span that it bounds: it stands for its whole day.
const halfDay = 0.5

// P10 returns the early date: the days from it to [Estimate.P90], both included, hold the phase in eight years of ten,
// and one in ten comes before. It panics if e has no date, as P50, P90 and Dates do.
func (e Estimate) P10() civil.Date { return e.early(e.Dist.Quantile(0.5)) }

// P50 returns the middle date, before and after which the phase comes equally often.
func (e Estimate) P50() civil.Date { return e.Quantile(0.5) }

// P90 returns the late date, by which the phase has come in nine years of ten.
func (e Estimate) P90() civil.Date { return e.late(e.Dist.Quantile(0.5)) }

// Dates returns P10, P50 and P90 in less time than the three, of which each looks for the middle.
func (e Estimate) Dates() (p10, p50, p90 civil.Date) {
	middle := e.Dist.Quantile(0.5)
	return e.early(middle), e.Season.Nearest(middle), e.late(middle)
}

func (e Estimate) early(middle float64) civil.Date {
	return e.Season.Nearest(min(e.Dist.Quantile(0.1)+halfDay, middle))
}

func (e Estimate) late(middle float64) civil.Date {
	return e.Season.Nearest(max(e.Dist.Quantile(0.9)-halfDay, middle))
}

// HasDate reports whether there is a date at all; if not, Lack tells why.
func (e Estimate) HasDate() bool { return e.Basis != BasisNone }

// By returns the probability, in [0, 1], that the phase has come by the end of a day; 0 if it cannot be dated.
func (e Estimate) By(d civil.Date) float64 {
	// A date stands for its whole day, half a day to either side of its middle.
	return e.Dist.CDF(e.Season.Day(d).End() + halfDay)
}

// Estimates are one species' estimates of one season at one site, in the order of [Phases].
type Estimates struct {
	Site    Site
	Species *Species
	Season  Season
	List    []Estimate
}

// Get returns the estimate of a phase; its basis is [BasisNone] if the species has no such phase.
func (e Estimates) Get(p Phase) Estimate {
	for i := range e.List { // an estimate is large
		if e.List[i].Phase == p {
			return e.List[i]
		}
	}
	return undated(p, e.Season, LackProfile)
}

// Cited returns the citations behind some phases, each once.
func (e Estimates) Cited(phases ...Phase) (list []Source) {
	add := func(sources ...Source) {
		for _, s := range sources {
			if !slices.Contains(list, s) {
				list = append(list, s)
			}
		}
	}
	for _, p := range phases {
		r, b := e.Species.Phase(p), e.Get(p).Basis
		if r == nil {
			continue
		}
		placed := b == BasisPlace
		if placed {
			add((&Outlook{Site: e.Site}).CarriedFrom(r)...)
		}
		if r.Model != nil && b != BasisSeen && b != BasisNone && !(placed && len(r.References) > 0) {
			add(r.Model.Source)
		}
		if r.Months != nil && placed {
			add(r.Months.Source)
		}
	}
	return list
}
