package phenology

import "math"

// AutumnCooling is leaf colour or fall by cold as days shorten: from the longest day on, each day whose length P is
// below DayLength hours and whose mean T is below Base degrees adds
//
//	(Base - T)^TemperatureExponent x f^DayLengthExponent
//
// where f is P / DayLength, or 1 - P / DayLength if Shortening is set, so that shorter days count more. The phase comes
// when the sum reaches Requirement.
//
// Source: Delpierre and others (2009), Modelling interannual and spatial variability of leaf senescence for three
// deciduous tree species in France, Agricultural and Forest Meteorology 149:938-948 (its form from memory); applied at
// Harvard Forest by Archetti and others (2013), PLoS ONE 8:e57373 (seen). Out of sample it seldom beats the mean date:
// Olsson & Jönsson (2015), Ecological Modelling 316:41-51, in 2 of 111 trials (seen).
type AutumnCooling struct {
	DayLength           float64 // hours, in (0, 24]: longer days add nothing
	Base                float64 // degrees Celsius: warmer days add nothing
	TemperatureExponent float64 // 0 and above; 0 counts days
	DayLengthExponent   float64 // 0 and above; 0 leaves the length of days out, but for DayLength
	Shortening          bool
	Requirement         float64 // degrees to the power of TemperatureExponent, times days
}

// longestDay is the day of the season on which days are longest, 21 June in the north.
const longestDay SeasonDay = 172

// Kind returns "autumn-cooling".
func (AutumnCooling) Kind() string { return "autumn-cooling" }

func (AutumnCooling) begins() SeasonDay { return longestDay }

func (m AutumnCooling) forcing() forcing {
	return forcing{method: coolingMethod, base: m.Base, upper: m.DayLength, middle: m.TemperatureExponent,
		exponent: m.DayLengthExponent, inverse: m.Shortening}
}

func (m AutumnCooling) date(p *pass) (fix, bool) {
	return p.crossing(m.forcing(), longestDay, m.Requirement)
}

// WarmthShift is the phase's mean date at the site, moved by how much warmer than usual a part of the season was: a
// number of days for each degree by which the mean temperature From one day To another differs from the site's own mean
// over its other years. It needs a mean date, from the profile's reference dates, and [MinYears] other years of record.
//
// Source: linear regression of dates on the mean temperature of a fixed period, common practice; Menzel and others
// (2006), European phenological response to climate change matches the warming pattern, Global Change Biology
// 12:1969-1976, find autumn colour 1.7 to 2.4 days later for each degree of the month before (from memory).
type WarmthShift struct {
	From, To      SeasonDay // both included
	DaysPerDegree float64   // days for each degree Celsius; positive: later where it was warmer
}

// Kind returns "warmth-shift".
func (WarmthShift) Kind() string { return "warmth-shift" }

func (m WarmthShift) begins() SeasonDay { return m.From }

func (m WarmthShift) date(p *pass) (fix, bool) {
	if p.usualOf != [2]SeasonDay{m.From, m.To} {
		p.usual, p.usualKnown = p.temps.usualMean(p.season, m.From, m.To)
		p.usualOf = [2]SeasonDay{m.From, m.To}
	}
	normal, ok := p.usual, p.usualKnown
	first, last := p.on(m.From), p.on(m.To)
	if !ok || math.IsNaN(p.mean) || !p.temps.coveredAlong(p.member, first, last) {
		return fix{}, false
	}
	mean := p.total(forcing{method: meanMethod}, first, last) / float64(m.To-m.From+1)
	return fix{p.mean + m.DaysPerDegree*(mean-normal), first, last}, true
}

// usualMean returns the mean temperature of a part of the season over the record's other seasons.
func (t *Temperatures) usualMean(s Season, from, to SeasonDay) (float64, bool) {
	sums := t.sum(forcing{method: meanMethod})
	total, years := 0.0, 0
	for year := t.series.First.Year() - 1; year <= t.Last().Year()+1; year++ {
		other := Season{Year: year, Southern: s.Southern}
		first, last := other.Date(from), other.Date(to)
		if year == s.Year || !t.covered(first, last) {
			continue
		}
		total += sums[t.index(last)+1] - sums[t.index(first)]
		years++
	}
	if years < MinYears {
		return math.NaN(), false
	}
	return total / float64(years*int(to-from+1)), true
}

// MeanOf returns the mean temperature, degrees Celsius, from one day of a season to another, both included: the mean of
// the days' own means of minimum and maximum. It is NaN and false where the record lacks any of them.
func (t *Temperatures) MeanOf(s Season, from, to SeasonDay) (float64, bool) {
	first, last := s.Date(from), s.Date(to)
	if last < first || !t.covered(first, last) {
		return math.NaN(), false
	}
	sums := t.sum(forcing{method: meanMethod})
	return (sums[t.index(last)+1] - sums[t.index(first)]) / float64(to-from+1), true
}
