package phenology

// Species is what is known of one kind of woody plant, each figure with its source.
type Species struct {
	ID        string   // the binomial as a slug, such as acer-saccharum
	Botanical string   // the binomial
	Common    []string // common names as they stand inside a sentence, the preferred one first
	Family    string
	Range     *Range         // where it grows; nil if not stated
	Phases    []*PhaseRecord // in the order of [Phases]; only those the species has
	Sap       Sap
	Seed      *Seed // nil if nothing is known of its seed
	Traits    []Trait
	Cautions  []Caution
	Regulated []Regulation
	Disputes  []Dispute // figures on which sources disagree

	native RangeMap // nil: Range alone says where it grows
}

// RangeMap returns how far a point, in decimal degrees north and east, lies outside the mapped native range of a
// species, in kilometres, 0 in it.
type RangeMap func(latitude, longitude float64) (km float64)

// SetRangeMap gives the species a map of its native range, which then goes before its box.
func (s *Species) SetRangeMap(m RangeMap) { s.native = m }

// HasRangeMap reports whether the species' native range is known by a map, and not by a rough box.
func (s *Species) HasRangeMap() bool { return s.native != nil }

// Name returns the preferred common name, as it stands inside a sentence: sugar maple, Norway maple.
func (s *Species) Name() string { return s.Common[0] }

// Phase returns the record of a phase, nil if the species has none.
func (s *Species) Phase(p Phase) *PhaseRecord {
	for _, r := range s.Phases {
		if r.Phase == p {
			return r
		}
	}
	return nil
}

// Range is roughly where a species grows, as a box in decimal degrees.
type Range struct {
	South, North, West, East float64 // decimal degrees, north and east positive
	Parts                    []Range // boxes it is made of, where one would hold much that it is not; nil for one
	Naturalized              *Range  // where it was brought and has gone wild; nil if nowhere, or not stated
	Note                     string  // native, planted, gone wild; may be ""
	Source                   Source
}

// Trait is a character by which a species is told, with the part of the year in which it can be seen. Two species can
// be told apart by a trait when both have it, it can be seen in both that day, and they share no state.
type Trait struct {
	Organ         string   // twig, bud, leaf, flower, fruit, bark, sap, pith
	Name          string   // what is looked at, in words shared between species: color, shape, scales, angle
	States        []string // the states it can be in; empty if Low and High say it
	Low, High     float64  // a measured character; both 0 if States say it
	Unit          string   // of Low and High: degrees, leaflets, mm
	Text          string   // as a field sheet says it; "": as the states' own words do
	From, To      Moment   // it can be seen from one moment to the next
	AllYear       bool     // it can be seen all year; From and To are then not used
	NeedsHandling bool     // it is destructive or needs a hand lens: a cut twig, a broken leaf stalk
	Source        Source
	Also          []Source // further sources, each of some of the states
}

// Caution is a warning that goes with work on a species.
type Caution struct {
	Activities []string // the activities it goes with; empty: all
	// of what it is taken for while leaves show, and of those days alone: its text names the species
	InLeaf bool
	Text   string
	Source Source
}

// Regulation is a law or rule about a species somewhere.
type Regulation struct {
	Where      string
	Text       string
	Collecting bool // collecting its seed can itself be forbidden
	Source     Source
}

// Dispute is a figure on which sources disagree.
type Dispute struct {
	About  string
	Used   string
	Other  string
	Why    string // why the one is used
	Source Source // of the other
}
