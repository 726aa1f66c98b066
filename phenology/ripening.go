package phenology

import "math"

// Fruit ripens by no one law. Of 182 dated rows of ripening and seed fall at 91 places (mostly the tables of the Woody
// Plant Seed Manual, Agriculture Handbook 727, 2008), black cherry is some 8 days later a degree north, flowering
// dogwood 4 days earlier, aspen neither; of firs' cones 100 m up make 0.4 to 3.3 days; and one spruce's seed falls
// seven weeks later by the sea than inland. So dates of fruit are moved where there is evidence of which way, by what
// that says; where there is none they stay, and are as wide as not knowing makes them.
const (
	// recalledError is how far a recalled date of ripening may be off, a week, as a standard deviation in days: our own
	// choice. Carried to 54 of those rows such dates lie 13 days outside the row's days (root mean square), for the way
	// as well.
	recalledError = 7.0
	// unknownShare is what not knowing whether the bioclimatic law, its opposite or anything between moves a date
	// makes of the law's days: the standard deviation of an even chance of all.
	unknownShare = 0.577
)

// ofFruit reports whether a phase is of ripening fruit or falling seed.
func ofFruit(p Phase) bool { return p == FruitRipe || p == SeedFall || p == SeedFallEnd }

// Recalled reports whether a date is from memory: nobody has looked it up.
func (r Reference) Recalled() bool { return r.Source.Mark == MarkMemory }

// ownError returns how far a reference may be off at its own place, as a standard deviation in days.
func (r *PhaseRecord) ownError(ref Reference) float64 {
	if ofFruit(r.Phase) && ref.Recalled() {
		return recalledError
	}
	return ref.MeanError()
}

// way is how a site lies from a place of reference: degrees poleward, degrees east, metres up.
type way struct{ north, east, up float64 }

// carriage is what a way does to a date.
type carriage struct {
	days    float64 // by which it moves, later above 0
	law     float64 // what the bioclimatic law makes of the way, by which its spread grows
	unknown float64 // how far it may be off for a way whose direction nobody knows, as a standard deviation in days
}

// carriedBy returns what a way does to dates of the phase.
func (r *PhaseRecord) carriedBy(w way) carriage {
	level := daysPerDegreePoleward*w.north + daysPerDegreeEast*math.Remainder(w.east, 360)
	climb := daysPerMetreUp * w.up
	c := carriage{law: level + climb}
	switch g := r.Gradient; {
	case g != nil:
		c.days = g.North * w.north
		if g.OfHeight {
			c.days += g.Up * w.up / 100
		} else {
			c.unknown = unknownShare * math.Abs(climb)
		}
	case r.Moves == MovesLater:
		c.days = c.law
	// earlier northward, as tables say by latitude; of height they say nothing
	case r.Moves == MovesEarlier && ofFruit(r.Phase):
		c.days, c.unknown = -level, unknownShare*math.Abs(climb)
	case r.Moves == MovesEarlier:
		c.days = -c.law
	case ofFruit(r.Phase):
		c.unknown = unknownShare * math.Hypot(level, climb)
	}
	return c
}
