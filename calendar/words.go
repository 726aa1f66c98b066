package calendar

import (
	"math"
	"slices"

	"treewhen/phenology"
	"treewhen/phenology/civil"
)

// Likeliest returns the earliest of the days of a span on which a probability is highest. The span must not be empty.
func Likeliest(s civil.Span, p func(civil.Date) float64) (civil.Date, float64) {
	best, top := s.First, math.Inf(-1)
	for d := s.First; d <= s.Last; d++ {
		if v := p(d); v > top+1e-9 {
			best, top = d, v
		}
	}
	return best, max(0, min(1, top))
}

// Quantile returns the p-th quantile of values, interpolated between the nearest two.
func Quantile(values []float64, p float64) float64 {
	v := slices.Sorted(slices.Values(values))
	x := p * float64(len(v)-1)
	i := int(x)
	if i+1 >= len(v) {
		return v[len(v)-1]
	}
	return v[i] + (x-float64(i))*(v[i+1]-v[i])
}

// ReasonOf returns the first reason for a missing date.
func ReasonOf(list ...phenology.Estimate) string {
	for _, e := range list {
		if !e.HasDate() && e.Reason != "" {
			return e.Reason
		}
	}
	return "no date"
}

// Cited returns the citations behind some phases of a species, each once.
func Cited(est phenology.Estimates, phases ...phenology.Phase) []phenology.Source {
	var list []phenology.Source
	add := func(source phenology.Source) {
		if !slices.Contains(list, source) {
			list = append(list, source)
		}
	}
	for _, p := range phases {
		r := est.Species.Phase(p)
		if r == nil {
			continue
		}
		switch b := est.Get(p).Basis; {
		case b == phenology.BasisSeen || b == phenology.BasisNone:
		case b == phenology.BasisPlace:
			for _, source := range (&phenology.Outlook{Site: est.Site}).CarriedFrom(r) {
				add(source)
			}
			if len(r.References) == 0 && r.Model != nil {
				add(r.Model.Source)
			}
		case r.Model != nil:
			add(r.Model.Source)
		}
		if r.Months != nil && est.Get(p).Basis == phenology.BasisPlace {
			add(r.Months.Source)
		}
	}
	return list
}
