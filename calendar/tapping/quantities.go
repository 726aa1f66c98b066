package tapping

import (
	"treewhen/calendar"
)

// SugarRule is how many litres of sap of one per cent sugar make a litre of syrup: the rule of 86 (Jones
// 1946, from memory).
const SugarRule = 86

// Quantities are, roughly, what a season brings. Sap and syrup are litres.
type Quantities struct {
	Sugar    Range `json:"sugar_percent"` // of sap, by weight
	SugarOwn bool  `json:"sugar_own"`     // the plan's own figure, not the species'
	PerSyrup Range `json:"sap_per_syrup"` // litres of sap for a litre of syrup, by the rule of 86
	// that Sap and Syrup are of; 0: not said, and they are of one
	Taps int `json:"taps"`
	// other species are tapped here too; Sap is as if all taps were in this one
	Shared     bool                `json:"shared"`
	Collection calendar.Collection `json:"collection"`
	// in a season; nil where no source says what a tap gives, and where the place's book says better what its taps give
	Sap   *Range `json:"sap_litres,omitempty"`
	Syrup *Range `json:"syrup_litres,omitempty"`
}

// vacuumGives is by how much more a tap gives under vacuum than by gravity: 57 to 95 litres and more against 19 to 57,
// from memory, about twice in the middle.
const vacuumGives = 2

// quantities returns what a season brings, nil where the sugar of the sap is not known.
func (s *Season) quantities() *Quantities {
	q := &Quantities{Taps: s.Options.Taps, Collection: s.Options.Collection,
		Shared: len(TappedOf(s.Place.Species)) > 1}
	switch sugar := s.Species.Sap.SugarPercent; {
	case s.Options.SugarHigh > 0:
		q.Sugar, q.SugarOwn = Range{s.Options.SugarLow, s.Options.SugarHigh}, true
	case sugar != nil:
		q.Sugar = Range{sugar.Low, sugar.High}
	}
	if q.Sugar.High <= 0 {
		return nil
	}
	q.PerSyrup = Range{SugarRule / q.Sugar.High, SugarRule / q.Sugar.Low}
	if per := s.Species.Sap.PerTap; per != nil && s.tuning().Seasons < TunedAfter {
		taps := float64(max(1, q.Taps))
		if q.Collection == calendar.Vacuum {
			taps *= vacuumGives
		}
		sap := Range{taps * per.Low, taps * per.High}
		q.Sap, q.Syrup = &sap, &Range{sap.Low * q.Sugar.Low / SugarRule, sap.High * q.Sugar.High / SugarRule}
	}
	return q
}
