package seed

import (
	"math"
	"slices"

	"treewhen/phenology"
)

// Treatment is a pre-treatment cut to the days there are.
type Treatment struct {
	How      *phenology.Pretreatment   `json:"-"`
	Before   []phenology.TreatmentStep `json:"-"`                   // steps of hours or days before the rest
	Steps    []Step                    `json:"steps"`               // warm and cold, in order
	Squeezed bool                      `json:"shortened,omitempty"` // to less than the middle of its range

	least int // days that it takes at least
}

// Step is a step of a stratification, and how long it is to be.
type Step struct {
	Kind phenology.TreatmentKind  `json:"kind"`
	Days int                      `json:"days"` // within those of its record
	Of   *phenology.TreatmentStep `json:"-"`
}

// total returns the days that a treatment takes as it is planned.
func (t *Treatment) total() int {
	n := 0
	for _, s := range t.Steps {
		n += s.Days
	}
	for _, s := range t.Before {
		n += s.MaxDays
	}
	return n
}

// Begins returns the step that begins.
func (f *Stratification) Begins() Step { return f.Treatment.Steps[f.Step-1] }

// Least returns the days that what is left takes at least, from the step on that begins.
func (f *Stratification) Least() int {
	n := 0
	for _, s := range f.Treatment.Steps[f.Step-1:] {
		n += s.Of.MinDays
	}
	return n
}

// Has reports whether a pre-treatment has a step of a kind.
func Has(steps []phenology.TreatmentStep, kind phenology.TreatmentKind) bool {
	return slices.ContainsFunc(steps, func(s phenology.TreatmentStep) bool { return s.Kind == kind })
}

// treat returns a pre-treatment, each of its steps of the middle of its range, and the days that it takes at most.
func treat(how *phenology.Pretreatment) (t *Treatment, middle int) {
	t = &Treatment{How: how}
	for i := range how.Steps {
		s := &how.Steps[i]
		t.least += s.MinDays
		if s.Kind != phenology.WarmStratify && s.Kind != phenology.ColdStratify {
			t.Before = append(t.Before, *s)
			middle += s.MaxDays
			continue
		}
		days := (s.MinDays + s.MaxDays + 1) / 2
		t.Steps = append(t.Steps, Step{s.Kind, days, s})
		middle += days
	}
	return t, middle
}

// fitTreatment returns the first of a species' pre-treatments that fits into so many days: with the middle of each
// step's range if there is time, else with all steps shortened alike towards their least. If none fits, it returns the
// shortest, and false.
func fitTreatment(list []phenology.Pretreatment, days int) (*Treatment, bool) {
	shortest := &Treatment{least: math.MaxInt}
	for i := range list {
		t, middle := treat(&list[i])
		if t.least < shortest.least {
			shortest = t
		}
		if t.least > days {
			continue
		}
		if middle > days {
			t.Squeezed = true
			share := float64(days-t.least) / float64(middle-t.least)
			for i, s := range t.Steps {
				t.Steps[i].Days = s.Of.MinDays + int(share*float64(s.Days-s.Of.MinDays))
			}
		}
		return t, true
	}
	return shortest, false
}
