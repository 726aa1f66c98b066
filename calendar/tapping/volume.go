package tapping

import (
	"encoding/json"
	"math"

	"treewhen/calendar"
	"treewhen/phenology"
	"treewhen/phenology/civil"
)

// How much runs on a day. The form and its figures were fitted, apart from this program, to a record of about fifty
// buckets (Whately, Massachusetts, 2013: Smith College MacLeish Field Station, CC0) with the temperatures of Harvard
// Forest: it explains a fifth of the days' differences and two fifths of the weeks'. Deeper frost does not mean more
// sap; how long it thaws does.
const (
	dayLitres = 2.4 // of a fresh hole by gravity on a day that thaws for [phenology.WholeThaw] or longer
	// A day's volume lies within times or over e to this of what is expected, two days of three; that of several days
	// less, but for what is of the bush and of the season and not of the day. That a day is known to a factor of two to
	// two and a half is fitted, how much of it is the bush's is our own choice.
	daySpread, bushSpread = 0.7, 0.5
)

// Volume is how much sap may be expected, in litres: two times of three it lies within the range.
type Volume struct {
	Litres float64
	Range
	Taps int // that it is of, at least 1: where the plan does not say how many, it is of one
}

// MarshalJSON writes two digits.
func (v Volume) MarshalJSON() ([]byte, error) {
	return json.Marshal(struct {
		Expected json.RawMessage `json:"expected"`
		Low      json.RawMessage `json:"low"`
		High     json.RawMessage `json:"high"`
		Taps     int             `json:"taps"`
	}{digits(v.Litres), digits(v.Low), digits(v.High), v.Taps})
}

// dayVolume is what a tap gives on a day, litres, from the likelihood that sap runs, the hours for which it may be
// expected to, and what is left in its hole.
func dayVolume(likelihood, hours, left float64) float64 {
	return dayLitres * min(likelihood, hours/phenology.WholeThaw) * left
}

// perTap is what a tap of the season's kind gives beside one of sugar maple by gravity.
func (s *Season) perTap() float64 {
	const sugarMaple = 38 // litres in a season: the middle of the 19 to 57 that its profile has
	scale := 1.0
	if per := s.Species.Sap.PerTap; per != nil {
		scale = (per.Low + per.High) / 2 / sugarMaple
	}
	if s.Options.Collection == calendar.Vacuum {
		scale *= vacuumGives
	}
	return scale
}

// leftOn returns what is left in holes drilled on the season's tapping day, on the morning of each of some days in
// order; all where it is not known when they were drilled. Past the record, warmth is that of the first way in which
// the season may go.
func (s *Season) leftOn(days []RunDay) []float64 {
	list := make([]float64, len(days))
	drilled, ok := s.TapDay.Get()
	day, warmth := drilled, 0.0
	for k, d := range days {
		if !ok {
			list[k] = 1
			continue
		}
		for ; day < d.Date; day++ {
			warmth += s.warmthOn(day)
		}
		if d.Date >= drilled {
			list[k] = s.uses.life.Left(float64(d.Date-drilled), warmth)
		}
	}
	return list
}

// warmthOn is what a day of the season adds to what dries holes, degree-days; 0 beyond the days of the ways.
func (s *Season) warmthOn(day civil.Date) float64 {
	if len(s.Years) == 0 {
		return 0
	}
	y := &s.Years[0]
	if i := int(s.Season.Day(day) - y.First); i >= 0 && i < len(y.Warmth) {
		return y.Warmth[i]
	}
	return 0
}

// Volume returns how much sap a run may bring into holes drilled on the season's tapping day; nil
// for none.
func (s *Season) Volume(r *Run) *Volume {
	return s.volumeOf(r.Days)
}

// volumeOf is [Season.Volume] of some days, in order.
func (s *Season) volumeOf(days []RunDay) *Volume {
	left := s.leftOn(days)
	taps := max(1, s.Options.Taps)
	sum := 0.0
	for k, d := range days {
		likelihood, hours := float64(d.Likelihood), float64(d.Hours)
		if run, ok := s.Place.Outlook.Temps.Run(s.uses.rule, d.Date); ok && s.tuning().Thresholds.Kept {
			likelihood, hours = run.Likelihood, run.Hours
		}
		sum += dayVolume(likelihood, hours, left[k])
	}
	tuned := s.tuning()
	sum *= float64(taps) * s.perTap() * tuned.Factor
	if sum <= 0 {
		return nil
	}
	factor := math.Exp(math.Hypot(tuned.Spread, daySpread/math.Sqrt(float64(len(days)))))
	return &Volume{Litres: sum, Range: Range{sum / factor, sum * factor}, Taps: taps}
}

// tuning is how the place's book tunes volumes.
func (s *Season) tuning() Tuning {
	if s.Book == nil {
		return Tuning{Factor: 1, Spread: bushSpread}
	}
	return s.Book.Tuning
}
