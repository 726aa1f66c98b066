package calendar

import (
	"fmt"
	"math"
	"slices"
	"strings"
	"unicode"
	"unicode/utf8"

	"treewhen/phenology"
	"treewhen/phenology/civil"
)

// lower writes a common name as it stands inside a sentence: "Sugar maple" becomes "sugar maple", "Norway maple" stays.
func lower(name string) string {
	first, size := utf8.DecodeRuneInString(name)
	word, _, _ := strings.Cut(name, " ")
	if properNames[word] {
		return name
	}
	return string(unicode.ToLower(first)) + name[size:]
}

// properNames are the words that keep their capital in the common names of trees.
var properNames = map[string]bool{
	"Norway": true, "Allegheny": true, "American": true, "Virginia": true, "Carolina": true, "Ohio": true, "Siberian": true,
	"European": true, "Canada": true, "Kentucky": true, "Scots": true, "Douglas": true, "Japanese": true, "English": true,
}

// likeliest returns the earliest of the days of a span on which a probability is highest. The span must not be empty.
func likeliest(s civil.Span, p func(civil.Date) float64) (civil.Date, float64) {
	best, top := s.First, math.Inf(-1)
	for d := s.First; d <= s.Last; d++ {
		if v := p(d); v > top+1e-9 {
			best, top = d, v
		}
	}
	return best, max(0, min(1, top))
}

// quantile returns the p-th quantile of values, interpolated between the nearest two.
func quantile(values []float64, p float64) float64 {
	v := slices.Sorted(slices.Values(values))
	x := p * float64(len(v)-1)
	i := int(x)
	if i+1 >= len(v) {
		return v[len(v)-1]
	}
	return v[i] + (x-float64(i))*(v[i+1]-v[i])
}

// reasonOf returns the first reason for a missing date.
func reasonOf(list ...phenology.Estimate) string {
	for _, e := range list {
		if !e.HasDate() && e.Reason != "" {
			return e.Reason
		}
	}
	return "no date"
}

// sourcesOf collects the citations behind some phases of a species.
func sourcesOf(est phenology.Estimates, phases ...phenology.Phase) []string {
	var list []string
	for _, p := range phases {
		r := est.Species.Phase(p)
		if r == nil {
			continue
		}
		switch b := est.Get(p).Basis; {
		case b == phenology.BasisSeen || b == phenology.BasisNone:
		case b == phenology.BasisPlace:
			for _, source := range (&phenology.Outlook{Site: est.Site}).CarriedFrom(r) {
				list = addSource(list, source)
			}
			if len(r.References) == 0 && r.Model != nil {
				list = addSource(list, r.Model.Source)
			}
		case r.Model != nil:
			list = addSource(list, r.Model.Source)
		}
		if r.Months != nil && est.Get(p).Basis == phenology.BasisPlace {
			list = addSource(list, r.Months.Source)
		}
	}
	return list
}

func addSource(list []string, s phenology.Source) []string {
	if text := s.String(); text != "" && !slices.Contains(list, text) {
		list = append(list, text)
	}
	return list
}

// sentence makes a sentence of a profile's phrase.
func sentence(s string) string {
	s = strings.TrimSpace(s)
	if s == "" {
		return s
	}
	if !strings.HasSuffix(s, ".") {
		s += "."
	}
	first, size := utf8.DecodeRuneInString(s)
	return string(unicode.ToUpper(first)) + s[size:]
}

// percent writes a probability as a whole percentage. Nothing that is not certain is written as 100 %, and nothing that
// may happen as 0 %.
func percent(p float64) string { return fmt.Sprintf("%d %%", wholePercent(p)) }

func wholePercent(p float64) int {
	n := int(math.Round(100 * p))
	switch {
	case n >= 100 && p < 1:
		return 99
	case n <= 0 && p > 0:
		return 1
	}
	return n
}
