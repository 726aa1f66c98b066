package tapping

import (
	"strconv"

	"treewhen/calendar"
	"treewhen/phenology"
	"treewhen/phenology/civil"
)

// Facts are those of an entry of tapping: [*TapFacts], [*RunFacts], [*SeasonFacts] or, of each, [Line].
type Facts interface {
	calendar.Facts
	Line() calendar.Facts // a [Line]: what one line of text needs
	ofTapping()
}

func (*TapFacts) ofTapping()    {}
func (*RunFacts) ofTapping()    {}
func (*SeasonFacts) ofTapping() {}
func (Line) ofTapping()         {}

// TapFacts are the facts of tapping itself: what to do, when, what it costs to do otherwise, and what all this rests
// on.
type TapFacts struct {
	Advice Advice      `json:"advice"`
	AsOf   civil.Date  `json:"-"`              // the day of which the advice is
	Since  civil.Maybe `json:"since,omitzero"` // the day from which on it has been advised to tap
	// how many times this season it was advised to tap: a second time if it was better to wait in between
	Times int `json:"times_advised,omitempty"`
	// on which holes were, are taken to have been, or are best drilled
	TapDay civil.Maybe `json:"tap_day,omitzero"`
	// of TakenDone: TapDay is the first on which it was advised; else it is that on which sap was seen, or the usual
	// day
	TapDayAdvised bool        `json:"-"`
	SapSeen       civil.Maybe `json:"-"`                  // of TakenDone: the day by which the user saw sap run
	Dry           civil.Maybe `json:"holes_dry,omitzero"` // when holes drilled on TapDay give hardly anything more
	Fading        *Fading     `json:"-"`                  // of the same holes; nil where Dry is not known

	*Price // nil where there is nothing to decide

	Hole      Hole                    `json:"hole"`
	DaysToTap int                     `json:"days_to_tap"` // that the job takes, at least 1
	Rule      calendar.TapsByDiameter `json:"taps_by_diameter"`
	Start     Spread                  `json:"sap_start"`
	End       Spread                  `json:"sap_end"` // of sap worth boiling
	RunDays   *RunDays                `json:"run_days,omitempty"`
	Evidence  Evidence                `json:"evidence"`
	Doubts    []calendar.Doubt        `json:"doubts,omitempty"`
	Sources   []phenology.Source      `json:"-"` // of the dates; that of a run day is the species'
}

// Price is what the day to begin drilling catches, and what other days would: shares are of the run days of the whole
// season, means over the ways in which it may go. See [Decision].
type Price struct {
	Best  civil.Date  `json:"best"`
	First civil.Date  `json:"first"` // from here to Last is as good as Best, within the Plateau
	Last  civil.Date  `json:"last"`
	Later civil.Maybe `json:"later,omitzero"` // the best day after today
	// better still: the first morning from here on that follows a run day
	RunFrom     civil.Maybe `json:"run_from,omitzero"`
	Caught      Share       `json:"caught"`           // begun on Best
	Today       Share       `json:"today,omitzero"`   // begun today
	Waiting     Share       `json:"waiting,omitzero"` // by the best way of waiting
	WeekEarlier Share       `json:"week_earlier,omitzero"`
	WeekLater   Share       `json:"week_later,omitzero"`
	Gone        Share       `json:"gone"`             // that has run before today
	OfHindsight Share       `json:"of_hindsight"`     // what Best catches, of what the best day of each way would
	Hours       Hours       `json:"hours_caught"`     // for which sap runs into the holes: see [Decision.Hours]
	Missed      Share       `json:"missed_first_run"` // of the ways in which two run days or more go by before Best
	// the chance that Best catches at least four fifths of what hindsight would
	WellTimed   Share      `json:"well_timed"`
	CountedFrom civil.Date `json:"run_days_counted_from"`
}

// Hole is how long a hole is taken to run: see [HoleLife].
type Hole struct {
	// by age alone, in days
	Well       int                 `json:"well_days"`        // until it gives three quarters
	Half       int                 `json:"half_days"`        // until it gives half: see [calendar.TappingOptions.Life]
	Dry        int                 `json:"dry_days"`         // until it gives a quarter
	HalfWarmth int                 `json:"half_degree_days"` // by warmth alone
	Share      Share               `json:"drying_by_warmth"` // of the drying
	Collection calendar.Collection `json:"collection"`
}

// NewHole returns how long a hole drilled on the options' terms is taken to run.
func NewHole(o calendar.TappingOptions) Hole { return holeOf(LifeOf(o), o.Collection) }

func holeOf(l HoleLife, collection calendar.Collection) Hole {
	days := func(left float64) int { return int(l.Days*worn(left) + 0.5) }
	return Hole{Well: days(wellLeft), Half: days(halfLeft), Dry: days(dryLeft), HalfWarmth: int(l.Warmth + 0.5),
		Share: Share(l.Share), Collection: collection}
}

// Fading is how holes drilled on one day go on in the middle one of the ways in which the season may go.
type Fading struct {
	Well civil.Date `json:"well"` // until here they give three quarters or more of what they gave when fresh
	Half civil.Date `json:"half"` // and half
	Dry  civil.Date `json:"dry"`  // and a quarter, which is as good as dry
}

// Spread are the days by which something has come in one, five and nine years of ten.
type Spread struct {
	P10 civil.Date `json:"p10"`
	P50 civil.Date `json:"p50"`
	P90 civil.Date `json:"p90"`
}

// spread returns the days of one of the season's estimates, worked out once.
func (s *Season) spread(e phenology.Estimate) Spread {
	days, ok := s.spans[e.Phase]
	if !ok {
		days = Spread{e.P10(), e.P50(), e.P90()}
		s.spans[e.Phase] = days
	}
	return days
}

// RunDays is how many run days a season has until sap is spoiled: fewer in one year of ten, in five and in nine.
type RunDays struct{ P10, P50, P90 float64 }

// Evidence is what an advice rests on.
type Evidence struct {
	SeasonTo   civil.Maybe `json:"season_to,omitzero"`   // the last observed day of this season
	ForecastTo civil.Maybe `json:"forecast_to,omitzero"` // the last day of the forecast that was used
	Years      int         `json:"years"`                // ways in which the season may go: one a past year
	Drawn      bool        `json:"drawn,omitempty"`      // the years are drawn from the monthly normals
	BuiltIn    bool        `json:"built_in,omitempty"`   // those are the built-in climate's
}

// SeasonFacts are the facts of gathering, of the last runs and of pulling the taps: when sap runs, and when it ends.
type SeasonFacts struct {
	AsOf       civil.Date      `json:"-"`
	Start      Spread          `json:"sap_start"`
	End        Spread          `json:"sap_end"`            // of sap worth boiling
	Spoils     phenology.Phase `json:"spoiled_by"`         // from which sap is no longer worth boiling
	Spoiled    *Spread         `json:"spoiled,omitempty"`  // when that comes; nil if it cannot be dated
	TapDay     civil.Maybe     `json:"tap_day,omitzero"`   // as in [TapFacts]
	Dry        civil.Maybe     `json:"holes_dry,omitzero"` // as in [TapFacts]
	RunDays    *RunDays        `json:"run_days,omitempty"` // of the gathering
	Quantities *Quantities     `json:"quantities,omitempty"`
	Begun      bool            `json:"begun,omitempty"`       // of the gathering: sap has started, and holes are in
	Told       *Told           `json:"season_told,omitempty"` // of the gathering, from its first run days on
	Buds       *Buds           `json:"buds,omitempty"`        // of the gathering, while it is not over
	// holes are dry before the season's end, or may be: the probability is of that
	HolesEnd bool               `json:"holes_end_it"`
	Sources  []phenology.Source `json:"-"`
}

// RunFacts are the facts of one run, of whichever species share its rule: nothing of them tells of the first.
type RunFacts struct {
	Run
	AsOf civil.Date `json:"-"`
	Thaw Thaw       `json:"first_thaw,omitzero"` // of the run after the first hard thaw
	// that may come into the holes; nil of a run that is over, and where it ends before they are drilled. Of several
	// species: from the least to the most, were all holes in one of them
	Volume *Volume          `json:"sap_litres,omitempty"`
	Doubts []calendar.Doubt `json:"doubts,omitempty"`
}

// Line is what is left of an entry's facts where one line of it is shown.
type Line struct {
	Size  RunSize
	Begun bool // of a run or a gathering
	Ahead bool // of a run: days of it are still to come
}

// NoDates is the note that a species' tapping cannot be dated at a place.
type NoDates struct {
	Species *phenology.Species
	Lack    phenology.Lack // why there is no date
}

// Essence is the advice, and since when it has been to tap: what is caught, by which evidence, moves every day.
func (f *TapFacts) Essence() []calendar.Fact {
	list := []calendar.Fact{{Name: factAdvice, Value: string(told(f.Advice))}}
	since := f.Since
	if !since.Known() && f.TapDayAdvised {
		since = f.TapDay
	}
	if since.Known() {
		list = append(list, calendar.Fact{Name: factSince, Value: since},
			calendar.Fact{Name: factTimes, Value: strconv.Itoa(f.Times)})
	}
	return list
}

// told is the advice as a feed tells it. Whether it is as well to tap already, or the season has begun, is not worth a
// message: who is to wait may wait.
func told(a Advice) Advice {
	switch a {
	case TapOrWait, PlanAhead:
		return Wait
	}
	return a
}

// Essence is which run it is, and how large.
func (f *RunFacts) Essence() []calendar.Fact {
	size := f.Size
	if size == SizeUnknown {
		size = "unknown"
	}
	return []calendar.Fact{{Name: factSize, Value: string(size)}}
}

// Essence is whether it is the holes that end the season.
func (f *SeasonFacts) Essence() []calendar.Fact {
	return []calendar.Fact{{Name: factHolesEnd, Value: f.HolesEnd}}
}

// Essence is none: a line is never published.
func (Line) Essence() []calendar.Fact { return nil }

// Line returns what one line of text needs.
func (f *TapFacts) Line() calendar.Facts { return Line{} }
func (f *RunFacts) Line() calendar.Facts {
	return Line{f.Size, f.Begun(), f.Days[len(f.Days)-1].Forecast}
}
func (f Line) Line() calendar.Facts         { return f }
func (f *SeasonFacts) Line() calendar.Facts { return Line{Begun: f.Begun} }

// TapFacts returns the facts of tapping.
func (s *Season) TapFacts() *TapFacts {
	return &TapFacts{
		Advice: s.Advice, AsOf: s.AsOf, Since: s.Since, Times: s.Times,
		TapDay: s.TapDay, TapDayAdvised: s.TapDayAdvised, Dry: s.Dry, Fading: s.Fading, SapSeen: s.SapSeen,
		Price: s.price(), Hole: holeOf(s.uses.life, s.Options.Collection), DaysToTap: max(1, s.Options.DaysToTap),
		Rule:  s.Options.TapsByDiameter,
		Start: s.spread(s.Start), End: s.spread(s.End), RunDays: s.runDays(), Evidence: s.evidence(), Doubts: s.Doubts,
		Sources: s.sources(phenology.SapStart, s.Spoiler()),
	}
}

// price returns the numbers of the season's decision, with dates for days of the season.
func (s *Season) price() *Price {
	d := s.Decision
	if d == nil {
		return nil
	}
	day := func(day phenology.SeasonDay) civil.Maybe {
		if day == 0 {
			return civil.Maybe{}
		}
		return civil.Some(s.Season.Date(day))
	}
	return &Price{
		Best: s.Season.Date(d.Best), First: s.Season.Date(d.First), Last: s.Season.Date(d.Last), Later: day(d.Later),
		RunFrom: day(d.RunFrom), Caught: Share(d.Caught), Today: Share(d.Share(s.Season.Day(s.AsOf))),
		Waiting:     Share(d.Waiting),
		WeekEarlier: Share(d.WeekEarlier), WeekLater: Share(d.WeekLater), Gone: Share(d.Gone),
		OfHindsight: Share(d.OfHindsight), Hours: Hours(d.Hours(d.Best)),
		Missed: Share(d.Missed), WellTimed: Share(s.WellTimed), CountedFrom: s.Season.Date(FirstRunDay),
	}
}

// evidence returns what the season's advice rests on.
func (s *Season) evidence() Evidence {
	e := Evidence{Years: len(s.Years), Drawn: s.Start.Basis == phenology.BasisNormals, BuiltIn: s.Start.BuiltIn > 0}
	t := s.Place.Outlook.Temps
	if t == nil {
		return e
	}
	first := s.Season.Date(FirstRunDay)
	if t.Observed() >= first {
		e.SeasonTo = civil.Some(t.Observed())
	}
	if t.Last() > t.Observed() && t.Last() > s.AsOf && t.Last() >= first && !e.Drawn {
		e.ForecastTo = civil.Some(t.Last())
	}
	return e
}

// SeasonFacts returns the facts of the season's course and end, with the citations behind some of its phases.
func (s *Season) SeasonFacts(cited ...phenology.Phase) *SeasonFacts {
	f := &SeasonFacts{
		AsOf: s.AsOf, Start: s.spread(s.Start), End: s.spread(s.End), Spoils: s.Spoiler(), TapDay: s.TapDay, Dry: s.Dry,
		Sources: s.sources(cited...),
	}
	if swell := s.Estimates.Get(f.Spoils); swell.HasDate() {
		spoiled := s.spread(swell)
		f.Spoiled = &spoiled
	}
	return f
}

// GatherFacts returns the facts of gathering: those of the season, its run days and what it brings.
func (s *Season) GatherFacts() *SeasonFacts {
	f := s.SeasonFacts(phenology.SapStart, phenology.SapEnd, s.Spoiler())
	f.RunDays, f.Quantities = s.runDays(), s.quantities()
	return f
}
