package text

import (
	"testing"

	"treewhen/phenology"
)

// What a model sums, in which unit and from when, must be told: 900 hours and 900 units of chilling are not the same.
func TestModelText(t *testing.T) {
	chilling := phenology.ChillingThenForcing{ChillStart: -60, Chilling: phenology.SarvasChilling, ChillRequirement: 20,
		Forcing: phenology.SarvasForcing, Requirement: 180}
	hours := phenology.ChillingThenForcing{ChillStart: -60, ChillingBy: phenology.ChillingByHours, ChillRequirement: 900,
		Method: phenology.AverageForcing, Base: 4, Requirement: 150}
	units := hours
	units.ChillingBy, units.Method = phenology.ChillingByUnits, phenology.TriangleForcing
	for _, row := range []struct {
		model phenology.Model
		want  string
	}{
		{chilling, "20 days of full chilling from 1 Nov, then 180 units of forcing"},
		{hours, "900 chilling hours (0 to 7.2 °C) from 1 Nov, then 150 degree-days over 4 °C by the simple average"},
		{units, "900 chill units from 1 Nov, then 150 degree-days over 4 °C by straight lines"},
		{phenology.DegreeDayLag{After: phenology.BudBreak, Base: 3, Method: phenology.SineForcing, Requirement: 120}, "120 degree-days over 3 °C after bud-break"},
	} {
		if got := oneModelText(row.model); got != row.want {
			t.Errorf("%q, want %q", got, row.want)
		}
	}
}
