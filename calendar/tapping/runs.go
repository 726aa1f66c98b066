package tapping

import (
	"fmt"
	"strings"

	"treewhen/calendar"
	"treewhen/calendar/phrase"
	"treewhen/phenology"
	"treewhen/phenology/civil"
	"treewhen/phenology/weather"
)

// Run is a run of sap: days in a row on which it is more likely than not to run. A day between that is at least
// half as likely does not end it.
type Run struct {
	Number int // in its season, from 1
	Span   civil.Span
	Days   []RunDay
	Hours  float64 // for which sap may be expected to run, over all its days
	Size   RunSize
}

// RunDay is one day of a run.
type RunDay struct {
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

func (z RunSize) Words(noun string) string {
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

// lastRunDay is the last day of the season on which runs are looked for: the end of June in the north.
const lastRunDay = 181

// longestPressed is after how many days a run by root pressure is taken to be over: the two to four weeks for which
// producers' accounts say that birch runs. By freeze and thaw runs end by themselves.
const longestPressed = 28

// findRuns finds the season's own runs, and compares them with those of past seasons. What a run is, which one it is and
// how large is told by the rule alone, over the same days of every season, and so is the same for all species that share
// the rule; of these runs a species' season has those that begin in it.
func (s *Season) findRuns() {
	t := s.Place.Outlook.Temps
	if t == nil {
		return
	}
	rule := *s.Species.Sap.Run
	last := s.End.P90()
	for _, r := range runsIn(t, rule, s.Season) {
		if r.Span.First <= last {
			s.Runs = append(s.Runs, r)
		}
	}
	if len(s.Runs) == 0 {
		return
	}
	var past []float64
	for season := (phenology.Season{Year: s.Season.Year - 1, Southern: s.Season.Southern}); season.Date(FirstRunDay) >= t.Series().First; season.Year-- {
		for _, r := range runsIn(t, rule, season) {
			past = append(past, r.Hours)
		}
	}
	if len(past) < fewestRuns {
		return
	}
	half, fifth := calendar.Quantile(past, 0.5), calendar.Quantile(past, 0.8)
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

// runsIn finds the runs of a season, as far as its days are known.
func runsIn(t *phenology.Temperatures, rule phenology.RunRule, season phenology.Season) []Run {
	series := t.Series()
	var runs []Run
	var open *Run
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
	first, last := max(season.Date(FirstRunDay), series.First), min(season.Date(lastRunDay), t.Last())
	for day := first; day <= last; day++ {
		run, ok := t.Run(rule, day)
		switch {
		case !ok || series.At(day).Flags&weather.Synthetic != 0 || run.Likelihood < bridgeDay:
			closeRun()
			continue
		case run.Likelihood >= likelyRunDay && open == nil:
			open = &Run{}
		case open == nil:
			continue
		}
		d := series.At(day)
		open.Days = append(open.Days, RunDay{Date: day, Min: d.Min, Max: d.Max, RunDay: run, Forecast: d.Flags&weather.Forecast != 0})
		n := len(open.Days)
		switch {
		case n > 1 && run.Likelihood < likelyRunDay && open.Days[n-2].Likelihood < likelyRunDay:
			closeRun() // two doubtful days in a row end it
		case n == longestPressed && rule.Drive == phenology.RootPressure:
			closeRun()
		}
	}
	closeRun()
	return runs
}

// Over reports whether all of a run's days are observed.
func (r *Run) Over() bool { return !r.Days[len(r.Days)-1].Forecast }

// BestDay returns the day on which most sap is to be expected, of those not yet observed where there are any.
func (r *Run) BestDay() RunDay {
	var best RunDay
	for _, d := range r.Days {
		if d.Forecast && !best.Forecast || d.Forecast == best.Forecast && d.Hours > best.Hours {
			best = d
		}
	}
	return best
}

// told returns the runs of which entries are made: those that holes could catch, the next of the forecast and all
// before them, which are records by now. Where holes are not drilled yet, these are the ones from the best day on.
func (s *Season) told() []Run {
	var list []Run
	ahead := 0
	tapDay, ok := s.TapDay.Get()
	if !ok {
		return nil
	}
	for _, r := range s.Runs {
		if r.Span.Last < tapDay || r.Span.First > s.Dry.Or(r.Span.First) {
			continue
		}
		if !r.Over() {
			if ahead++; ahead > runsAhead {
				break
			}
		}
		list = append(list, r)
	}
	return list
}

// DaysSentence lists a run's days with their temperatures, and how likely sap runs on those still to come.
func (r *Run) DaysSentence() string {
	var days []string
	observed, coming := false, false
	for _, d := range r.Days {
		text := fmt.Sprintf("%s %s to %s °C", phrase.ShortDate(d.Date), phrase.Celsius(d.Min), phrase.Celsius(d.Max))
		if d.Forecast {
			text += ", " + phrase.Percent(d.Likelihood)
			coming = true
		} else {
			observed = true
		}
		days = append(days, text)
	}
	head := "Night's minimum and day's maximum, observed"
	switch {
	case observed && coming:
		head += "; and, of the forecast, how likely sap runs"
	case coming:
		head = "Night's minimum, day's maximum and how likely sap runs, by the forecast"
	}
	return head + ": " + strings.Join(days, "; ") + "."
}

// SizeSentence says how large the run is, and how roughly that is known.
func (r *Run) SizeSentence() string {
	if r.Size == SizeUnknown {
		return "Too few past runs are on record here to say how large it is."
	}
	hours := "with about %.0f hours of flow to expect"
	if r.Over() {
		hours = "about %.0f of them"
	}
	return fmt.Sprintf("By hours above freezing, "+hours+", it is a %s beside this site's past runs (small: the lesser half of them; large: the greatest fifth). Trees differ widely.",
		r.Hours, r.Size.Words("run"))
}
