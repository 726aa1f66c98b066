package tapping

import (
	"math"
	"slices"

	"treewhen/calendar"
	"treewhen/phenology"
	"treewhen/phenology/civil"
	"treewhen/phenology/normal"
	"treewhen/phenology/weather"
)

// WarningKind is what a warning is of.
type WarningKind string

// The kinds of warnings.
const (
	WarmSpell WarningKind = "warm-spell" // stored sap spoils, and sap may turn
	FreezeUp  WarningKind = "freeze-up"  // tanks, valves and lines freeze solid and do not thaw by day
)

// Warning is a spell of days, forecast at first, whose weather costs sap or gear. It is of the place: its days are the
// same for all species there.
type Warning struct {
	Kind       WarningKind  `json:"kind"`
	Number     int          `json:"number"` // of its kind in the season, from 1
	Span       civil.Span   `json:"-"`
	Likelihood Share        `json:"likelihood"` // of its surest day
	Begun      bool         `json:"begun"`      // its first day is the as-of day, or past
	Over       bool         `json:"over"`       // all of its days are observed
	Days       []WarningDay `json:"days"`
	Keeps      int          `json:"keeps_days,omitempty"` // of a warm spell: see [keeps]
	Swell      []Swelling   `json:"buds_swell,omitempty"` // of a warm spell: species whose buds may swell in it
	Drilled    bool         `json:"holes_drilled"`        // they are in by its first day, or taken to be
}

// Measured reports whether it has begun for certain: one of its days at least is measured to be such a day. No
// forecast is trusted so far: see [surestForecast].
func (w *Warning) Measured() bool { return w.Likelihood == 1 }

// WarningDay is one day of a warning.
type WarningDay struct {
	Date       civil.Date `json:"date"`
	Min        Celsius    `json:"min"`
	Max        Celsius    `json:"max"`
	Likelihood Share      `json:"likelihood"` // that it is such a day
	Forecast   bool       `json:"forecast"`
}

// Swelling is the day of a warm spell by which the warmth has come, or comes if the forecast holds, that swells a
// species' buds.
type Swelling struct {
	Species *phenology.Species `json:"-"`
	ID      string             `json:"species"`
	Day     civil.Date         `json:"day"`
	Come    bool               `json:"come"` // that day is measured
}

// What warnings are of, and how sure they must be.
const (
	// SpoilBase is the temperature above which sap that is stored spoils, degrees Celsius: sap is to be held at 38 °F
	// (3 °C) or colder (extension sheets).
	SpoilBase = 4.0
	// SpoilWarmth is after how much warmth above SpoilBase stored sap has spoiled, degree-days: a day at 50 °F (10 °C),
	// at which extension sheets give sap a day at most. One producer's log of buckets boiled once a week had sap clear
	// after about 6, with a trace of cloud after about 14, ice in them, and cloudy after about 30.
	SpoilWarmth = 6.0
	spoilDay    = SpoilWarmth / 2 // a day of it is one of which two do

	// FreezeUpNight is the morning's minimum at and below which tank, valves and lines freeze, degrees Celsius: nights
	// of 5 to 10 °F (-15 to -12 °C), by a producer's account; at -6 °C only buckets do. FreezeUpDay is the maximum
	// below which they do not thaw by day: the freezing point.
	FreezeUpNight = -12.0
	FreezeUpDay   = 0.0

	// From warnedFrom on a day is warned of, and down to warnedTo one that was: what a forecast gives one morning and
	// takes the next stands until it is unlikely. What was called off comes back from warnedAnew on. Our own choice:
	// see TestWarningsLived.
	warnedFrom, warnedTo, warnedAnew = 0.6, 0.1, 0.8

	longestWarned = 7   // days of one warning; what goes on is the next. Our own choice
	stationOff    = 0.7 // degrees Celsius, of a thermometer a few kilometres off: see [phenology.RunRule]
)

// How long after it ran sap is still about that warmth can spoil or frost burst the gear with, days: extension sheets
// give stored sap a week at most; that lines have drained by then is common practice, no source.
const (
	sapKeptDays  = 7
	sapLinesDays = 4
)

// spell is one kind of weather that is warned of.
type spell struct {
	kind WarningKind
	task calendar.Task
	sap  civil.Date // days for which sap is about after it ran
	// by how many degrees a day may be colder, or warmer, and still be one: below 0 it is none
	room    func(weather.Day) float64
	bridged bool // one day between two that is none does not end it: sap that has warmed is not saved by it
}

var spells = [...]spell{
	{WarmSpell, calendar.TaskWarmSpell, sapKeptDays, warmRoom, true},
	{FreezeUp, calendar.TaskFreezeUp, sapLinesDays, freezeRoom, false},
}

func freezeRoom(d weather.Day) float64 { return min(FreezeUpNight-d.Min, FreezeUpDay-d.Max) }

// warmRoom is by how many degrees a day may be colder and still bring half of [SpoilWarmth].
func warmRoom(d weather.Day) float64 {
	low, high := -40.0, 40.0
	for high-low > 0.05 {
		by := (low + high) / 2
		if phenology.SineDegreeDays(d.Min-by, d.Max-by, SpoilBase) >= spoilDay {
			low = by
		} else {
			high = by
		}
	}
	return low
}

// findWarnings finds the season's warnings: spells that a forecast has or, as the place's feed tells, had, while there
// are holes and sap that they can spoil. Past years alone never make one. Birches run on when it is warm: they have
// none.
func (s *Season) findWarnings(p *calendar.Plan) {
	t := s.Place.Outlook.Temps
	if t == nil || t.Drawn() || s.Species.Sap.Run.Drive == phenology.RootPressure {
		return
	}
	for i := range spells {
		of := &spells[i]
		known := toldOf(p, s.Place, of.task, s.Season.Year)
		for _, w := range warningsIn(t, of, s.Season, known) {
			if told, held := known[w.Number]; (!held || told.Cancelled) && !s.concerned(&w, of.sap) {
				continue
			}
			drilled, ok := s.TapDay.Get()
			w.Over = w.Over && w.Span.Last < s.AsOf // as of runs: see [Season.findRuns]
			w.Begun, w.Drilled = w.Span.First <= s.AsOf, ok && drilled <= min(w.Span.First, s.AsOf)
			if w.Kind == WarmSpell {
				w.Keeps, w.Swell = keeps(&w), s.swelling(&w)
			}
			s.Warnings = append(s.Warnings, w)
		}
	}
	slices.SortStableFunc(s.Warnings, func(a, b Warning) int { return int(a.Span.First - b.Span.First) })
}

// warningsIn finds the warnings of one kind in a season, as far as its days are known: the spells that a forecast has,
// and those that the feed tells of already.
func warningsIn(
	t *phenology.Temperatures, of *spell, season phenology.Season, known map[int]calendar.Memory,
) []Warning {
	found := spellsIn(t, of, season, known)
	list := make([]numbered, len(found))
	for i := range found {
		list[i] = numbered{&found[i].Number, found[i].Span, found[i].Over}
	}
	renumber(list, known)
	warnings := found[:0]
	for _, w := range found {
		if told, ok := known[w.Number]; ok && !told.Cancelled {
			w.keepFirst(told.Window.First)
		} else if w.Over {
			continue
		}
		warnings = append(warnings, w)
	}
	return warnings
}

// keepFirst keeps the first day that a warning was told to have, if those before it are measured by now: that the
// weather came earlier is no news any more.
func (w *Warning) keepFirst(first civil.Date) {
	for len(w.Days) > 1 && w.Days[0].Date < first && !w.Days[0].Forecast {
		w.Days = w.Days[1:]
	}
	w.Span.First, w.Likelihood = w.Days[0].Date, 0
	for _, d := range w.Days {
		w.Likelihood = max(w.Likelihood, d.Likelihood)
	}
}

// concerned reports whether a spell meets holes that are drilled, or are to be by then, and sap of more than a small
// run within so many days before it, or in it.
func (s *Season) concerned(w *Warning, days civil.Date) bool {
	drilled, ok := s.TapDay.Get()
	if !ok || drilled > w.Span.Last || w.Span.First > min(s.spread(s.End).P90, s.Dry.Or(w.Span.First))+days {
		return false
	}
	sap := civil.Span{First: max(drilled, w.Span.First-days), Last: w.Span.Last}
	return slices.ContainsFunc(s.Runs, func(r Run) bool {
		return r.Size != SizeSmall && r.Span.Overlaps(sap)
	})
}

// spellsIn finds the spells of one kind in a season, as far as its days are known.
func spellsIn(
	t *phenology.Temperatures, of *spell, season phenology.Season, known map[int]calendar.Memory,
) (list []Warning) {
	series := t.Series()
	least := func(d WarningDay) Share {
		from := Share(warnedFrom)
		for _, m := range known {
			switch {
			case !d.Forecast || !m.Window.Contains(d.Date):
			case m.Cancelled:
				from = max(from, warnedAnew)
			default:
				return warnedTo
			}
		}
		return from
	}
	var open *Warning
	var between []WarningDay // of a spell, that are none of its days unless one follows
	closeSpell := func() {
		between = nil
		if open != nil && open.costs(known) {
			last := open.Days[len(open.Days)-1]
			open.Span, open.Over = civil.Span{First: open.Days[0].Date, Last: last.Date}, !last.Forecast
			open.Number = len(list) + 1
			list = append(list, *open)
		}
		open = nil
	}
	lead := 0
	first, last := max(season.Date(FirstRunDay), series.First), min(season.Date(lastRunDay), t.Last())
	for day := first; day <= last; day++ {
		d := series.At(day)
		is := WarningDay{Date: day, Min: Celsius(d.Min), Max: Celsius(d.Max), Forecast: d.Flags&weather.Forecast != 0}
		if lead++; !is.Forecast {
			lead = 0
		}
		if d.Complete() && d.Flags&weather.Synthetic == 0 {
			is.Likelihood = likely(of.room(d), lead)
		}
		if is.Likelihood < least(is) {
			if between = append(between, is); open == nil || !of.bridged || len(between) > 1 {
				closeSpell()
			}
			continue
		}
		if open != nil && len(open.Days)+len(between) >= longestWarned {
			closeSpell() // and what goes on is another, so that it is told of too
		}
		if open == nil {
			open = &Warning{Kind: of.kind}
		}
		for _, d := range append(between, is) {
			open.Days = append(open.Days, d)
			open.Likelihood = max(open.Likelihood, d.Likelihood)
		}
		between = nil
	}
	closeSpell()
	return list
}

// surestForecast is the most that a forecast is trusted, however far beyond a threshold it is; our own choice.
const surestForecast = 0.99

// likely is how likely a day is such a day that has so much room, so many days ahead; of a measured day it is certain.
func likely(room float64, lead int) Share {
	if lead == 0 {
		if room >= 0 {
			return 1
		}
		return 0
	}
	return Share(min(surestForecast, normal.CDF(room/math.Hypot(stationOff, phenology.ForecastError(lead)))))
}

// costs reports whether a spell is worth a word: a warm one that spoils sap, by its warmth or because it was said to.
func (w *Warning) costs(known map[int]calendar.Memory) bool {
	if w.Kind != WarmSpell {
		return true
	}
	span := civil.Span{First: w.Days[0].Date, Last: w.Days[len(w.Days)-1].Date}
	for _, m := range known {
		if !m.Cancelled && m.Window.Overlaps(span) {
			return true
		}
	}
	return w.warmth(len(w.Days)) >= SpoilWarmth
}

// warmth is how much warmth the first days of a spell bring, degree-days above [SpoilBase].
func (w *Warning) warmth(days int) (sum float64) {
	for _, d := range w.Days[:days] {
		sum += phenology.SineDegreeDays(float64(d.Min), float64(d.Max), SpoilBase)
	}
	return sum
}
