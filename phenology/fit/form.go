package fit

import (
	"fmt"

	"treewhen/phenology"
)

// Form is a form of model, with the variants of it that are tried.
type Form struct {
	Name     string
	Variants []Variant
}

// Variant is one choice of all that is not fitted: bases, starts, thresholds. The dates of its models are averaged.
// Each has a requirement that is fitted, unless the variant is the mean date moved by the warmth of a part of the
// season.
type Variant struct {
	Models []phenology.Fittable
	Warmth *phenology.WarmthShift // its slope is fitted

	SinceFlowering bool     // it is the mean number of days from flowering
	Odd            []string // why it is an odd choice
}

// What is tried: what papers on trees of temperate forests use, and a little beyond, so that a choice that runs away is
// seen to do so.
var (
	triedBases  = []float64{-2, 0, 1, 2, 3, 4, 5, 6, 7, 8, 10, 12}        // degrees Celsius
	triedStarts = []phenology.SeasonDay{1, 15, 32, 46, 60, 74, lastStart} // 1 January to 25 March
	triedPowers = []float64{1, 2, 4}                                      // of day length
)

// Bases outside these are without sense for buds that open in spring: below, warmth is counted that freezes; above,
// most springs would have none. The papers named at the models use 0 to 10. Our own choice of bounds.
const leastBase, mostBase = 0, 10 // degrees Celsius

const chillStart = -60 // 1 November of the year before, with Cannell & Smith (1983)

// forms returns the forms for a phase, the simplest first: each leaves more to choose than the one before it.
func forms(p phenology.Phase) []Form {
	switch {
	case p >= phenology.LeafColor:
		return []Form{warmthForm(), coolingForm()}
	case p == phenology.FruitRipe:
		return ripeningForms()
	}
	panel := Panel()
	return []Form{
		{Name: panel.About, Variants: []Variant{{Models: panel.Models}}},
		thermalForm("thermal time", []float64{0}),
		thermalForm("thermal time weighted by day length", triedPowers),
		sequenceForm(),
		chillDayForm(),
	}
}

// add adds a variant of one model, and why it is an odd choice.
func (f *Form) add(m phenology.Fittable, odd ...string) {
	f.Variants = append(f.Variants, Variant{Models: []phenology.Fittable{m}, Odd: odd})
}

func thermalForm(name string, powers []float64) Form {
	f := Form{Name: name}
	for _, power := range powers {
		for _, base := range triedBases {
			for _, start := range triedStarts {
				m := phenology.ThermalTime{Start: start, Base: base, Method: phenology.SineForcing,
					DayLengthExponent: power, Requirement: 1}
				f.add(m, oddBase(base)...)
			}
		}
	}
	return f
}

func oddBase(base float64) []string {
	if base < leastBase || base > mostBase {
		return []string{fmt.Sprintf("a base of %g C makes no sense for trees of cold winters", base)}
	}
	return nil
}

// sequenceForm is chilling by each of its units, then warmth.
func sequenceForm() Form {
	f := Form{Name: "chilling, then forcing"}
	for _, chilling := range []struct {
		by    phenology.ChillingMethod
		needs []float64
	}{
		{phenology.ChillingByRate, []float64{10, 20, 30, 40, 50, 60, 80}},
		{phenology.ChillingByHours, []float64{200, 400, 600, 800, 1000, 1200}},
		{phenology.ChillingByUnits, []float64{200, 400, 600, 800, 1000, 1200}},
	} {
		for _, need := range chilling.needs {
			m := phenology.ChillingThenForcing{ChillStart: chillStart, ChillingBy: chilling.by, ChillRequirement: need,
				Requirement: 1}
			if chilling.by == phenology.ChillingByRate {
				m.Chilling = phenology.SarvasChilling
			}
			sigmoid, degreeDays := m, m
			sigmoid.Forcing = phenology.SarvasForcing
			f.add(sigmoid)
			for _, base := range []float64{0, 3, 5} {
				degreeDays.Method, degreeDays.Base = phenology.SineForcing, base
				f.add(degreeDays)
			}
		}
	}
	return f
}

// chillDayForm is thermal time that falls with chill days: bases, starts and thresholds of Cannell & Smith (1983), who
// have 5 degrees from 1 February, and of Raulier & Bernier (2000), who have 10 degrees for the threshold. The last of
// the shapes is that of the former; the others ask less of warm winters.
func chillDayForm() Form {
	f := Form{Name: "thermal time that falls with chill days"}
	for _, base := range []float64{0, 3, 5} {
		for _, start := range []phenology.SeasonDay{1, 32, 60} {
			for _, below := range []float64{5, 10} {
				for _, shape := range []struct{ extra, decay float64 }{{3, 0.01}, {10, 0.02}, {30, 0.03}, {65, 0.042}} {
					f.add(phenology.ChillingThermalTime{Start: start, Base: base, Method: phenology.SineForcing,
						ChillStart: chillStart, ChillBelow: below, Requirement: 1, Extra: shape.extra,
						Decay: shape.decay})
				}
			}
		}
	}
	return f
}

// warmthForm is the mean date moved by the warmth of one or two months before it, from June on.
func warmthForm() Form {
	f := Form{Name: "mean date moved by warmth"}
	for _, months := range [][2]phenology.SeasonDay{{152, 181}, {182, 212}, {213, 243}, {244, 273}, {274, 304},
		{182, 243}, {213, 273}, {244, 304}} {
		f.Variants = append(f.Variants, Variant{Warmth: &phenology.WarmthShift{From: months[0], To: months[1]}})
	}
	return f
}

// coolingForm is cooling as days shorten, with the powers of 0 to 2 that Delpierre and others (2009) tried.
func coolingForm() Form {
	f := Form{Name: "cooling as days shorten"}
	for _, hours := range []float64{12.5, 13.5, 14.5} {
		for _, base := range []float64{15, 20, 25, 28.5} {
			for _, power := range []float64{1, 2} {
				for _, shortening := range []float64{0, 1, 2} {
					for _, inverse := range []bool{false, true} {
						if shortening == 0 && inverse {
							continue
						}
						f.add(phenology.AutumnCooling{DayLength: hours, Base: base, TemperatureExponent: power,
							DayLengthExponent: shortening, Shortening: inverse, Requirement: 1})
					}
				}
			}
		}
	}
	return f
}
