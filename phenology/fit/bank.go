package fit

import "treewhen/phenology"

// Bank is a set of models that differ in what is not fitted: their bases, starts, weights. The dates of those in it
// that serve a phase are averaged.
type Bank struct {
	About  string
	Models []phenology.Fittable
}

// Panel is the four models that were settled on for the built-in species: degree-days by the sine over 3 degrees, each
// day's weighted by the square of its length over 12 hours, from 15 February, 1, 15 and 25 March. All four count alike,
// and none is chosen for a species: choosing bases and starts for each on 16 years of Harvard Forest cost a day on the
// years left out (4.6 days for 3.7).
func Panel() Bank {
	b := Bank{About: "thermal time over 3 C weighted by day length, from four starts"}
	for _, start := range panelStarts {
		b.Models = append(b.Models, phenology.ThermalTime{Start: start, Base: 3, Method: phenology.SineForcing,
			DayLengthExponent: 2, Requirement: 1})
	}
	return b
}

// panelStarts are 15 February, 1, 15 and 25 March.
var panelStarts = []phenology.SeasonDay{46, 60, 74, 84}

// autumnBank is cooling as days shorten, in the forms of Delpierre and others (2009), for leaf colour and leaf fall.
func autumnBank() Bank {
	return Bank{About: "cooling as days shorten", Models: []phenology.Fittable{
		phenology.AutumnCooling{DayLength: 13.5, Base: 28.5, TemperatureExponent: 1, DayLengthExponent: 1,
			Shortening: true, Requirement: 1},
		phenology.AutumnCooling{DayLength: 14.5, Base: 28.5, TemperatureExponent: 2, DayLengthExponent: 2,
			Requirement: 1},
	}}
}

// For returns the bank for a phase: the autumn's for leaf colour and what follows.
func (b Bank) For(p phenology.Phase) Bank {
	if p >= phenology.LeafColor {
		return autumnBank()
	}
	return b
}
