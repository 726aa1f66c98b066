package phenology

import (
	"math"

	"treewhen/phenology/civil"
	"treewhen/phenology/weather"
)

// Sap is whether and how a species is tapped.
type Sap struct {
	Tapped       TapPractice
	Note         string
	SugarPercent *Quantity // of fresh sap, percent by weight
	Run          *RunRule  // nil if it is not tapped for freeze and thaw sap
	Source       Source
}

// TapPractice says whether a species is tapped.
type TapPractice string

// How far a species is tapped.
const (
	TappedCommonly  TapPractice = "commonly"
	TappedSometimes TapPractice = "sometimes"
	TappedNever     TapPractice = "no"
)

// RunRule is what makes sap run: a freeze, then a thaw.
type RunRule struct {
	MinBelow float64 // degrees Celsius: the night's minimum that counts as a freeze
	MaxAbove float64 // degrees Celsius: the day's maximum that counts as a thaw
	Source   Source
}

// runSoftness is the width of the rise of a run's likelihood around a threshold, in degrees Celsius: a degree inside
// both thresholds a run is likely, a degree outside unlikely. Our own choice: it stands for the error of a station a
// few kilometres off, and makes counts change smoothly where published thresholds differ.
const runSoftness = 0.7

// runMethod is the forcing that sums run likelihoods.
const runMethod ForcingMethod = "run"

func (r RunRule) forcing() forcing {
	return forcing{method: runMethod, base: r.MinBelow, exponent: r.MaxAbove}
}

// Likelihood returns how likely sap runs on a day, in [0, 1]: the freeze of the night before (its own minimum, which as
// a rule falls at dawn) or, at a discount, of the night before that, times the thaw of the day. Where it is NaN in, it
// is 0 out.
func (r RunRule) Likelihood(before, today weather.Day) float64 {
	if !today.Complete() {
		return 0
	}
	freeze := rise(r.MinBelow - today.Min)
	if !math.IsNaN(before.Min) {
		freeze = max(freeze, 0.5*rise(r.MinBelow-before.Min))
	}
	return freeze * rise(today.Max-r.MaxAbove)
}

// rise is the logistic function of a difference in degrees over [runSoftness].
func rise(degrees float64) float64 { return 1 / (1 + math.Exp(-degrees/runSoftness)) }

// runLikelihoods returns the running sums of a rule's likelihoods, as [Temperatures.sum] does.
func (t *Temperatures) runLikelihoods(r RunRule) []float64 {
	s := make([]float64, len(t.series.Days)+1)
	before := weather.Missing
	for i, d := range t.series.Days {
		s[i+1] = s[i] + r.Likelihood(before, d)
		before = d
	}
	return s
}

// Runs returns how likely sap runs on each day of a span, and false if the record lacks any of its days.
func (t *Temperatures) Runs(r RunRule, span civil.Span) ([]float64, bool) {
	if !t.covered(span.First, span.Last) {
		return nil, false
	}
	sums := t.sum(r.forcing())
	i := t.index(span.First)
	runs := make([]float64, span.Days())
	for n := range runs {
		runs[n] = sums[i+n+1] - sums[i+n]
	}
	return runs, true
}
