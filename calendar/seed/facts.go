package seed

import (
	"fmt"

	"treewhen/calendar"
	"treewhen/phenology"
	"treewhen/phenology/civil"
)

// Facts are what was decided of a piece of seed work. There is one type a task; what else its words need stands in the
// entry and in the profile of its species.
type Facts interface {
	calendar.Facts
	seedWork()
}

// Usually are days of which eight years in ten keep between.
type Usually struct {
	From civil.Date `json:"from"` // one year in ten is earlier
	To   civil.Date `json:"to"`   // one year in ten is later
}

func usually(e phenology.Estimate) Usually { return Usually{e.P10(), e.P90()} }

// Visits says how far a single visit can be relied on.
type Visits string

// What visits it takes.
const (
	OneVisit     Visits = "one"              // it finds seed in four years of five, or more
	CheckedVisit Visits = "one-checked"      // the ripeness checks should set its day
	ChecksDecide Visits = "as-checks-decide" // it is not to be relied on
)

func visitsFor(one float64) Visits {
	switch {
	case one >= 0.8:
		return OneVisit
	case one >= 0.5:
		return CheckedVisit
	}
	return ChecksDecide
}

// Outside is how far outside its species' range a place is, and what that was taken to mean.
type Outside struct {
	KM   int `json:"km"`          // from the edge of the range, by its map or its rough box
	Days int `json:"spread_days"` // of standard deviation that were added to its dates
}

// Collection are the facts of a collection.
type Collection struct {
	Ripe      Usually            `json:"ripe"`
	Falls     *Usually           `json:"begins_to_fall,omitempty"` // nil where that cannot be dated
	Stays     int                `json:"stays_days"`               // for how long it can be had once it is ripe; mean
	One       calendar.Chance    `json:"one_visit"`                // that a single visit on the best day finds it
	Visits    Visits             `json:"visits"`
	Outside   *Outside           `json:"outside_range,omitempty"`
	MayForbid bool               `json:"may_be_forbidden,omitempty"` // collecting it here, by law
	Crop      *calendar.CropNote `json:"crop,omitempty"`             // as it was scouted; nil if nobody has looked

	Need      *Need              `json:"need,omitempty"` // what is to be brought home; nil: no seedlings are wanted
	Lot       *calendar.Lot      `json:"-"`              // what was collected; nil while it is to be done
	Law       *calendar.Law      `json:"-"`              // nil if none is of it
	Elevation float64            `json:"-"`              // of the stand, metres; 0 for the place as a whole
	Sources   []phenology.Source `json:"-"`              // of its dates
}

// Scout are the facts of a look at the crop.
type Scout struct {
	Weeks          int         `json:"weeks_before,omitempty"`         // the collection; 0 where flowers set the day
	AfterFlowering int         `json:"days_after_flowering,omitempty"` // 0 where the collection sets the day
	Collect        civil.Date  `json:"collect"`                        // the best day of collection
	Of             *Collection `json:"-"`
}

// Check are the facts of a ripeness check.
type Check struct {
	Number int         `json:"number"`         // 1 or 2
	Every  int         `json:"every_days"`     // before the day, and then from one look to the next
	Before civil.Date  `json:"before"`         // by then it can be had in one year of ten; check 2: five
	Test   SampleTest  `json:"test,omitempty"` // to make of a sample, beside the species' own signs
	Of     *Collection `json:"-"`
}

// SampleTest is how a sample is tested for full and ripe seed, by the kind of fruit.
type SampleTest string

// The tests. All are common practice, no source.
const (
	FloatNuts  SampleTest = "float-nuts"
	CutStones  SampleTest = "cut-stones"
	CutCones   SampleTest = "cut-cones"
	CutSamaras SampleTest = "cut-samaras"
)

// Cleaning are the facts of making fruit into clean seed.
type Cleaning struct {
	Days int `json:"takes_days"` // 0 for hours
}

// Store are the facts of putting seed in store.
type Store struct {
	Until civil.Date `json:"until"` // its treatment, or its sowing

	// Stratifies is the cold step that a moist and cold store is at the same time; nil of a dry one.
	Stratifies *Step      `json:"stratifies,omitempty"`
	Sowing     *Sowing    `json:"sowing,omitempty"`  // that it lasts until, where it stratifies
	Late       *Shortfall `json:"put_off,omitempty"` // why sowing is put off; nil where it is not
}

// Test are the facts of a test of a lot in store.
type Test struct {
	Before civil.Date `json:"before"` // its treatment, or its sowing: how much to take goes by the test
}

// Sprouting are the facts of looking into a lot that lies moist and cold.
type Sprouting struct {
	Since civil.Date `json:"since"` // it has lain so
	Least int        `json:"least_days"`
	Until civil.Date `json:"until"` // its sowing
}

// Stratification are the facts of a step of a stratification that begins.
type Stratification struct {
	Step      int        `json:"step"` // from 1
	Treatment *Treatment `json:"treatment"`
	LastStart civil.Date `json:"last_start,omitempty"` // that is good; 0: the best day
	Sowing    *Sowing    `json:"sowing"`
	Late      *Shortfall `json:"put_off,omitempty"` // why sowing is put off; nil where it is not
}

// How is a way of sowing.
type How string

// The ways of sowing.
const (
	AtOnce    How = "at-once"    // fresh seed that cannot wait
	ForWinter How = "for-winter" // in autumn, for a winter in the bed
	InSpring  How = "in-spring"  // once the seed is ready
	Sprouted  How = "sprouted"   // since it has roots already
)

// Sow are the facts of a sowing.
type Sow struct {
	How       How        `json:"how"`
	Treatment *Treatment `json:"-"`                // for the winter, that of which the bed takes the place
	Sowing    *Sowing    `json:"sowing,omitempty"` // nil at once
	Late      *Shortfall `json:"put_off,omitempty"`
}

// Germination are the facts of a look at what has come up.
type Germination struct {
	Wintered bool `json:"sown_in_autumn,omitempty"`
}

// Follows reports whether work follows a collection, so that its days are set by it and there is no chance of its own.
func Follows(f Facts) bool {
	_, ok := f.(calendar.Following)
	return ok
}

// Follows marks the facts of what is done once the seed is in.
func (*Cleaning) Follows()       {}
func (*Store) Follows()          {}
func (*Test) Follows()           {}
func (*Sprouting) Follows()      {}
func (*Stratification) Follows() {}
func (*Sow) Follows()            {}
func (*Germination) Follows()    {}

func (*Collection) seedWork()     {}
func (*Scout) seedWork()          {}
func (*Check) seedWork()          {}
func (*Cleaning) seedWork()       {}
func (*Store) seedWork()          {}
func (*Test) seedWork()           {}
func (*Sprouting) seedWork()      {}
func (*Stratification) seedWork() {}
func (*Sow) seedWork()            {}
func (*Germination) seedWork()    {}

// Essence lists what visits it takes, the crop, and whether law may forbid it.
func (f *Collection) Essence() []calendar.Fact {
	list := []calendar.Fact{{Name: "visits", Value: string(f.Visits)}}
	if f.Crop != nil {
		list = append(list, calendar.Fact{Name: "crop", Value: string(f.Crop.Crop)})
	}
	if f.MayForbid {
		list = append(list, calendar.Fact{Name: "may-forbid", Value: true})
	}
	return list
}

// Essence is empty: the day says it all.
func (f *Scout) Essence() []calendar.Fact { return nil }

// Essence is empty: the day says it all, and each check is an entry of its own.
func (f *Check) Essence() []calendar.Fact { return nil }

// Essence is empty.
func (f *Cleaning) Essence() []calendar.Fact { return nil }

// Essence is empty: how long it is stored goes by the entries that follow.
func (f *Store) Essence() []calendar.Fact { return nil }

// Essence is empty: the day says it all.
func (f *Test) Essence() []calendar.Fact { return nil }

// Essence is empty: the days say it all.
func (f *Sprouting) Essence() []calendar.Fact { return nil }

// Essence lists the step and of how many it is, and whether sowing is put off.
func (f *Stratification) Essence() []calendar.Fact {
	step := fmt.Sprintf("%s-%d-of-%d", f.Begins().Kind, f.Step, len(f.Treatment.Steps))
	return append([]calendar.Fact{{Name: "step", Value: step}}, f.Late.essence()...)
}

// Essence lists how it is sown, and whether that is put off.
func (f *Sow) Essence() []calendar.Fact {
	return append([]calendar.Fact{{Name: "how", Value: string(f.How)}}, f.Late.essence()...)
}

// Essence tells whether it was sown in autumn.
func (f *Germination) Essence() []calendar.Fact {
	if f.Wintered {
		return []calendar.Fact{{Name: "wintered", Value: true}}
	}
	return nil
}
