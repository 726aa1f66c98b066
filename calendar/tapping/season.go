package tapping

import (
	"fmt"
	"math"

	"treewhen/calendar"
	"treewhen/calendar/phrase"
	"treewhen/phenology"
	"treewhen/phenology/civil"
)

// Season is all that is known of one species' sap in one season at one place.
type Season struct {
	Place   *calendar.Place
	Species *phenology.Species
	Season  phenology.Season
	AsOf    civil.Date

	Start, End phenology.Estimate
	Decision   *Decision // nil where there is nothing to decide by, or nothing left to decide
	Runs       []Run     // the season's runs, observed and forecast, in order
	Doubts     []string  // what is wrong with the forecast, each a sentence

	Estimates phenology.Estimates
	Options   calendar.TappingOptions
	Years     []phenology.SapYear
	Tapped    bool        // the plan says that it is done
	TapDay    civil.Maybe // when holes were or should be drilled
	Since     civil.Maybe // the day from which on the advice has been to tap now; none if it is to wait
	Past      bool        // holes are taken to be drilled, though the plan does not say so
	Dry       civil.Maybe // when holes drilled then give nothing more

	TapDayAdvised bool // past, and tapDay is the first day on which to tap that day was advised
}

// SeasonAt works out a season of sap, nil if the species is not tapped, its sap cannot be dated there, or frost is too
// rare there for a season.
func SeasonAt(p *calendar.Plan, pl *calendar.Place, sp *phenology.Species, season int) *Season {
	if !Tappable(sp) {
		return nil
	}
	est := pl.Outlook.Estimate(sp, season)
	start, end := est.Get(phenology.SapStart), est.Get(phenology.SapEnd)
	if !start.HasDate() || !end.HasDate() {
		return nil
	}
	return newSeason(p, pl, est)
}

func newSeason(p *calendar.Plan, pl *calendar.Place, est phenology.Estimates) *Season {
	s := &Season{
		Place: pl, Species: est.Species, Season: est.Season, AsOf: p.AsOf,
		Start: est.Get(phenology.SapStart), End: est.Get(phenology.SapEnd), Estimates: est, Options: pl.Options.Tapping,
	}
	s.Years = pl.Outlook.SapYears(s.Species, est.Season.Year, FirstRunDay)
	if d := s.Options.Tapped; d != nil && *d <= p.AsOf && phenology.SeasonAt(pl.Outlook.Site, *d) == est.Season {
		s.Tapped, s.TapDay = true, civil.Some(*d)
	}
	if !s.ByPlace() {
		if !s.Tapped {
			s.Decision = Decide(s.Years, Terms{Today: est.Season.Day(p.AsOf), Life: s.Options.Life(), DaysToTap: s.Options.DaysToTap})
			s.supposeTapped()
		}
	}
	if day, ok := s.TapDay.Get(); ok { // also where there is no record to decide by: the plan may say when it was done
		s.Dry = civil.Some(day + civil.Date(len(HoleYield(s.Options.Life()))))
	}
	s.Doubts = forecastDoubts(pl, p.AsOf)
	s.findRuns()
	return s
}

// mostSince is for how many days the advice to tap now stands. After that holes are taken to be drilled, whether the plan
// says so or not: an alarm that rings every morning is heard by nobody.
const mostSince = 10

// supposeTapped sets the day on which holes are taken to be drilled while the plan says nothing of it: the first of the
// last days on which the advice was to tap now, also when that is long past; the best day to come; or, if the time is past
// and no day was advised, the day that the past years alone advise.
func (s *Season) supposeTapped() {
	d := s.Decision
	today := s.Season.Day(s.AsOf)
	bestDay := func(d *Decision) civil.Maybe { return civil.Some(s.Season.Date(d.Best)) }
	if len(s.Years) == 0 || today < FirstRunDay {
		if d != nil {
			s.TapDay = bestDay(d)
		}
		return
	}
	usual := s.decideKnowing(s.Season.Date(FirstRunDay-beforeSeason), FirstRunDay)
	if usual == nil {
		return
	}
	earliest := usual.Best - earlyAdvice
	over := d == nil || d.Late
	last := today - mostSince
	if over {
		last = today - 1
	}
	advised := s.advised(earliest, last)
	if s.Past = over || advised.Known(); s.Past {
		s.TapDay, s.TapDayAdvised = advised, advised.Known()
		if day, ok := advised.Get(); ok && d != nil && s.AsOf < day+mostSince {
			s.Since = advised // it is too late now, but what was published as certain stands to its end
		}
		if !s.TapDayAdvised {
			s.TapDay = civil.Some(min(s.AsOf, s.Season.Date(usual.Best)))
		}
		return
	}
	s.Since = s.advised(max(earliest, today-mostSince+1), today-1)
	if !s.Since.Known() && d.Now() {
		s.Since = civil.Some(s.AsOf)
	}
	if !s.Since.Known() {
		s.TapDay = bestDay(d)
		return
	}
	s.TapDay = s.Since
	d.begin(today) // whoever has not drilled yet learns what that would bring now
}

// tapDayWords says what the day is, on which holes are taken to be drilled now that the time is past.
func (s *Season) tapDayWords() string {
	if s.TapDayAdvised {
		return "the first day on which that was advised"
	}
	return "the usual day"
}

const (
	// earlyAdvice is by how many days the advice of a season comes before that of the past years alone, at most. Looking
	// back on 32 and 18 years of two open records it was two weeks.
	earlyAdvice = 21
	// beforeSeason is so many days before the first run day that the weather of then tells nothing of it.
	beforeSeason = 15
)

// advised returns the first day, of those from one to another, on whose morning the advice was to tap that day; none if
// there is none. Forecasts that are past are not kept. Where there is a forecast now there was one then, so that the advice must
// have been the same without one and with a perfect one: better to advise twice than never.
func (s *Season) advised(first, last phenology.SeasonDay) civil.Maybe {
	t := s.Place.Outlook.Temps
	horizon := max(0, t.Last()-max(t.Observed(), s.AsOf))
	for day := max(first, FirstRunDay); day <= last; day++ {
		on := s.Season.Date(day)
		if then := s.decideKnowing(on, day); then == nil || !then.Now() {
			continue
		}
		if horizon == 0 {
			return civil.Some(on)
		}
		if then := s.decideKnowing(on+horizon, day); then != nil && then.Now() {
			return civil.Some(on)
		}
	}
	return civil.Maybe{}
}

// decideKnowing decides from a day on, with no day of the season known after another.
func (s *Season) decideKnowing(known civil.Date, from phenology.SeasonDay) *Decision {
	o := &phenology.Outlook{Site: s.Place.Outlook.Site, Temps: s.Place.Outlook.Temps, Known: s.Place.Outlook.Known,
		Sightings: s.Place.Outlook.Sightings.Until(known), Until: &known}
	return Decide(o.SapYears(s.Species, s.Season.Year, FirstRunDay), Terms{Today: from, Life: s.Options.Life(), DaysToTap: s.Options.DaysToTap})
}

// IsOpen reports whether the advice is to tap, today or on a day to come, and nothing says that it is done.
func (s *Season) IsOpen() bool {
	return s.Decision != nil && !s.Tapped && !s.Past && !s.Decision.Late
}

// Stands reports whether it was advised to tap some days ago and is too late by now: what was published stays to its end.
func (s *Season) Stands() bool { return s.Decision != nil && s.Past && s.Since.Known() }

// Spoiler is the phase from which sap is no longer worth boiling.
func (s *Season) Spoiler() phenology.Phase { return phenology.SapSpoiler(s.Species) }

// lastDay returns the day by which, with a probability, the last sap worth boiling has run into a hole: the earlier of
// the season's end and of the hole's.
func (s *Season) lastDay(p float64) civil.Date {
	d := s.End.Quantile(p)
	return min(d, s.Dry.Or(d))
}

// Verdict says what to do: tap, or wait.
func (s *Season) Verdict() string {
	d := s.Decision
	tapDay := s.TapDay.Or(s.AsOf)
	switch {
	case s.Tapped:
		life := s.Options.Life()
		return fmt.Sprintf("Tapped on %s: holes run well to about %s, at half by %s, and are dry about %s, if they last as supposed (%d days, %s).",
			phrase.ShortDate(tapDay), phrase.ShortDate(tapDay+civil.Date(life*2/3)), phrase.ShortDate(tapDay+civil.Date(life)), phrase.ShortDate(s.Dry.Or(tapDay)), life, s.Options.Collection)
	case s.ByPlace():
		return fmt.Sprintf("No record of temperatures to decide by. From the place alone sap starts between %s and %s, eight years in ten: be ready for the first, and let the forecast set the day.",
			phrase.ShortDate(s.Start.P10()), phrase.ShortDate(s.Start.P90()))
	case d == nil:
		return "Nothing is left to tap for this season."
	case d.Late && s.Since.Known():
		return fmt.Sprintf("It has been time to tap since %s; if that is done, write the day into the plan (tapped: %s, if it was then). If it is not, it is too late: %s of the season's run days are past.",
			phrase.ShortDate(tapDay), tapDay, phrase.Percent(d.Gone))
	case d.Late:
		return fmt.Sprintf("Too late to tap: %s of the season's run days are past.", phrase.Percent(d.Gone))
	}
	today := d.Share(s.Season.Day(s.AsOf))
	since, advised := s.Since.Get()
	switch {
	case s.Past:
		return fmt.Sprintf("The time to tap is past, and holes are taken to be in since %s, %s; if they are, write the day into the plan (tapped: %s). Drilled today, holes would catch %s of the season's run days, by %s.",
			phrase.ShortDate(tapDay), s.tapDayWords(), tapDay, phrase.Percent(today), s.evidence())
	case s.WaitAgain():
		return fmt.Sprintf("It has been time to tap since %s; if that is done, write the day into the plan (tapped: %s, if it was then). If it is not, wait again, best %s: that can be expected to catch %s of the season's run days, holes drilled today %s, by %s.",
			phrase.ShortDate(since), since, s.waitWords(), phrase.Percent(d.Waiting), phrase.Percent(today), s.evidence())
	case advised && since < s.AsOf:
		return fmt.Sprintf("Tap now, if it is not done: so it has been since %s, by %s. Once it is done, write the day into the plan (tapped: %s, if it is today).",
			phrase.ShortDate(since), s.evidence(), s.AsOf)
	case advised:
		return fmt.Sprintf("Tap now: waiting promises no more, by %s.", s.evidence())
	case math.IsNaN(today):
		return fmt.Sprintf("Plan for about %s, by %s; once the season has begun it is worked out anew every day.", phrase.ShortDate(s.Season.Date(d.Best)), s.evidence())
	case today >= d.Waiting*(1-Plateau):
		return fmt.Sprintf("Tap today or wait, best %s, as suits you: the difference is within %s, by %s.", s.waitWords(), phrase.Percent(Plateau), s.evidence())
	default:
		return fmt.Sprintf("Wait, best %s: that can be expected to catch %s of the season's run days, holes drilled today %s, by %s.", s.waitWords(), phrase.Percent(d.Waiting), phrase.Percent(today), s.evidence())
	}
}

// WaitAgain reports whether it was advised to tap some days ago and is better to wait now, for whoever has not.
func (s *Season) WaitAgain() bool {
	since, advised := s.Since.Get()
	return advised && since < s.AsOf && s.Decision.Share(s.Season.Day(s.AsOf)) < s.Decision.Waiting*(1-Plateau)
}

// waitWords says how best to wait.
func (s *Season) waitWords() string {
	d := s.Decision
	if d.RunFrom != 0 {
		return fmt.Sprintf("for the first morning from %s on that follows a run day", phrase.ShortDate(s.Season.Date(d.RunFrom)))
	}
	return "to " + phrase.ShortDate(s.Season.Date(d.Later))
}

// evidence says what a decision rests on.
func (s *Season) evidence() string {
	var list []string
	t := s.Place.Outlook.Temps
	if t.Observed() >= s.Season.Date(FirstRunDay) {
		list = append(list, "this season to "+phrase.ShortDate(t.Observed()))
	}
	if t.Last() > t.Observed() && t.Last() > s.AsOf && t.Last() >= s.Season.Date(FirstRunDay) && s.Start.Basis != phenology.BasisNormals {
		list = append(list, "the forecast to "+phrase.ShortDate(t.Last()))
	}
	if s.Start.Basis == phenology.BasisNormals {
		return phrase.Join(append(list, phrase.Count(len(s.Years), "year")+" drawn from the monthly normals"))
	}
	return phrase.Join(append(list, phrase.Count(len(s.Years), "past year")))
}

// PriceSentence says what the best day catches and, if wanted, what a week early or late would.
func (s *Season) PriceSentence(weeks bool) string {
	d := s.Decision
	text := fmt.Sprintf("Begun on %s, holes catch %s of the season's run days (mean of %s, one a past year), %s of what each outcome's own best day would.",
		phrase.ShortDate(s.Season.Date(d.Best)), phrase.Percent(d.Caught), phrase.Count(d.Years, "outcome"), phrase.Percent(d.OfHindsight))
	if d.Gone >= 0.005 {
		text += fmt.Sprintf(" %s have gone by already.", phrase.Percent(d.Gone))
	}
	if weeks && !math.IsNaN(d.WeekEarlier) {
		text += fmt.Sprintf(" A week earlier: %s.", phrase.Percent(d.WeekEarlier))
	}
	if weeks && !math.IsNaN(d.WeekLater) {
		text += fmt.Sprintf(" A week later: %s.", phrase.Percent(d.WeekLater))
	}
	first := fmt.Sprintf(" The first run, two run days or more since %s, is ", phrase.ShortDate(s.Season.Date(FirstRunDay)))
	switch d.Missed {
	case 0:
		return text + first + "missed in no outcome."
	case 1:
		return text + first + "missed in every outcome."
	}
	return text + first + fmt.Sprintf("missed in %s of outcomes.", phrase.Percent(d.Missed))
}

// HoleSentence says how long a hole is taken to run.
func (s *Season) HoleSentence() string {
	life := s.Options.Life()
	return fmt.Sprintf("A hole is taken to run well for %d days, at half after %d and to be dry after %d (%s; growers' experience, from memory).",
		life*2/3, life, len(HoleYield(life)), s.Options.Collection)
}

// EndSentence says what ends the season.
func (s *Season) EndSentence() string {
	swell := s.Estimates.Get(s.Spoiler())
	text := fmt.Sprintf("The last good sap runs between %s and %s, eight years in ten: no more freezes, or %s", phrase.ShortDate(s.End.P10()), phrase.ShortDate(s.End.P90()), Words(s.Spoiler()))
	if s.Species.Sap.Run.Drive == phenology.RootPressure {
		text = fmt.Sprintf("The last good sap runs between %s and %s, eight years in ten, before %s", phrase.ShortDate(s.End.P10()), phrase.ShortDate(s.End.P90()), Words(s.Spoiler()))
	}
	if swell.HasDate() {
		text += fmt.Sprintf(" (%s to %s)", phrase.ShortDate(swell.P10()), phrase.ShortDate(swell.P90()))
	}
	text += "."
	if dry, ok := s.Dry.Get(); ok {
		drilled := phrase.ShortDate(s.TapDay.Or(dry))
		if dry < s.End.P50() {
			text += fmt.Sprintf(" Holes drilled on %s are dry before that, about %s; sap may still run, but not in them.", drilled, phrase.ShortDate(dry))
		} else {
			text += fmt.Sprintf(" Holes drilled on %s would last to about %s.", drilled, phrase.ShortDate(dry))
		}
	}
	return text
}

func Words(p phenology.Phase) string {
	if p == phenology.BudBreak {
		return "bud break"
	}
	return "bud swell"
}

// Definition says what is counted as a run day. Its source is among the entry's.
func (s *Season) Definition() string {
	r := s.Species.Sap.Run
	return r.Definition()
}

// RunDays returns the tenth, middle and ninetieth percentile of a season's run days.
func (s *Season) RunDays() (lo, mid, hi float64, ok bool) {
	if len(s.Years) < phenology.MinYears {
		return 0, 0, 0, false
	}
	totals := make([]float64, len(s.Years))
	for i := range s.Years {
		totals[i] = s.Years[i].Runs(FirstRunDay, s.Years[i].End)
	}
	return calendar.Quantile(totals, 0.1), calendar.Quantile(totals, 0.5), calendar.Quantile(totals, 0.9), true
}
