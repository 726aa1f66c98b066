package calendar

import (
	"fmt"
	"strings"

	"treewhen/phenology"
	"treewhen/phenology/civil"
	"treewhen/phenology/weather"
)

// SapRun is a run of sap: days in a row on which it is more likely than not to run. A day between that is at least
// half as likely does not end it.
type SapRun struct {
	Number int // in its season, from 1
	Span   civil.Span
	Days   []SapRunDay
	Hours  float64 // for which sap may be expected to run, over all its days
	Size   RunSize
}

// SapRunDay is one day of a run.
type SapRunDay struct {
	Date     civil.Date
	Min, Max float64 // degrees Celsius
	phenology.RunDay
	Forecast bool
}

// RunSize is how large a run is, roughly, beside the site's own past runs.
type RunSize int

// The sizes. A fifth of a season's days brought three quarters of its sap at four sites in Quebec in 2022 (iForest
// 17:323-330, 2024): large are the largest fifth of past runs, small the smaller half.
const (
	SizeUnknown RunSize = iota // too few past runs to compare with
	SizeSmall
	SizeMiddling
	SizeLarge
)

func (z RunSize) words(noun string) string {
	switch z {
	case SizeSmall:
		return "small " + noun
	case SizeMiddling:
		return "middling " + noun
	case SizeLarge:
		return "large " + noun
	default:
		return noun
	}
}

const (
	likelyRunDay = 0.5  // from here on a day is called a run day
	bridgeDay    = 0.25 // and from here on it does not end a run
	fewestRuns   = 20   // past runs needed to speak of sizes
)

// findRuns finds the season's own runs, and compares them with those of past seasons.
func (s *SapSeason) findRuns() {
	t := s.Place.Outlook.Temps
	if t == nil {
		return
	}
	first := max(s.Season.Date(firstRunDay), t.Series().First)
	last := min(t.Last(), s.End.P90())
	if last < first {
		return
	}
	s.Runs = runsIn(t, s.Species, civil.Span{First: first, Last: last})
	var past []float64
	for year := s.Season.Year - 1; ; year-- {
		season := phenology.Season{Year: year, Southern: s.Season.Southern}
		span := civil.Span{First: season.Date(firstRunDay), Last: season.Date(float64(s.Season.Day(s.End.P50())))}
		if span.First < t.Series().First {
			break
		}
		for _, r := range runsIn(t, s.Species, span) {
			past = append(past, r.Hours)
		}
	}
	if len(past) < fewestRuns {
		return
	}
	half, fifth := quantile(past, 0.5), quantile(past, 0.8)
	for i := range s.Runs {
		switch h := s.Runs[i].Hours; {
		case h < half:
			s.Runs[i].Size = SizeSmall
		case h < fifth:
			s.Runs[i].Size = SizeMiddling
		default:
			s.Runs[i].Size = SizeLarge
		}
	}
}

// runsIn finds the runs of a span.
func runsIn(t *phenology.Temperatures, sp *phenology.Species, span civil.Span) []SapRun {
	series := t.Series()
	var runs []SapRun
	var open *SapRun
	closeRun := func() {
		if open == nil {
			return
		}
		for open.Days[len(open.Days)-1].Likelihood < likelyRunDay { // bridges that led nowhere
			open.Days = open.Days[:len(open.Days)-1]
		}
		open.Span = civil.Span{First: open.Days[0].Date, Last: open.Days[len(open.Days)-1].Date}
		for _, d := range open.Days {
			open.Hours += d.Hours
		}
		open.Number = len(runs) + 1
		runs = append(runs, *open)
		open = nil
	}
	for day := span.First; day <= span.Last; day++ {
		run, ok := t.Run(*sp.Sap.Run, day)
		switch {
		case !ok || series.At(day).Flags&weather.Synthetic != 0 || run.Likelihood < bridgeDay:
			closeRun()
			continue
		case run.Likelihood >= likelyRunDay && open == nil:
			open = &SapRun{}
		case open == nil:
			continue
		}
		d := series.At(day)
		open.Days = append(open.Days, SapRunDay{Date: day, Min: d.Min, Max: d.Max, RunDay: run, Forecast: d.Flags&weather.Forecast != 0})
		if n := len(open.Days); n > 1 && run.Likelihood < likelyRunDay && open.Days[n-2].Likelihood < likelyRunDay {
			closeRun() // two doubtful days in a row end it
		}
	}
	closeRun()
	return runs
}

// told returns the runs of which entries are made: those that holes could catch, the next of the forecast and all
// before them, which are records by now. Where holes are not drilled yet, these are the ones from the best day on.
func (s *SapSeason) told() []SapRun {
	var list []SapRun
	ahead := 0
	tapDay, ok := s.tapDay.Get()
	if !ok {
		return nil
	}
	for _, r := range s.Runs {
		if r.Span.Last < tapDay || r.Span.First > s.dry.Or(r.Span.First) {
			continue
		}
		if r.Days[len(r.Days)-1].Forecast {
			if ahead++; ahead > runsAhead {
				break
			}
		}
		list = append(list, r)
	}
	return list
}

// daysSentence lists a run's days with their temperatures.
func (r SapRun) daysSentence() string {
	var days []string
	for _, d := range r.Days {
		days = append(days, fmt.Sprintf("%s %s to %s °C, %s", shortDate(d.Date), celsiusText(d.Min), celsiusText(d.Max), percent(d.Likelihood)))
	}
	return "Night's minimum, day's maximum and how likely sap runs: " + strings.Join(days, "; ") + "."
}

// sizeSentence says how large the run is, and how roughly that is known.
func (r SapRun) sizeSentence() string {
	if r.Size == SizeUnknown {
		return "Too few past runs are on record here to say how large it is."
	}
	return fmt.Sprintf("By hours above freezing, with about %.0f hours of flow to expect, it is a %s beside this site's past runs (small: the lesser half of them; large: the greatest fifth). Trees differ widely.",
		r.Hours, r.Size.words("run"))
}

// celsiusText writes a temperature to the degree, with a true minus sign.
func celsiusText(c float64) string {
	return strings.Replace(signed0(c), "-", "−", 1)
}

// upperFirst begins a summary.
func upperFirst(s string) string { return strings.ToUpper(s[:1]) + s[1:] }
