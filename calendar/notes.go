package calendar

import (
	"treewhen/phenology"
	"treewhen/phenology/civil"
)

// Lot is seed of one species and season that is kept apart from others, from collection to sowing: by its seed zone or,
// where stands have none, by its stand.
type Lot struct {
	ID       string   `json:"id,omitempty"`        // the owner's own; "" for one that is still to be collected
	SeedZone string   `json:"seed_zone,omitempty"` // of its stands
	Stands   []string `json:"stands,omitempty"`    // their names, in order
	CleanKG  float64  `json:"clean_kg,omitempty"`  // of clean seed, as it was last weighed; 0: not told
	Apart    bool     `json:"-"`                   // there can be other seed of its species in the season
}

// LotNote is a line of a nursery's book: something that was done with a lot of seed.
type LotNote struct {
	Lot      string // the owner's name of it, the same for all that is done with it
	Date     civil.Date
	Species  *phenology.Species
	Stand    string // Stand.ID; "" for the place as a whole, or one that is not told
	SeedZone string // the owner's own label; "" for the stand's
	What     LotStep
	Quantity float64 // 0 for none told
	Unit     LotUnit // of Quantity
	Note     string
	Line     int // of the file
}

// LotStep is what was done with a lot.
type LotStep string

// What can be done with a lot, in the order of a seed's way.
const (
	LotTooLate    LotStep = "too-late"   // the collectors came too late: nothing was collected
	LotCollected  LotStep = "collected"  // in fruit, as it came from the tree
	LotCleaned    LotStep = "cleaned"    // made into clean seed
	LotTested     LotStep = "tested"     // germination or cut test, in percent; or moisture, in percent-water
	LotStored     LotStep = "stored"     // put in store
	LotStratified LotStep = "stratified" // a step of its treatment begun: the first, and the next at the next such line
	LotSprouting  LotStep = "sprouting"  // found with roots in the store: it has to be sown
	LotSown       LotStep = "sown"       // all that is left of it
	LotCameUp     LotStep = "came-up"    // seedlings counted
	LotDiscarded  LotStep = "discarded"  // what is left of it was thrown or given away
)

// LotSteps returns all that can be done with a lot, in the order of a seed's way.
func LotSteps() []LotStep {
	return []LotStep{LotTooLate, LotCollected, LotCleaned, LotTested, LotStored, LotStratified, LotSprouting, LotSown,
		LotCameUp, LotDiscarded}
}

// LotUnit is the unit of a lot's quantity.
type LotUnit string

// LotUnits returns all units of a lot's quantities.
func LotUnits() []LotUnit {
	return []LotUnit{"kg", "g", "l", "seeds", "seedlings", "percent", "percent-water", "bags"}
}

// CropNote is what somebody who scouted a seed crop wrote down.
type CropNote struct {
	Date    civil.Date `json:"date"`
	Stand   string     `json:"stand,omitempty"` // Stand.ID; "" for the whole place
	Species string     `json:"species"`         // Species.ID
	Crop    Crop       `json:"crop"`
	Note    string     `json:"note,omitempty"`
}

// Crop is the size of a seed crop, in the words of scouting notes.
type Crop string

// The sizes of a crop.
const (
	NoCrop     Crop = "none"
	LightCrop  Crop = "light"
	GoodCrop   Crop = "good"
	BumperCrop Crop = "bumper"
)

// Crops returns all sizes, the smallest first.
func Crops() []Crop { return []Crop{NoCrop, LightCrop, GoodCrop, BumperCrop} }

// Gathered is what was gathered or boiled at a place on a day, by its owner's book.
type Gathered struct {
	Date  civil.Date
	Sap   float64 // litres
	Sugar float64 // of the sap, percent by weight; 0: not said
	Syrup float64 // litres
	Note  string
}
