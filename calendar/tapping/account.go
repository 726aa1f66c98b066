package tapping

import (
	"math"

	"treewhen/calendar"
	"treewhen/calendar/phrase"
	"treewhen/phenology"
	"treewhen/phenology/civil"
)

// Account is how a season of sap stands on the as-of day, as people are told of it beside its pieces of work. It keeps
// nothing of the place's temperatures.
type Account struct {
	Site       *phenology.Site
	Species    *phenology.Species
	Season     phenology.Season
	Speech     phrase.Speech // how its plan speaks
	Open       bool          // the day to tap is still to be chosen: see [Season.IsOpen]
	Past       bool          // see [Season.IsOver]
	Start, End phenology.Estimate
	Tap        *TapFacts
	Gather     *SeasonFacts // with the season told and its buds
	Shares     []DayShare
	Runs       []RunFacts // of the whole season, in order
	Warnings   []Warning  // of days not over yet
	Book       *Book      // nil for none
	Bush       Bush
}

// DayShare is what holes catch that are begun on a day.
type DayShare struct {
	Begin  civil.Date `json:"begin"`
	Weeks  int        `json:"weeks_from_best"`
	Caught Share      `json:"caught"`         // of the run days of the season
	Hours  Hours      `json:"hours"`          // of a fresh hole: see [Decision.Hours]
	OfBest Share      `json:"caught_of_best"` // see [Decision.OfBest]
}

// weeksPriced is for how many weeks before and after the best day others are priced. Our own choice.
const weeksPriced = 2

// Shares prices the best day, and those one and two weeks from it that can still be chosen; none where nothing is left
// to decide.
func (s *Season) Shares() (list []DayShare) {
	d := s.Decision
	if d == nil || d.Late {
		return nil
	}
	for weeks := -weeksPriced; weeks <= weeksPriced; weeks++ {
		day := d.Best + phenology.SeasonDay(7*weeks)
		if share := d.Share(day); !math.IsNaN(share) {
			list = append(list, DayShare{Begin: s.Season.Date(day), Weeks: weeks, Caught: Share(share),
				Hours: Hours(d.Hours(day)), OfBest: Share(d.OfBest(day))})
		}
	}
	return list
}

// RunFacts returns the facts of one of the season's runs.
func (s *Season) RunFacts(r Run) *RunFacts {
	f := &RunFacts{Run: r, AsOf: s.AsOf, Doubts: s.Doubts}
	if !r.Over {
		f.Volume = s.Volume(&r)
	}
	if number, is := s.firstThaw(); number == r.Number {
		f.Thaw = is
	}
	return f
}

// Account tells how the season stands.
func (s *Season) Account() *Account {
	b := s.Bush()
	a := &Account{
		Site: b.site, Species: s.Species, Season: s.Season, Speech: s.Speech, Open: s.IsOpen(), Past: s.IsOver(),
		Start: s.Start, End: s.End, Tap: s.TapFacts(), Gather: s.toldFacts(), Shares: s.Shares(), Book: s.Book, Bush: b,
	}
	for i := range s.Warnings {
		if w := s.Warnings[i]; w.Span.Last >= s.AsOf {
			a.Warnings = append(a.Warnings, w)
		}
	}
	for _, r := range s.Runs {
		a.Runs = append(a.Runs, *s.RunFacts(r))
	}
	return a
}

// AccountsOf returns how the seasons of sap stand that a schedule tells of, in the order of places and species: at a
// place or, with "", at all of them.
func AccountsOf(s *calendar.Schedule, site string) (list []*Account) {
	for _, told := range s.Accounts {
		if a, ok := told.(*Account); ok && (site == "" || a.Site.ID == site) {
			list = append(list, a)
		}
	}
	return list
}

// CrewOf works out how one crew serves the bushes of some accounts: see [CrewOrder].
func CrewOf(list []*Account) *Crew {
	bushes := make([]Bush, len(list))
	for i, a := range list {
		bushes[i] = a.Bush
	}
	return CrewOrder(bushes)
}

// isTold reports whether it is told how a season stands: the one under way, for some weeks after its end also one that
// is over, and then the next.
func (w *work) isTold(s *Season) bool {
	switch this := phenology.SeasonAt(*w.Place.Site(), w.Plan.AsOf).Year; s.Season.Year {
	case this:
		return !s.IsOver() || s.StillTold()
	case this + 1:
		est := w.In(s.Species, this)
		return dated(est) && est.Get(phenology.SapEnd).Quantile(surelyOver.chance) < w.Plan.AsOf
	}
	return false
}

// join adds to what a run may bring into holes in one species what it may bring into those in another: nobody says how
// many taps are in which, so that it lies between.
func (v *Volume) join(other *Volume) *Volume {
	if v == nil || other == nil {
		if v == nil {
			return other
		}
		return v
	}
	return &Volume{Litres: (v.Litres + other.Litres) / 2, Taps: max(v.Taps, other.Taps),
		Range: Range{min(v.Low, other.Low), max(v.High, other.High)}}
}
