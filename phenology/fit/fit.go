// Package fit answers: what do these observations and temperatures say of when a phase comes, and how far could that be
// trusted in a year they have not seen?
//
// [Fit] sets one number for each model of a [Bank], its requirement: the mean of what had been gathered by the day the
// phase was seen. Nothing else is chosen, since with ten or twenty years that follows the noise; the dates of the
// bank's models are averaged.
//
// [Gather] and [Evidence.Choose] search: they try forms of model with their bases, starts and thresholds, and take one
// in the place of a simpler one only where the dates bear it out. The rule is that of one standard error (Breiman,
// Friedman, Olshen & Stone 1984, Classification and regression trees, section 3.4.3, from memory), with the differences
// of squared errors taken year by year, and reasons against odd choices: see [Row].
//
// Errors are of years left out. Each year is dated by requirements that were set, and by choices that were made,
// without it, and held against the mean date of the other years. That is leave-one-year-out cross-validation, nested
// where something is chosen: Stone (1974), Cross-validatory choice and assessment of statistical predictions, Journal
// of the Royal Statistical Society B 36:111-147 (from memory).
package fit

import (
	"fmt"
	"math"

	"treewhen/phenology"
)

// Limits of what observations can carry.
const (
	// MinYears is how many years of observations a requirement is fitted to. With fewer the mean of what was gathered
	// is less certain than what the profile says, which is then kept. On the built-in species, requirements of eight
	// years were off by 1.2 days on the mean, of four by 1.7.
	MinYears = 8

	lastStart   = 84 // 25 March: starts later than that ran to the edge of their range and failed in odd springs
	leadIn      = 14 // days that a model must sum at least before the earliest date seen
	priorWeight = 8  // years that the phase's usual residual counts as, beside the residuals found
)

// Year is a phase seen in one season.
type Year struct {
	Season phenology.Season
	Day    float64 // moment of the season

	// Flowered is, of ripe fruit, the moment of its flowering, as it was seen or follows from temperatures; 0: not
	// known.
	Flowered float64
}

// Result is a phase fitted.
type Result struct {
	Models   []phenology.Model
	Residual float64 // days: root of the mean square error of years left out, blended with the phase's usual one
	Years    int     // seasons that went in
	RMSE     float64 // days, of years left out
	MeanRMSE float64 // days; the mean date of the other years
	Profile  float64 // days; the profile's own models on the same years, NaN where it has none
	Mean     float64 // mean moment of the season
	Spread   float64 // standard deviation between years, days
	From, To int     // the years of the first and of the last season that went in
	Dropped  []string
	Rows     []Row // what was tried, where there was a search
}

// ErrCannotCarry is what the data cannot carry; its text says what would.
type ErrCannotCarry struct{ Reason string }

func (e *ErrCannotCarry) Error() string { return e.Reason }

func tooFew(n int) error {
	return cannot("%s of observations, want at least %d: %d more would do", count(n, "year"), MinYears, MinYears-n)
}

func notCovered(n, of int) error {
	return cannot("temperatures cover only %d of the %d years of observations, want at least %d: %d more would do", n,
		of, MinYears, MinYears-n)
}

func cannot(format string, args ...any) error { return &ErrCannotCarry{fmt.Sprintf(format, args...)} }

// Fit fits a phase's models to the years in which it was seen. A model is left out if it begins after 25 March or less
// than a fortnight before the earliest date seen, or if the record does not let it date every year.
//
// It refuses, saying what would help, with fewer than [MinYears] years that the temperatures cover, if no model can
// serve, and if the models do not beat the mean date of the other years.
func Fit(t *phenology.Temperatures, phase phenology.Phase, bank Bank, years []Year) (*Result, error) {
	if n := len(years); n < MinYears {
		return nil, tooFew(n)
	}
	data, used, dropped := gather(t, phase, bank.For(phase), years)
	if n := len(used); n < MinYears {
		return nil, notCovered(n, len(years))
	}
	if len(data) == 0 {
		return nil, cannot("no model can serve: all begin too late for the earliest date seen, or do not reach it " +
			"every year")
	}
	r := &Result{Years: len(used), Dropped: dropped, Profile: math.NaN(), Models: modelsWithout(data, -1)}
	r.Mean, r.Spread = MeanSpread(used)
	r.From, r.To = used[0].Season.Year, used[len(used)-1].Season.Year
	var square, nullSquare float64
	n := float64(len(used))
	for i, y := range used {
		predicted, ok := dateBy(t, modelsWithout(data, i), y.Season)
		if !ok {
			return nil, cannot("without %d the models cannot date that year: more years would steady them",
				y.Season.Year)
		}
		square += sq(predicted - y.Day)
		nullSquare += sq((r.Mean*n-y.Day)/(n-1) - y.Day)
	}
	r.RMSE, r.MeanRMSE = math.Sqrt(square/n), math.Sqrt(nullSquare/n)
	r.Residual = blend(square, n, phase)
	return r, nil
}

// UsualResidual is the median error, on years left out, of the panel over the species of Harvard Forest Data Archive
// HF003 (1990 to 2005), in days: with few years a fit's own error is itself a guess, and is drawn towards this.
func UsualResidual(p phenology.Phase) float64 {
	switch p {
	case phenology.BudBreak, phenology.BudSwell:
		return 3.6
	case phenology.LeafOut:
		return 4.85
	case phenology.Flowering, phenology.FloweringEnd:
		return 5.14
	}
	return 6
}

// blend draws a sum of squared errors towards the phase's usual error.
func blend(square, n float64, p phenology.Phase) float64 {
	return math.Sqrt((square + priorWeight*sq(UsualResidual(p))) / (n + priorWeight))
}

// gathering is what a model had gathered by each day seen.
type gathering struct {
	model phenology.Fittable
	sums  []float64
}

// needWithout returns the mean of what was gathered, without one of the years; with all for -1.
func (g gathering) needWithout(year int) float64 {
	sum, n := 0.0, 0.0
	for i, s := range g.sums {
		if i != year {
			sum, n = sum+s, n+1
		}
	}
	return sum / n
}

// modelsWithout returns models with the requirements that all years but one set; all of them for -1.
func modelsWithout(data []gathering, year int) []phenology.Model {
	models := make([]phenology.Model, len(data))
	for i, g := range data {
		models[i] = g.model.WithNeed(g.needWithout(year))
	}
	return models
}

// dateBy returns the mean of the days by which models date a season, and whether all of them do.
func dateBy(t *phenology.Temperatures, models []phenology.Model, season phenology.Season) (mean float64, ok bool) {
	for _, m := range models {
		day, ok := t.DateBy(m, season)
		if !ok {
			return 0, false
		}
		mean += day / float64(len(models))
	}
	return mean, true
}

// gather sums up the models that can serve over the years that the record covers. The earliest start decides which
// years those are, so that all models rest on the same.
func gather(t *phenology.Temperatures, phase phenology.Phase, bank Bank, years []Year) (
	data []gathering, used []Year, dropped []string) {
	earliest := math.Inf(1)
	for _, y := range years {
		earliest = min(earliest, y.Day)
	}
	serve, dropped := serving(bank.Models, earliest)
	used = covered(t, serve, years)
	for _, m := range serve {
		g := gathering{model: m}
		for _, y := range used {
			s, _ := t.Gathered(m, y.Season, y.Day)
			g.sums = append(g.sums, s)
		}
		data = append(data, g)
	}
	return data, used, dropped
}

// serving returns the models that do not begin too late for the earliest date seen, and what was wrong with the others.
func serving(models []phenology.Fittable, earliest float64) (serve []phenology.Fittable, dropped []string) {
	for _, m := range models {
		if start, ok := startOf(m); ok && (start > lastStart || start.End() > earliest-leadIn) {
			dropped = append(dropped, fmt.Sprintf("a model that begins on day %d of the year, less than %d days "+
				"before the earliest date seen", start, leadIn))
			continue
		}
		serve = append(serve, m)
	}
	return serve, dropped
}

// covered returns the years that the temperatures cover for all of some models.
func covered(t *phenology.Temperatures, models []phenology.Fittable, years []Year) (used []Year) {
	for _, y := range years {
		all := true
		for _, m := range models {
			s, ok := t.Gathered(m, y.Season, y.Day)
			// What cannot be dated with the requirement just gathered cannot be dated at all.
			all = all && ok && s > 0
		}
		if all {
			used = append(used, y)
		}
	}
	return used
}

// startOf returns the day on which a model begins to sum warmth, where that is fixed.
func startOf(m phenology.Fittable) (phenology.SeasonDay, bool) {
	switch m := m.(type) {
	case phenology.ThermalTime:
		return m.Start, true
	case phenology.ChillingThermalTime:
		return m.Start, true
	}
	return 0, false
}

// MeanSpread returns the mean day of years and the standard deviation between them.
func MeanSpread(years []Year) (mean, spread float64) {
	n := float64(len(years))
	for _, y := range years {
		mean += y.Day / n
	}
	for _, y := range years {
		spread += sq(y.Day - mean)
	}
	return mean, math.Sqrt(spread / (n - 1))
}

func sq(x float64) float64 { return x * x }

func count(n int, what string) string {
	if n == 1 {
		return "1 " + what
	}
	return fmt.Sprintf("%d %ss", n, what)
}
