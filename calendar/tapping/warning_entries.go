package tapping

import (
	"slices"
	"strconv"

	"treewhen/calendar"
	"treewhen/phenology"
	"treewhen/phenology/civil"
)

// What warnings ring for: see [RingSoon].
const (
	RingWarm   = "warm-spell"
	RingFreeze = "freeze-up"
	RingFirst  = "first-run" // the run after the first hard thaw, some days ahead
)

// Thaw is what a run is of which a thaw is the first that is worth gathering: trunks that have been frozen for long
// thaw first, in a day or two of sun, the south side before the north (University of Vermont, as producers tell it).
type Thaw struct {
	First  bool    `json:"first"`       // it is that run
	Before Celsius `json:"week_before"` // mean of the seven days before it
	Frozen bool    `json:"frozen"`      // that is deep cold, so that trunks must thaw first
}

// frozenMean is the mean of a week after which trunks are taken to be frozen, degrees Celsius: below it deep cold
// delays a run. Our own choice, as in [phenology.RunRule].
const frozenMean = -5.0

// firstThaw returns what the first run into the season's holes of more than small size is, and its number; 0 where
// there is none yet.
func (s *Season) firstThaw() (number int, is Thaw) {
	for _, r := range s.runsTold() {
		if r.Size == SizeSmall || r.Size == SizeUnknown && len(r.Days) < 2 {
			continue
		}
		series, sum, days := s.Place.Outlook.Temps.Series(), 0.0, 0.0
		for d := r.Span.First - 7; d < r.Span.First; d++ {
			if day := series.At(d); day.Complete() {
				sum, days = sum+day.Mean(), days+1
			}
		}
		mean := sum / max(1, days)
		return r.Number, Thaw{true, Celsius(mean), mean < frozenMean}
	}
	return 0, Thaw{}
}

// thawNotice is how many days before it the run after the first hard thaw is told of: the lines are to be walked and
// the tank washed before it. Our own choice.
const thawNotice = 3

// WarningFacts are the facts of one warning, of whichever species are tapped at its place.
type WarningFacts struct {
	Warning
	Doubts []calendar.Doubt `json:"doubts,omitempty"`
}

func (*WarningFacts) ofTapping() {}

// Essence is whether it has begun; what it is of, and on which days, is what every event tells.
func (f *WarningFacts) Essence() []calendar.Fact {
	return []calendar.Fact{{Name: factBegun, Value: f.Measured()}}
}

// Line returns what one line of text needs.
func (*WarningFacts) Line() calendar.Facts { return Line{} }

// warn adds the warnings of a season, each once: they are of the place. A species that concerns itself with one adds
// it, and one that comes after adds itself.
func (w *work) warn(season int) {
	var list []*calendar.Entry
	for _, sp := range w.Place.Species {
		s := w.sap[sp.ID]
		if s == nil || s.Season.Year != season {
			continue
		}
		for _, warning := range s.Warnings {
			e := s.warningEntry(warning)
			i := slices.IndexFunc(list, func(other *calendar.Entry) bool {
				return other.Task == e.Task && slices.Equal(other.Tell, e.Tell)
			})
			if i < 0 {
				list = append(list, e)
				continue
			}
			list[i].Species = append(list[i].Species, sp)
			f := list[i].Facts.(*WarningFacts)
			f.Swell, f.Drilled = append(f.Swell, warning.Swell...), f.Drilled || warning.Drilled
		}
	}
	for _, e := range list {
		w.Add(e)
	}
}

// warningEntry is one warning as an event.
func (s *Season) warningEntry(w Warning) *calendar.Entry {
	task, kind, until := calendar.TaskWarmSpell, RingWarm, w.Span.Last
	if w.Kind == FreezeUp {
		task, kind, until = calendar.TaskFreezeUp, RingFreeze, w.Span.First
	}
	e := s.entry(task, &WarningFacts{Warning: w, Doubts: s.Doubts})
	e.Tell = []string{strconv.Itoa(w.Number)}
	e.Rests.Basis, e.Rests.Observed = phenology.BasisSeason, s.Place.Outlook.Temps.Observed()
	e.Window, e.Best, e.Probability = w.Span, w.Span.First, float64(w.Likelihood)
	if w.Over { // it stands as a record
		e.State, e.Rests.Basis, e.Settled, e.Probability = calendar.Observed, phenology.BasisReached, true, 1
		return e
	}
	e.Reminders = []calendar.Reminder{
		{Kind: kind, Before: 1, On: w.Span.First, Minute: s.Options.Reminder, Until: until},
	}
	return e
}

// keeps is for how many days sap that is gathered on the first morning of a warm spell keeps in the open, at least 1.
func keeps(w *Warning) int {
	for n := range w.Days {
		if w.warmth(n+1) >= SpoilWarmth {
			return n + 1
		}
	}
	return len(w.Days)
}

// swelling is on which day of a warm spell, if any, the warmth that swells the species' buds is met.
func (s *Season) swelling(w *Warning) []Swelling {
	for _, d := range w.Days {
		so := func(on civil.Date) bool {
			far, ok := s.Place.Outlook.Progress(s.Species, s.Spoiler(), s.Season.Year, on)
			return ok && far >= 1
		}
		if so(d.Date) {
			if so(w.Span.First - 1) {
				return nil // they had swelled before
			}
			return []Swelling{{s.Species, s.Species.ID, d.Date, !d.Forecast}}
		}
	}
	return nil
}
