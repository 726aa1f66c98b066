package fit

import (
	"math"

	"treewhen/phenology"
)

// Refit returns a dating with the requirements of its models set by years of observations, or false where its models
// cannot be fitted or the years are too few. Its residual is of these years left out, blended as in [Fit].
func Refit(t *phenology.Temperatures, phase phenology.Phase, d *phenology.PhaseModel,
	years []Year) (*phenology.PhaseModel, bool) {
	bank := Bank{}
	for _, m := range d.Models {
		f, ok := m.(phenology.Fittable)
		if !ok {
			return nil, false
		}
		bank.Models = append(bank.Models, f)
	}
	data, used, _ := gather(t, phase, bank, years)
	if len(used) < MinYears-1 || len(data) != len(bank.Models) {
		return nil, false
	}
	out := *d
	out.Models = modelsWithout(data, -1)
	square, n := 0.0, 0.0
	for i, y := range used {
		if predicted, ok := dateBy(t, modelsWithout(data, i), y.Season); ok {
			square, n = square+sq(predicted-y.Day), n+1
		}
	}
	out.Residual = blend(square, n, phase)
	return &out, true
}

// Score returns the root mean square error, in days, of a dating as it stands on years of observations; NaN where its
// models need more than temperatures.
func Score(t *phenology.Temperatures, d *phenology.PhaseModel, years []Year) float64 {
	for _, m := range d.Models {
		if _, needs := phenology.DependsOn(m); needs {
			return math.NaN()
		}
	}
	square, n := 0.0, 0.0
	for _, y := range years {
		if predicted, ok := dateBy(t, d.Models, y.Season); ok {
			square, n = square+sq(predicted-y.Day), n+1
		}
	}
	return math.Sqrt(square / n)
}
