package calendar

import (
	"fmt"
	"math"

	"treewhen/phenology"
	"treewhen/phenology/civil"
)

// SapSeason is all that is known of one species' sap in one season at one place.
type SapSeason struct {
	Place   *Place
	Species *phenology.Species
	Season  phenology.Season
	AsOf    civil.Date

	Start, End phenology.Estimate
	Decision   *TapDecision // nil where there is nothing to decide by, or nothing left to decide
	Runs       []SapRun     // the season's runs, observed and forecast, in order
	Doubts     []string     // what is wrong with the forecast, each a sentence

	est    phenology.Estimates
	opt    TappingOptions
	years  []phenology.SapYear
	tapped bool        // the plan says that it is done
	tapDay civil.Maybe // when holes were or should be drilled
	since  civil.Maybe // the day from which on the advice has been to tap now; none if it is to wait
	past   bool        // holes are taken to be drilled, though the plan does not say so
	dry    civil.Maybe // when holes drilled then give nothing more

	tapDayAdvised bool // past, and tapDay is the first day on which to tap that day was advised
}

// SapSeasonAt works out a season of sap, nil if the species is not tapped, its sap cannot be dated there, or frost is too
// rare there for a season.
func SapSeasonAt(p *Plan, pl *Place, sp *phenology.Species, season int) *SapSeason {
	if !Tappable(sp) {
		return nil
	}
	est := pl.Outlook.Estimate(sp, season)
	start, end := est.Get(phenology.SapStart), est.Get(phenology.SapEnd)
	if !start.HasDate() || !end.HasDate() {
		return nil
	}
	return newSapSeason(p, pl, est)
}

func newSapSeason(p *Plan, pl *Place, est phenology.Estimates) *SapSeason {
	s := &SapSeason{
		Place: pl, Species: est.Species, Season: est.Season, AsOf: p.AsOf,
		Start: est.Get(phenology.SapStart), End: est.Get(phenology.SapEnd), est: est, opt: pl.Options.Tapping,
	}
	s.years = pl.Outlook.SapYears(s.Species, est.Season.Year, firstRunDay)
	if d := s.opt.Tapped; d != nil && *d <= p.AsOf && phenology.SeasonAt(pl.Outlook.Site, *d) == est.Season {
		s.tapped, s.tapDay = true, civil.Some(*d)
	}
	if !s.byPlace() {
		if !s.tapped {
			s.Decision = DecideTapping(s.years, TapTerms{Today: est.Season.Day(p.AsOf), Life: s.opt.Life(), DaysToTap: s.opt.DaysToTap})
			s.supposeTapped()
		}
	}
	if day, ok := s.tapDay.Get(); ok { // also where there is no record to decide by: the plan may say when it was done
		s.dry = civil.Some(day + civil.Date(len(holeYield(s.opt.Life()))))
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
func (s *SapSeason) supposeTapped() {
	d := s.Decision
	today := s.Season.Day(s.AsOf)
	bestDay := func(d *TapDecision) civil.Maybe { return civil.Some(s.Season.Date(d.Best)) }
	if len(s.years) == 0 || today < firstRunDay {
		if d != nil {
			s.tapDay = bestDay(d)
		}
		return
	}
	usual := s.decideKnowing(s.Season.Date(firstRunDay-beforeSeason), firstRunDay)
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
	if s.past = over || advised.Known(); s.past {
		s.tapDay, s.tapDayAdvised = advised, advised.Known()
		if day, ok := advised.Get(); ok && d != nil && s.AsOf < day+mostSince {
			s.since = advised // it is too late now, but what was published as certain stands to its end
		}
		if !s.tapDayAdvised {
			s.tapDay = civil.Some(min(s.AsOf, s.Season.Date(usual.Best)))
		}
		return
	}
	s.since = s.advised(max(earliest, today-mostSince+1), today-1)
	if !s.since.Known() && d.Now() {
		s.since = civil.Some(s.AsOf)
	}
	if !s.since.Known() {
		s.tapDay = bestDay(d)
		return
	}
	s.tapDay = s.since
	d.begin(today) // whoever has not drilled yet learns what that would bring now
}

// tapDayWords says what the day is, on which holes are taken to be drilled now that the time is past.
func (s *SapSeason) tapDayWords() string {
	if s.tapDayAdvised {
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
func (s *SapSeason) advised(first, last phenology.SeasonDay) civil.Maybe {
	t := s.Place.Outlook.Temps
	horizon := max(0, t.Last()-max(t.Observed(), s.AsOf))
	for day := max(first, firstRunDay); day <= last; day++ {
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
func (s *SapSeason) decideKnowing(known civil.Date, from phenology.SeasonDay) *TapDecision {
	o := &phenology.Outlook{Site: s.Place.Outlook.Site, Temps: s.Place.Outlook.Temps, Known: s.Place.Outlook.Known,
		Sightings: s.Place.Outlook.Sightings.Until(known), Until: &known}
	return DecideTapping(o.SapYears(s.Species, s.Season.Year, firstRunDay), TapTerms{Today: from, Life: s.opt.Life(), DaysToTap: s.opt.DaysToTap})
}

// isOpen reports whether the advice is to tap, today or on a day to come, and nothing says that it is done.
func (s *SapSeason) isOpen() bool {
	return s.Decision != nil && !s.tapped && !s.past && !s.Decision.Late
}

// stands reports whether it was advised to tap some days ago and is too late by now: what was published stays to its end.
func (s *SapSeason) stands() bool { return s.Decision != nil && s.past && s.since.Known() }

// spoiler is the phase from which sap is no longer worth boiling.
func (s *SapSeason) spoiler() phenology.Phase { return phenology.SapSpoiler(s.Species) }

// lastDay returns the day by which, with a probability, the last sap worth boiling has run into a hole: the earlier of
// the season's end and of the hole's.
func (s *SapSeason) lastDay(p float64) civil.Date {
	d := s.End.Quantile(p)
	return min(d, s.dry.Or(d))
}

// Verdict says what to do: tap, or wait.
func (s *SapSeason) Verdict() string {
	d := s.Decision
	tapDay := s.tapDay.Or(s.AsOf)
	switch {
	case s.tapped:
		life := s.opt.Life()
		return fmt.Sprintf("Tapped on %s: holes run well to about %s, at half by %s, and are dry about %s, if they last as supposed (%d days, %s).",
			shortDate(tapDay), shortDate(tapDay+civil.Date(life*2/3)), shortDate(tapDay+civil.Date(life)), shortDate(s.dry.Or(tapDay)), life, s.opt.Collection)
	case s.byPlace():
		return fmt.Sprintf("No record of temperatures to decide by. From the place alone sap starts between %s and %s, eight years in ten: be ready for the first, and let the forecast set the day.",
			shortDate(s.Start.P10()), shortDate(s.Start.P90()))
	case d == nil:
		return "Nothing is left to tap for this season."
	case d.Late && s.since.Known():
		return fmt.Sprintf("It has been time to tap since %s; if that is done, write the day into the plan (tapped: %s, if it was then). If it is not, it is too late: %s of the season's run days are past.",
			shortDate(tapDay), tapDay, percent(d.Gone))
	case d.Late:
		return fmt.Sprintf("Too late to tap: %s of the season's run days are past.", percent(d.Gone))
	}
	today := d.Share(s.Season.Day(s.AsOf))
	since, advised := s.since.Get()
	switch {
	case s.past:
		return fmt.Sprintf("The time to tap is past, and holes are taken to be in since %s, %s; if they are, write the day into the plan (tapped: %s). Drilled today, holes would catch %s of the season's run days, by %s.",
			shortDate(tapDay), s.tapDayWords(), tapDay, percent(today), s.evidence())
	case s.waitAgain():
		return fmt.Sprintf("It has been time to tap since %s; if that is done, write the day into the plan (tapped: %s, if it was then). If it is not, wait again, best %s: that can be expected to catch %s of the season's run days, holes drilled today %s, by %s.",
			shortDate(since), since, s.waitWords(), percent(d.Waiting), percent(today), s.evidence())
	case advised && since < s.AsOf:
		return fmt.Sprintf("Tap now, if it is not done: so it has been since %s, by %s. Once it is done, write the day into the plan (tapped: %s, if it is today).",
			shortDate(since), s.evidence(), s.AsOf)
	case advised:
		return fmt.Sprintf("Tap now: waiting promises no more, by %s.", s.evidence())
	case math.IsNaN(today):
		return fmt.Sprintf("Plan for about %s, by %s; once the season has begun it is worked out anew every day.", shortDate(s.Season.Date(d.Best)), s.evidence())
	case today >= d.Waiting*(1-plateau):
		return fmt.Sprintf("Tap today or wait, best %s, as suits you: the difference is within %s, by %s.", s.waitWords(), percent(plateau), s.evidence())
	default:
		return fmt.Sprintf("Wait, best %s: that can be expected to catch %s of the season's run days, holes drilled today %s, by %s.", s.waitWords(), percent(d.Waiting), percent(today), s.evidence())
	}
}

// waitAgain reports whether it was advised to tap some days ago and is better to wait now, for whoever has not.
func (s *SapSeason) waitAgain() bool {
	since, advised := s.since.Get()
	return advised && since < s.AsOf && s.Decision.Share(s.Season.Day(s.AsOf)) < s.Decision.Waiting*(1-plateau)
}

// waitWords says how best to wait.
func (s *SapSeason) waitWords() string {
	d := s.Decision
	if d.RunFrom != 0 {
		return fmt.Sprintf("for the first morning from %s on that follows a run day", shortDate(s.Season.Date(d.RunFrom)))
	}
	return "to " + shortDate(s.Season.Date(d.Later))
}

// evidence says what a decision rests on.
func (s *SapSeason) evidence() string {
	var list []string
	t := s.Place.Outlook.Temps
	if t.Observed() >= s.Season.Date(firstRunDay) {
		list = append(list, "this season to "+shortDate(t.Observed()))
	}
	if t.Last() > t.Observed() && t.Last() > s.AsOf && t.Last() >= s.Season.Date(firstRunDay) && s.Start.Basis != phenology.BasisNormals {
		list = append(list, "the forecast to "+shortDate(t.Last()))
	}
	if s.Start.Basis == phenology.BasisNormals {
		return joinWords(append(list, count(len(s.years), "year")+" drawn from the monthly normals"))
	}
	return joinWords(append(list, count(len(s.years), "past year")))
}

// priceSentence says what the best day catches and, if wanted, what a week early or late would.
func (s *SapSeason) priceSentence(weeks bool) string {
	d := s.Decision
	text := fmt.Sprintf("Begun on %s, holes catch %s of the season's run days (mean of %s, one a past year), %s of what each outcome's own best day would.",
		shortDate(s.Season.Date(d.Best)), percent(d.Caught), count(d.Years, "outcome"), percent(d.OfHindsight))
	if d.Gone >= 0.005 {
		text += fmt.Sprintf(" %s have gone by already.", percent(d.Gone))
	}
	if weeks && !math.IsNaN(d.WeekEarlier) {
		text += fmt.Sprintf(" A week earlier: %s.", percent(d.WeekEarlier))
	}
	if weeks && !math.IsNaN(d.WeekLater) {
		text += fmt.Sprintf(" A week later: %s.", percent(d.WeekLater))
	}
	first := fmt.Sprintf(" The first run, two run days or more since %s, is ", shortDate(s.Season.Date(firstRunDay)))
	switch d.Missed {
	case 0:
		return text + first + "missed in no outcome."
	case 1:
		return text + first + "missed in every outcome."
	}
	return text + first + fmt.Sprintf("missed in %s of outcomes.", percent(d.Missed))
}

// holeSentence says how long a hole is taken to run.
func (s *SapSeason) holeSentence() string {
	life := s.opt.Life()
	return fmt.Sprintf("A hole is taken to run well for %d days, at half after %d and to be dry after %d (%s; growers' experience, from memory).",
		life*2/3, life, len(holeYield(life)), s.opt.Collection)
}

// endSentence says what ends the season.
func (s *SapSeason) endSentence() string {
	swell := s.est.Get(s.spoiler())
	text := fmt.Sprintf("The last good sap runs between %s and %s, eight years in ten: no more freezes, or %s", shortDate(s.End.P10()), shortDate(s.End.P90()), words(s.spoiler()))
	if s.Species.Sap.Run.Drive == phenology.RootPressure {
		text = fmt.Sprintf("The last good sap runs between %s and %s, eight years in ten, before %s", shortDate(s.End.P10()), shortDate(s.End.P90()), words(s.spoiler()))
	}
	if swell.HasDate() {
		text += fmt.Sprintf(" (%s to %s)", shortDate(swell.P10()), shortDate(swell.P90()))
	}
	text += "."
	if dry, ok := s.dry.Get(); ok {
		drilled := shortDate(s.tapDay.Or(dry))
		if dry < s.End.P50() {
			text += fmt.Sprintf(" Holes drilled on %s are dry before that, about %s; sap may still run, but not in them.", drilled, shortDate(dry))
		} else {
			text += fmt.Sprintf(" Holes drilled on %s would last to about %s.", drilled, shortDate(dry))
		}
	}
	return text
}

func words(p phenology.Phase) string {
	if p == phenology.BudBreak {
		return "bud break"
	}
	return "bud swell"
}

// definition says what is counted as a run day. Its source is among the entry's.
func (s *SapSeason) definition() string {
	r := s.Species.Sap.Run
	return r.Definition()
}

// runDays returns the tenth, middle and ninetieth percentile of a season's run days.
func (s *SapSeason) runDays() (lo, mid, hi float64, ok bool) {
	if len(s.years) < phenology.MinYears {
		return 0, 0, 0, false
	}
	totals := make([]float64, len(s.years))
	for i := range s.years {
		totals[i] = s.years[i].Runs(firstRunDay, s.years[i].End)
	}
	return quantile(totals, 0.1), quantile(totals, 0.5), quantile(totals, 0.9), true
}
