package phenology

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
