package profiles_test

import (
	"reflect"
	"strings"
	"testing"

	"treewhen/phenology"
	"treewhen/profiles"
)

// Every model that profiles can have is written as it is read.
func TestModelTextIsReadBack(t *testing.T) {
	for _, row := range []struct {
		phase phenology.Phase
		model phenology.Model
	}{
		{phenology.BudBreak, phenology.ThermalTime{Start: 60, Base: 3, Method: phenology.SineForcing,
			DayLengthExponent: 2, Requirement: 326.1}},
		{phenology.BudBreak, phenology.ThermalTime{Start: -30, Base: 4.5, Method: phenology.AverageForcing, Upper: 30,
			Cutoff: phenology.VerticalCutoff, Requirement: 90}},
		{phenology.BudBreak, phenology.ChillingThermalTime{Start: 32, Base: 5, Method: phenology.SineForcing,
			ChillStart: -60, ChillBelow: 5, Requirement: 67.4, Extra: 4402, Decay: 0.042}},
		{phenology.BudBreak, phenology.ChillingThenForcing{ChillStart: -60, Chilling: phenology.SarvasChilling,
			ChillRequirement: 20, Forcing: phenology.SarvasForcing, Requirement: 180}},
		{phenology.BudBreak, phenology.ChillingThenForcing{ChillStart: -60,
			Chilling: phenology.TriangularChilling{Low: -2, Optimum: 4, High: 11}, ChillRequirement: 20,
			Forcing: phenology.SigmoidForcing{Ceiling: 20, Steepness: 0.2, Midpoint: 17}, Requirement: 180}},
		{phenology.BudBreak, phenology.ChillingThenForcing{ChillStart: -60, ChillingBy: phenology.ChillingByHours,
			ChillRequirement: 900, Method: phenology.SineForcing, Base: 4, Requirement: 180}},
		{phenology.BudBreak, phenology.ChillingThenForcing{ChillStart: -60, ChillingBy: phenology.ChillingByUnits,
			ChillRequirement: 700, Forcing: phenology.SarvasForcing, Requirement: 180}},
		{phenology.BudBreak, phenology.ChillingThenForcing{ChillStart: -60, Chilling: phenology.SarvasChilling,
			ChillRequirement: 20, Method: phenology.TriangleForcing, Base: 4, Requirement: 180}},
		{phenology.BudBreak, phenology.ThermalTime{Start: 1, Base: 10, Method: phenology.TriangleForcing,
			Requirement: 90}},
		{phenology.BudBreak, phenology.DegreeDayLag{After: phenology.Flowering, Base: 3, Method: phenology.SineForcing,
			Requirement: 120}},
		{phenology.BudBreak, phenology.DegreeDayLag{After: phenology.Flowering, Base: 3,
			Method: phenology.AverageForcing, Requirement: 0.1234}},
		{phenology.BudBreak, phenology.Lag{After: phenology.Flowering, Days: -7, Spread: 4}},
		{phenology.LeafColor, phenology.AutumnCooling{DayLength: 13.5, Base: 28.5, TemperatureExponent: 1,
			DayLengthExponent: 1, Shortening: true, Requirement: 42.5}},
		{phenology.LeafColor, phenology.WarmthShift{From: 244, To: 273, DaysPerDegree: 1.7}},
	} {
		text := profiles.Revise(toRevise, profiles.Revision{Phase: row.phase, Dating: &phenology.PhaseModel{
			Models: []phenology.Model{row.model}, Residual: 4, Source: phenology.FromMemory}})
		sp, err := profiles.Decode(strings.NewReader(text), "arbor-exempli.yaml")
		if err != nil {
			t.Errorf("%s: %v\n%s", row.model.Kind(), err, text)
			continue
		}
		if got := sp.Phase(row.phase).Model.Models[0]; !reflect.DeepEqual(got, row.model) {
			t.Errorf("%s: wrote %+v, read %+v", row.model.Kind(), row.model, got)
		}
	}
}

const toRevise = `id: arbor-exempli
botanical: Arbor exempli
common: [example tree]
family: Exemplaceae
sap: {tapped: "no", source: common-practice}
phases:
  flowering: # a remark that must stay
    meaning: flowers open
    moves: later
    references:
      - {place: A, latitude: 44, longitude: -72, elevation: 300 m, date: 05-06, spread: 6, source: memory}
  bud-break:
    meaning: half the buds show leaves
    moves: later
    dating:
      models: [{kind: lag, after: flowering, days: 5, spread: 3}]
      residual: 4
      source: memory
    months: {from: 4, to: 6, source: memory}
  leaf-color:
    meaning: leaves have turned
    moves: earlier
    references:
      - {place: A, latitude: 44, longitude: -72, elevation: 300 m, date: 10-06, spread: 6, source: memory}

# the end of it
`

// Revising changes what it is told and nothing else, and doing it twice is doing it once.
func TestReviseKeepsTheRest(t *testing.T) {
	dating := &phenology.PhaseModel{Models: []phenology.Model{phenology.Lag{After: phenology.Flowering, Days: 9,
		Spread: 2}}, Residual: 3, Source: phenology.Source{Key: "mine"}}
	revise := func(text string) string {
		text = profiles.Revise(text, profiles.Revision{Phase: phenology.BudBreak, Dating: dating})
		return profiles.AddSource(text, phenology.Source{Key: "mine", Citation: "my notes", Mark: phenology.MarkFitted})
	}
	once := revise(toRevise)
	if twice := revise(once); twice != once {
		t.Errorf("twice:\n%s", twice)
	}
	want := strings.Replace(toRevise, `    dating:
      models: [{kind: lag, after: flowering, days: 5, spread: 3}]
      residual: 4
      source: memory
    months: {from: 4, to: 6, source: memory}
`, `    months: {from: 4, to: 6, source: memory}
    dating:
      models:
        - {kind: lag, after: flowering, days: 9, spread: 2}
      residual: 3.0
      source: mine
`, 1) + "\nsources:\n  mine:\n    citation: >-\n      my notes\n    mark: fitted\n"
	if once != want {
		t.Errorf("got\n%s\nwant\n%s", once, want)
	}
	if profiles.Revise(toRevise) != toRevise {
		t.Error("nothing was to be revised, and something was")
	}
}

// Every built-in profile can be revised in every phase that it has, and reads as before.
func TestReviseEveryProfile(t *testing.T) {
	for _, sp := range profiles.Builtin().All() {
		text, err := profiles.Text(nil, sp.ID)
		if err != nil {
			t.Fatal(err)
		}
		var revisions []profiles.Revision
		for _, r := range sp.Phases {
			revisions = append(revisions, profiles.Revision{Phase: r.Phase,
				Dating: &phenology.PhaseModel{Residual: 4, Source: phenology.FromMemory,
					Models: []phenology.Model{phenology.ThermalTime{Start: 60, Base: 3, Method: phenology.SineForcing,
						Requirement: 100}}}})
		}
		got, err := profiles.Decode(strings.NewReader(profiles.Revise(text, revisions...)), sp.ID+".yaml")
		if err != nil {
			t.Errorf("%s: %v", sp.ID, err)
			continue
		}
		for i, r := range got.Phases {
			was := sp.Phases[i]
			if r.Phase != was.Phase || r.Meaning != was.Meaning || !reflect.DeepEqual(r.References, was.References) ||
				!reflect.DeepEqual(r.Months, was.Months) {
				t.Errorf("%s %s: more than its dating changed", sp.ID, r.Phase)
			}
			if len(r.Model.Models) != 1 || r.Model.Residual != 4 {
				t.Errorf("%s %s: dating %+v", sp.ID, r.Phase, r.Model)
			}
		}
	}
}
