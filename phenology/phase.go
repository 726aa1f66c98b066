package phenology

import (
	"fmt"
	"slices"
	"strings"
)

// Phase is a phenophase: one thing that happens once in a growing season, on one date.
type Phase int

// The phases, in the usual order of the year.
const (
	SapStart     Phase = iota // sap begins to run in earnest
	SapEnd                    // the last sap worth boiling
	BudSwell                  // buds swell and their scales part
	Flowering                 // flowers open
	BudBreak                  // half the buds show recognisable leaves
	LeafOut                   // three quarters of the leaves at three quarters of full size
	FloweringEnd              // the last flowers fade
	FruitRipe                 // fruit or seed is ripe to collect
	SeedFall                  // seed begins to fall
	SeedFallEnd               // most seed is down
	LeafColor                 // leaves have coloured
	LeafFall                  // half the leaves are down
	Dormant                   // bare and at rest
	phaseCount
)

var phaseNames = [phaseCount]string{
	"sap-start", "sap-end", "bud-swell", "flowering", "bud-break", "leaf-out", "flowering-end",
	"fruit-ripe", "seed-fall", "seed-fall-end", "leaf-color", "leaf-fall", "dormant",
}

// Phases returns all phases in the usual order of the year.
func Phases() []Phase {
	all := make([]Phase, phaseCount)
	for i := range all {
		all[i] = Phase(i)
	}
	return all
}

// String returns the phase's name as plans, profiles and outputs write it.
func (p Phase) String() string {
	if p < 0 || p >= phaseCount {
		return fmt.Sprintf("phase(%d)", int(p))
	}
	return phaseNames[p]
}

// ParsePhase reads a phase's name, as [Phase.String] writes it. The error names the names there are.
func ParsePhase(s string) (Phase, error) {
	if i := slices.Index(phaseNames[:], s); i >= 0 {
		return Phase(i), nil
	}
	return 0, fmt.Errorf("found phase %q, want one of %s", s, strings.Join(phaseNames[:], ", "))
}

// MarshalText writes the phase's name.
func (p Phase) MarshalText() ([]byte, error) { return []byte(p.String()), nil }

// UnmarshalText reads a phase's name.
func (p *Phase) UnmarshalText(b []byte) (err error) {
	*p, err = ParsePhase(string(b))
	return err
}
