package tapping

import (
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
	Speech  phrase.Speech // how its plan speaks

	Start, End phenology.Estimate
	Advice     Advice
	Decision   *Decision        // nil where there is nothing to decide by, or nothing left to decide
	Runs       []Run            // the season's runs, observed and forecast, in order
	Warnings   []Warning        // of weather that costs sap or gear, in the order of their days
	Doubts     []calendar.Doubt // what is wrong with the temperatures

	Estimates phenology.Estimates
	Options   calendar.TappingOptions
	Years     []phenology.SapYear
	Tapped    bool        // the plan says that it is done
	TapDay    civil.Maybe // when holes were or should be drilled
	Since     civil.Maybe // the day from which on the advice has been to tap now; none if it is to wait
	Times     int         // how many times this season it was advised to tap; 0: never
	WellTimed float64     // that the day advised is a good one, as sure as when it was advised; 0 where none is
	Withdrawn bool        // it was advised to tap, and is better to wait now
	Past      bool        // holes are taken to be drilled, though the plan does not say so
	SapSeen   civil.Maybe // the day by which the user saw sap run from the taps; none if the plan says that it is done
	Dry       civil.Maybe // when holes drilled then give hardly anything more: [Fading.Dry]
	Fading    *Fading     // of the same holes
	Book      *Book       // what the place's book has; nil for nothing

	TapDayAdvised bool // past, and TapDay is the first day on which to tap that day was advised

	uses   assumed                           // by what volumes and holes are foretold: as usual, or tuned to the book
	told   map[calendar.Task]calendar.Memory // what the place's feed tells of its tasks
	gather *SeasonFacts                      // see toldFacts
	ends   map[float64]civil.Date            // see endBy
	spans  map[phenology.Phase]Spread        // see spread
}

// SeasonAt works out a season of sap, nil if the species is not tapped, its sap cannot be dated there, or frost is too
// rare there for a season.
func SeasonAt(p *calendar.Plan, pl *calendar.Place, sp *phenology.Species, season int) *Season {
	if !Tappable(sp) {
		return nil
	}
	est := pl.Outlook.Estimate(sp, season)
	if !dated(est) {
		return nil
	}
	return newSeason(p, pl, est, sizesBefore)
}

// dated reports whether a season of sap has a start and an end.
func dated(est phenology.Estimates) bool {
	return est.Get(phenology.SapStart).HasDate() && est.Get(phenology.SapEnd).HasDate()
}

func newSeason(p *calendar.Plan, pl *calendar.Place, est phenology.Estimates, past pastSizes) *Season {
	s := &Season{
		Place: pl, Species: est.Species, Season: est.Season, AsOf: p.AsOf, Speech: p.Speech,
		Start: est.Get(phenology.SapStart), End: est.Get(phenology.SapEnd), Estimates: est,
		Options: pl.Options.Tapping, told: map[calendar.Task]calendar.Memory{},
		ends: map[float64]civil.Date{}, spans: map[phenology.Phase]Spread{},
	}
	for _, task := range []calendar.Task{calendar.TaskTap, calendar.TaskGather, calendar.TaskLast, calendar.TaskPull} {
		uid := calendar.UID(p.FeedID, pl.Site().ID, calendar.Tapping, []string{est.Species.ID}, task, est.Season.Year)
		if m, ok := pl.Memory[uid]; ok {
			s.told[task] = m
		}
	}
	s.uses = assumed{LifeOf(s.Options), *s.Species.Sap.Run}
	s.Book = s.book()
	s.Years = pl.Outlook.SapYears(s.Species, est.Season.Year, FirstRunDay)
	if d := s.Options.Tapped; d != nil && *d <= p.AsOf && phenology.SeasonAt(pl.Outlook.Site, *d) == est.Season {
		s.Tapped, s.TapDay = true, civil.Some(*d)
	}
	if !s.ByPlace() && !s.Tapped {
		s.Decision = Decide(s.Years, s.terms(est.Season.Day(p.AsOf)))
		s.supposeTapped(s.told[calendar.TaskTap])
	}
	s.seeSap()
	if day, ok := s.TapDay.Get(); ok { // also where there is no record to decide by: the plan may say when it was done
		s.Fading = s.fading(day)
		s.Dry = civil.Some(s.Fading.Dry)
	}
	s.Advice, s.WellTimed = s.advise(), s.wellTimed()
	s.Doubts = pl.Doubts(p.AsOf, calendar.Tapping)
	s.findRuns(toldRuns(p, pl, *est.Species.Sap.Run, est.Season.Year), past)
	s.findWarnings(p)
	return s
}

// wellTimed returns how sure it is that the day advised is a good one: as sure as it was when it was advised, so that
// nobody who acted on it learns another chance each morning.
func (s *Season) wellTimed() float64 {
	if s.Decision == nil {
		return 0
	}
	if since, advised := s.Since.Get(); advised && since < s.AsOf {
		if then := s.decideKnowing(since, s.Season.Day(since)); then.decided {
			return then.wellTimed
		}
	}
	return s.Decision.WellTimed
}

// terms are those of a decision from a day on.
func (s *Season) terms(today phenology.SeasonDay) Terms {
	return Terms{Today: today, Hole: s.uses.life, DaysToTap: s.Options.DaysToTap}
}

// ByPlace reports whether too little is known of the site's temperatures to decide by them.
func (s *Season) ByPlace() bool {
	return len(s.Years) < phenology.MinYears && (len(s.Years) == 0 || s.Start.Basis > phenology.BasisSeason)
}

// mostSince is for how many days the advice to tap now stands. After that holes are taken to be drilled, whether the
// plan says so or not: an alarm that rings every morning is heard by nobody.
const mostSince = 10

// HoldMargin is by how much of the catch waiting must beat drilling for an advice to tap to be withdrawn: a share of
// what waiting promises. Who was told to tap has called a crew, and is not called back for what the next morning's
// forecast may give again. On two open records that costs 0.5 points of the catch: see TestHeldAdviceCostsLittle.
const HoldMargin = 0.07

// Names of facts in feeds. They are read again; they cannot change.
const (
	factAdvice = "advice"
	factSince  = "since"
	factTimes  = "times"
	factSize   = "size"

	factHolesEnd = "holes-end-it"
	factBegun    = "begun"
)

// supposeTapped settles since when it has been advised to tap, and on which day holes are taken to be drilled while
// the plan says nothing of it: that day, also when it is long past; the best day to come; or, if the time is past and
// no day was advised, the day that the past years alone advise. What was advised is what the place's feed told; where
// there is no feed, it is worked out what it would have told.
func (s *Season) supposeTapped(told calendar.Memory) {
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
	if !usual.decided {
		return
	}
	over := d == nil || d.Late
	since := s.advisedSince(told, usual, over)
	day, advised := since.Get()
	withdrawn := advised && told.Told[factAdvice] == string(WaitAgain) // who waits is not taken to have drilled
	long := advised && !withdrawn && s.AsOf >= day+mostSince
	switch {
	case over || long:
		s.Past, s.TapDay, s.TapDayAdvised = true, since, advised
		if advised && !long && d != nil {
			s.Since = since // it is too late now, but what was published as certain stands to its end
		}
		if !advised {
			s.TapDay = civil.Some(min(s.AsOf, s.Season.Date(usual.best)))
		}
	case advised:
		if withdrawn && d.Now() { // advised anew
			since, s.Times = civil.Some(s.AsOf), s.Times+1
		} else {
			s.Withdrawn = withdrawn || s.AsOf > day && d.Share(today) < d.Waiting*(1-HoldMargin)
		}
		s.Since, s.TapDay = since, since
		d.begin(today) // whoever has not drilled yet learns what that would bring now
	case d.Now():
		s.Since, s.TapDay, s.Times = civil.Some(s.AsOf), civil.Some(s.AsOf), 1
	default:
		s.keep(told)
		s.TapDay = bestDay(d)
	}
}

// keep keeps the day that the place's feed names as the best, while it catches within [HoldMargin] of the best, and
// with it the days beside it that are named as good: each morning's forecast makes others better by a little.
func (s *Season) keep(told calendar.Memory) {
	d := s.Decision
	best, ok := told.Best.Get()
	if !ok || told.Cancelled || best <= s.AsOf {
		return
	}
	if day := s.Season.Day(best); d.Share(day) >= d.Share(d.Best)*(1-HoldMargin) {
		d.begin(day)
		d.Later = day
		d.keep(s.Season.Day(told.Window.First), s.Season.Day(told.Window.Last)-phenology.SeasonDay(d.Terms.DaysToTap-1))
	}
}

// Spoiler is the phase from which sap is no longer worth boiling.
func (s *Season) Spoiler() phenology.Phase { return phenology.SapSpoiler(s.Species) }

// endBy returns the day by which, with a probability, the season has ended. A dozen facts ask for the same few days.
func (s *Season) endBy(p float64) civil.Date {
	day, ok := s.ends[p]
	if !ok {
		day = s.End.Quantile(p)
		s.ends[p] = day
	}
	return day
}

// lastDay returns the day by which, with a probability, the last sap worth boiling has run into a hole: the earlier of
// the season's end and of the hole's.
func (s *Season) lastDay(p float64) civil.Date {
	d := s.endBy(p)
	if dry, ok := s.Dry.Get(); ok {
		off := phenology.Distribution{{SD: drySpread, Weight: 1}}.Quantile(p)
		d = min(d, dry+civil.Date(math.Round(off)))
	}
	return d
}

// drySpread is how well it is known when a hole is dry, days as a standard deviation: growers' figures differ by more.
// Our own choice.
const drySpread = 10

// holesEnd reports whether holes are dry before a day, so that they end the season and not the buds. What the feed
// tells stays while it is close.
func (s *Season) holesEnd(day civil.Date, told calendar.Memory) bool {
	dry, ok := s.Dry.Get()
	switch said, published := told.Told[factHolesEnd]; {
	case !ok:
		return false
	case published && said == "yes":
		return dry < day+drySpread
	case published:
		return dry < day-drySpread
	}
	return dry < day
}

// runDays returns how many run days a season has until sap is spoiled; nil where too few years tell.
func (s *Season) runDays() *RunDays {
	if len(s.Years) < phenology.MinYears {
		return nil
	}
	totals := make([]float64, len(s.Years))
	for i := range s.Years {
		totals[i] = s.Years[i].Runs(FirstRunDay, s.Years[i].End)
	}
	at := func(p float64) float64 { return phenology.QuantileOf(totals, p) }
	return &RunDays{at(0.1), at(0.5), at(0.9)}
}

// rings reports whether the season's dates rest on more than the place: only then does anything ring.
func (s *Season) rings() bool { return s.End.Basis < phenology.BasisPlace }

// sources are the citations behind some phases of the season.
func (s *Season) sources(phases ...phenology.Phase) []phenology.Source {
	return s.Estimates.Cited(phases...)
}
