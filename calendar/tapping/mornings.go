package tapping

import (
	"strconv"

	"treewhen/calendar"
	"treewhen/phenology"
	"treewhen/phenology/civil"
)

// advisedSince returns the day from which on it has been advised to tap, before today; none if it has not.
// Usual is what the past years alone decide.
func (s *Season) advisedSince(told calendar.Memory, usual outcome, over bool) civil.Maybe {
	if told.Told != nil {
		since := told.Day(factSince)
		if day, ok := since.Get(); !ok || day > s.AsOf || phenology.SeasonAt(s.Place.Outlook.Site, day) != s.Season {
			return civil.Maybe{}
		}
		s.Times, _ = strconv.Atoi(told.Told[factTimes])
		s.Times = max(1, s.Times)
		return since
	}
	earliest, today := usual.best-earlyAdvice, s.Season.Day(s.AsOf)
	last := today - mostSince
	if over {
		last = today - 1
	}
	since := s.advised(earliest, last, usual.waiting)
	if !since.Known() && !over {
		since = s.advised(max(earliest, today-mostSince+1), today-1, usual.waiting)
	}
	if since.Known() {
		s.Times = 1
	}
	return since
}

const (
	// earlyAdvice is by how many days the advice of a season comes before that of the past years alone, at most.
	// Looking back on 32 and 18 years of two open records it was two weeks.
	earlyAdvice = 21
	// beforeSeason is so many days before the first run day that the weather of then tells nothing of it.
	beforeSeason = 15
)

// advised returns the first day, of those from one to another, on whose morning the advice was to tap that day; none
// if there is none. Forecasts that are past are not kept. Where there is a forecast now there was one then, so that
// the advice must have been the same without one and with a perfect one: better to advise twice than never. A rival is
// a way of waiting that is likely better than to tap on the first of them.
func (s *Season) advised(first, last phenology.SeasonDay, rival waiting) civil.Maybe {
	t := s.Place.Outlook.Temps
	horizon := max(0, t.Last()-max(t.Observed(), s.AsOf))
	for day := max(first, FirstRunDay); day <= last; day++ {
		on := s.Season.Date(day)
		if !s.nowKnowing(on, day, &rival) {
			continue
		}
		if horizon == 0 || s.nowKnowing(on+horizon, day, &rival) {
			return civil.Some(on)
		}
	}
	return civil.Maybe{}
}

// nowKnowing reports whether the decision from a day on, with no day of the season known after another, is to tap at
// once. If it is not, a rival likely catches more; where it turns out not to, one that does takes its place.
func (s *Season) nowKnowing(known civil.Date, from phenology.SeasonDay, rival *waiting) (now bool) {
	s.knowing(known, func(years []phenology.SapYear) {
		if rival.beats(years, s.terms(from)) {
			return
		}
		if d := Decide(years, s.terms(from)); d != nil {
			*rival, now = d.bestWaiting(), d.Now()
		}
	})
	return now
}

// outcome is what is kept of a decision on a past morning.
type outcome struct {
	decided   bool // there was something to decide by
	best      phenology.SeasonDay
	waiting   waiting
	wellTimed float64
}

// decideKnowing decides from a day on, with no day of the season known after another.
func (s *Season) decideKnowing(known civil.Date, from phenology.SeasonDay) (o outcome) {
	s.knowing(known, func(years []phenology.SapYear) {
		if d := Decide(years, s.terms(from)); d != nil {
			o = outcome{true, d.Best, d.bestWaiting(), d.WellTimed}
		}
	})
	return o
}

// knowing looks at the ways in which the season may go, with no day of it known after another.
func (s *Season) knowing(known civil.Date, look func([]phenology.SapYear)) {
	s.Place.Outlook.KnownOn(known).LookAtSapYears(s.Species, s.Season.Year, FirstRunDay, look)
}
