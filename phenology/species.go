package phenology

import (
	"math"
	"strconv"
	"strings"
)

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

// Mark says how far a source has been followed.
type Mark string

// The marks a source can have.
const (
	MarkSeen     Mark = "seen"            // read in a copy of the source
	MarkMemory   Mark = "memory"          // recalled; the source was not at hand
	MarkPractice Mark = "common practice" // a fact of the trade without a source
	MarkComputed Mark = "computed"        // worked out from a published formula or from open data
	MarkFitted   Mark = "fitted"          // parameters fitted to open observations
)

// Source is where a figure comes from.
type Source struct {
	Key      string // short name, as profiles refer to it
	Citation string // author, year, title, table or page
	Mark     Mark
}

// The two sources that need no entry in a bibliography.
var (
	FromMemory     = Source{Key: "memory", Citation: "from memory", Mark: MarkMemory}
	CommonPractice = Source{Key: "common-practice", Citation: "common practice, no source", Mark: MarkPractice}
)

// String returns the citation, saying where it was only recalled.
func (s Source) String() string {
	switch {
	case s.Mark == MarkMemory && s.Key != FromMemory.Key:
		return s.Citation + " (from memory)"
	case s.Mark == MarkPractice && s.Key != CommonPractice.Key:
		return s.Citation + " (common practice)"
	}
	return s.Citation
}

// Range is roughly where a species grows, as a box in decimal degrees.
type Range struct {
	South, North, West, East float64 // decimal degrees, north and east positive
	Parts                    []Range // boxes it is made of, where one would hold much that it is not; nil for one
	Naturalized              *Range  // where it was brought and has gone wild; nil if nowhere, or not stated
	Note                     string  // native, planted, gone wild; may be ""
	Source                   Source
}

// PhaseRecord is what is known of when a phase happens in a species.
type PhaseRecord struct {
	Phase      Phase
	Meaning    string      // what the date is the date of
	References []Reference // published mean dates at named places
	Months     *Months     // a handbook's months over the species' whole range
	Moves      Moves       // how the date moves northward, up and inland
	Gradient   *Gradient   // how far it moves, in place of the bioclimatic law; nil where nobody measured it
	Model      *PhaseModel // how to date it from temperatures or from another phase; nil: by reference dates alone
}

// Gradient is how far a date moves over the land, as it was measured.
type Gradient struct {
	North    float64 // days later for each degree poleward; below 0 is earlier
	Up       float64 // days later for each 100 m up, if OfHeight
	OfHeight bool    // Up is known
	Source   Source
}

// Reference is a mean date at a place.
type Reference struct {
	Place               string
	Latitude, Longitude float64 // decimal degrees
	Elevation           float64 // metres
	Day                 float64 // mean moment of the season
	Spread              float64 // standard deviation between years, days
	Years               string  // such as 1990-2005; "" if not stated
	Source              Source
}

// MeanError returns how far the mean day may be off for the years that it is the mean of, as a standard error in days:
// the spread between years over the square root of their number, which is read from Years ("1990-2005", "1990-2005, 12
// of the years", "2012, 2018, 2021"), and 1 at least, which is what an observer's visits are apart. Where the years are
// not stated it is 3: our own choice, for the dates of handbooks.
func (r Reference) MeanError() float64 {
	n := yearsIn(r.Years)
	if n == 0 {
		return 3
	}
	return max(1, r.Spread/math.Sqrt(float64(n)))
}

// yearsIn counts the years of a text such as "1990-2005, 12 of the years"; 0 where it states none.
func yearsIn(text string) int {
	n := 0
	for part := range strings.SplitSeq(text, ",") {
		part = strings.TrimSpace(part)
		if count, ok := strings.CutSuffix(part, " of the years"); ok {
			if k, err := strconv.Atoi(count); err == nil {
				return k
			}
			continue
		}
		first, last, span := strings.Cut(part, "-")
		from, err := strconv.Atoi(first)
		if err != nil {
			continue
		}
		if !span {
			n++
		} else if to, err := strconv.Atoi(last); err == nil && to >= from {
			n += to - from + 1
		}
	}
	return n
}

// Months is a closed run of calendar months of the northern hemisphere; it may pass New Year (From 10, To 2).
type Months struct {
	From, To int // 1 to 12
	Source   Source
}

// Moves says how a phase's date moves from south to north, from low to high.
type Moves string

// The ways a date can move northward.
const (
	MovesLater   Moves = "later"   // as spring does
	MovesEarlier Moves = "earlier" // as autumn does
	MovesNot     Moves = "not"     // sources disagree, or it does not
)

// PhaseModel dates a phase from a season's temperatures or from another phase. The dates that several models
// give are averaged.
type PhaseModel struct {
	Models   []Model
	Residual float64 // standard deviation of observed less predicted, days, on years the parameters were not fitted to
	Score    *Score  // nil where it was never scored
	Source   Source
	AtSite   bool // its starts are those of the site that it is used at: see [StartPerDegree]
}

// Score is how well a phase's model did on years it had not seen, beside the plain mean date on the same years.
type Score struct {
	Years    int
	RMSE     float64 // days, root of the mean square error
	MeanRMSE float64 // days; the mean date of the other years
}

// Seed is what a collector and a nursery need to know of a species' seed.
type Seed struct {
	Fruit         Fruit // what is collected
	MaturitySigns []MaturitySign
	CollectFrom   Statement
	Dispersal     *Dispersal // nil if not stated: see [Seed.Gather]
	Processing    []Process  // what is done with it between collecting and storing or sowing, in order
	Storage       StorageClass
	StorageSource Source
	Keep          *Keeping // how it is kept; nil if not stated
	// Pretreatments are the ways to make seed germinate; they are alternatives, the usual one first.
	Pretreatments []Pretreatment
	CropInterval  *Quantity // years between good crops
	SeedAge       *Quantity // years of age from which a tree bears
	SeedsPerKg    *Quantity // clean seeds in a kilogram
	Germination   *Quantity // percent of clean seed that germinates after its pre-treatment, of usual lots
	SeedPerFruit  *Quantity // percent of the fruit's weight that is clean seed
	SeedPerHL     *Quantity // kilograms of clean seed in a hectolitre of fruit, as it is gathered
}

// Fruit is the kind of what is collected, in the words of botany and of the trade.
type Fruit string

// The kinds of fruit.
const (
	Acorn         Fruit = "acorn"
	Berry         Fruit = "berry"
	BerryLikeCone Fruit = "berry-like cone" // of junipers: fleshy scales grown together
	Capsule       Fruit = "capsule"
	Cone          Fruit = "cone"
	Drupe         Fruit = "drupe"
	Nut           Fruit = "nut"
	Nutlet        Fruit = "nutlet"
	Pod           Fruit = "pod"
	Pome          Fruit = "pome"
	Samara        Fruit = "samara"
	SeedCatkin    Fruit = "seed catkin" // of birches and alders
	SeedHead      Fruit = "seed head"   // of sycamores: a ball of plumed seed
)

// Fruits returns all kinds of fruit, by name.
func Fruits() []Fruit {
	return []Fruit{Acorn, Berry, BerryLikeCone, Capsule, Cone, Drupe, Nut, Nutlet, Pod, Pome, Samara, SeedCatkin,
		SeedHead}
}

// MaturitySign is a sign by which ripe seed is told.
type MaturitySign struct {
	Statement
	Test SeedTest // which of the usual tests of a sample it is; "" for another, or a sign that is only looked at
}

// SeedTest is a usual test of a sample for full and ripe seed.
type SeedTest string

// The tests.
const (
	FloatTest SeedTest = "float" // in water: full seed sinks
	CutTest   SeedTest = "cut"   // open, to see the embryo
)

// Dispersal is how seed leaves the tree, and what that means for who collects it.
type Dispersal struct {
	Agent  DispersalAgent
	Gather Gathering
	Source Source
}

// DispersalAgent is what carries seed away.
type DispersalAgent string

// The agents of dispersal.
const (
	ByWind    DispersalAgent = "wind"
	ByWater   DispersalAgent = "water"
	ByBirds   DispersalAgent = "birds"
	ByAnimals DispersalAgent = "animals" // squirrels, mice, jays: they take nuts from the tree and from the ground
	ByGravity DispersalAgent = "gravity"
	ByItself  DispersalAgent = "itself" // it is shot from its capsule
)

// Gathering is when seed can be had, between ripening and being gone.
type Gathering string

// The ways of gathering.
const (
	BeforeFall   Gathering = "before-fall"   // from ripe until it begins to fall: cones and catkins before they open
	WhileFalling Gathering = "while-falling" // from ripeness until half of it is down
	OnceFallen   Gathering = "once-fallen"   // from the first fall until half of it is down: nuts from the ground
)

// Gather returns when the seed can be had: while it falls, if the profile does not say.
func (s *Seed) Gather() Gathering {
	if s.Dispersal == nil {
		return WhileFalling
	}
	return s.Dispersal.Gather
}

// Process is one step of making fruit into clean seed.
type Process struct {
	Text             string
	MinDays, MaxDays int // both 0 for a step of hours
	Source           Source
}

// ProcessingDays returns how many days processing takes, the middle of each step's range added up and rounded up.
func (s *Seed) ProcessingDays() int {
	twice := 0
	for _, p := range s.Processing {
		twice += p.MinDays + p.MaxDays
	}
	return (twice + 1) / 2
}

// Keeping is how seed is kept between cleaning and its treatment or sowing.
type Keeping struct {
	Statement
	Moist bool // moist and cold, which is a cold stratification as well: no other need follow it
}

// Statement is a sentence with its source.
type Statement struct {
	Text   string
	Source Source
}

// Quantity is a figure or a range of figures with its source. Low equals High where the source gives one figure.
type Quantity struct {
	Low, High float64 // in the unit that stands at the field which holds the quantity
	Source    Source
}

// StorageClass is how seed bears drying, in the words of seed science.
type StorageClass string

// The storage classes.
const (
	Orthodox     StorageClass = "orthodox"     // bears drying and cold; keeps for years
	Intermediate StorageClass = "intermediate" // bears some drying; keeps for a season or two
	Recalcitrant StorageClass = "recalcitrant" // dies when it dries; sow or stratify moist at once
)

// Pretreatment is what seed needs before it germinates. With no steps, it is sown fresh, at once.
type Pretreatment struct {
	Steps  []TreatmentStep
	Note   string
	Source Source
}

// TreatmentStep is one step of a pre-treatment.
type TreatmentStep struct {
	Kind             TreatmentKind
	MinDays, MaxDays int     // days; both 0 for a step of hours, such as scarifying
	LowC, HighC      float64 // degrees Celsius; both 0 where not stated
}

// TreatmentKind is the kind of a step.
type TreatmentKind string

// The kinds of step.
const (
	WarmStratify TreatmentKind = "warm" // warm moist stratification
	ColdStratify TreatmentKind = "cold" // cold moist stratification
	Scarify      TreatmentKind = "scarify"
	Soak         TreatmentKind = "soak"
)

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
