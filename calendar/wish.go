package calendar

import (
	"fmt"
	"slices"
	"strings"

	"treewhen/phenology"
)

// Sight is something that can be shown: what follows a phase, until another phase ends it, or a trait in the words of
// the profiles. The zero Sight is none.
type Sight struct {
	Phase       phenology.Phase
	Organ, Name string // of a trait; "" if it is a phase
}

// sightKind is what can be seen from a phase on.
type sightKind struct {
	phase phenology.Phase
	until []phenology.Phase // the first of these that a species has ends it
}

// sightKinds are what a wish can name by its phase, in the order of the year.
var sightKinds = []sightKind{
	{phenology.SapStart, []phenology.Phase{phenology.SapEnd}},
	{phenology.BudSwell, []phenology.Phase{phenology.BudBreak}},
	{phenology.Flowering, []phenology.Phase{phenology.FloweringEnd}},
	{phenology.BudBreak, []phenology.Phase{phenology.LeafOut}},
	{phenology.LeafOut, []phenology.Phase{phenology.LeafColor, phenology.LeafFall}},
	{phenology.FruitRipe, []phenology.Phase{phenology.SeedFallEnd, phenology.SeedFall}},
	{phenology.SeedFall, []phenology.Phase{phenology.SeedFallEnd}},
	{phenology.LeafColor, []phenology.Phase{phenology.LeafFall}},
	{phenology.LeafFall, []phenology.Phase{phenology.BudSwell}},
}

// For reports whether the wish is for a species.
func (w *Wish) For(sp *phenology.Species) bool {
	return len(w.Species) == 0 || slices.Contains(w.Species, sp.ID)
}

// DefaultWishes are the sights wished for where a plan names none: what a class can see without touching anything.
var DefaultWishes = []Wish{
	{See: Sight{Phase: phenology.Flowering}, Weight: 1},
	{See: Sight{Phase: phenology.BudBreak}, Weight: 1},
	{See: Sight{Phase: phenology.FruitRipe}, Weight: 1},
	{See: Sight{Phase: phenology.LeafColor}, Weight: 1},
}

// Wish is what a class is to see, once, and how much that counts beside other wishes.
type Wish struct {
	See     Sight
	Species []string // ids; empty: every species of the place that has it
	Weight  float64  // above 0
	Line    int      // in the plan file
}

// ParseSight reads a phase's name, such as flowering, or a trait's organ and name, such as "fruit angle".
func ParseSight(s string) (Sight, error) {
	var names []string
	for _, k := range sightKinds {
		if k.phase.String() == s {
			return Sight{Phase: k.phase}, nil
		}
		names = append(names, k.phase.String())
	}
	if organ, name, ok := strings.Cut(s, " "); ok && organ != "" && name != "" && !strings.Contains(name, " ") {
		return Sight{Organ: organ, Name: name}, nil
	}
	return Sight{}, fmt.Errorf(`found %q, want what can be seen from a phase on (%s) or a trait such as "fruit angle"`,
		s, strings.Join(names, ", "))
}

// IsTrait reports whether the sight is a trait, and not what follows a phase.
func (s Sight) IsTrait() bool { return s.Organ != "" }

// String returns the sight as [ParseSight] reads it.
func (s Sight) String() string {
	if s.IsTrait() {
		return s.Organ + " " + s.Name
	}
	return s.Phase.String()
}

// MarshalText returns the sight as [ParseSight] reads it.
func (s Sight) MarshalText() ([]byte, error) { return []byte(s.String()), nil }

// Spell returns the moments between which a species shows the sight. With allYear, it always does; ok is false if the
// species' profile does not have it.
func (s Sight) Spell(sp *phenology.Species) (from, to phenology.Moment, allYear, ok bool) {
	if s.IsTrait() {
		for _, t := range sp.Traits {
			if t.Organ == s.Organ && t.Name == s.Name {
				return t.From, t.To, t.AllYear, true
			}
		}
		return from, to, false, false
	}
	if sp.Phase(s.Phase) == nil {
		return from, to, false, false
	}
	k := slices.IndexFunc(sightKinds, func(k sightKind) bool { return k.phase == s.Phase })
	for _, p := range sightKinds[k].until {
		if sp.Phase(p) != nil {
			return phenology.Moment{Phase: s.Phase}, phenology.Moment{Phase: p}, false, true
		}
	}
	return from, to, false, false
}
