package seed

import (
	"treewhen/calendar"
	"treewhen/phenology"
	"treewhen/phenology/civil"
)

// NoDates is a note: the seed of a species cannot be dated.
type NoDates struct {
	Species *phenology.Species
	Stand   string          // its name; "" for the place as a whole
	After   phenology.Phase // from which ripening is counted, and which is lacking; FruitRipe: it is not counted
	Lack    phenology.Lack  // why there is no date
}

// TooFar is a note: a place is so far outside a species' range that it is not dated there.
type TooFar struct {
	Species *phenology.Species
	Stand   string // its name; "" for the place as a whole
	KM      int
}

// WhyUndated returns why the seed of a species cannot be dated at an outlook's place in a season, a [TooFar] or a
// [NoDates]; nil where it can.
func WhyUndated(o *phenology.Outlook, sp *phenology.Species, season int) any {
	if outside := sp.KilometresOutside(o.Site); outside > ReachKM {
		return TooFar{sp, "", whole(outside)}
	}
	est := o.Estimate(sp, season)
	if _, ok := seedTimeOf(est, sp.Seed.Gather()); !ok {
		return noSeed(est, "")
	}
	return nil
}

// AllTooFar is a note: the same of a library's species, which nobody has chosen. It is kept by pointer, one a place.
type AllTooFar struct {
	Species []*phenology.Species
}

// OutsideRange is a note: a species is dated outside its range.
type OutsideRange struct {
	Species *phenology.Species
	Stand   string // its name; "" for the place as a whole
	KM      int
}

// NothingToCollect is a note: scouting found no crop.
type NothingToCollect struct {
	Species *phenology.Species
	Stand   string // its name; "" for the place as a whole
	Season  int
	Scouted civil.Date
}

// Short is a note: less was collected than is wanted, and there is no more to come. It is kept by pointer, one a
// target.
type Short struct{ *Need }

// NoFrost is a note: there is no last frost to sow by.
type NoFrost struct {
	Record bool                // there is a record, or normals
	Found  phenology.FewFrosts // what it has
}

// Shortfall is how many days a sowing date is too early for any treatment, which is why sowing is put off. It is a note
// if the plan's owner set the date and chose the species.
type Shortfall struct {
	Species *phenology.Species      `json:"-"`
	How     *phenology.Pretreatment `json:"-"` // the shortest
	Wanted  civil.Date              `json:"wanted"`
	Ready   civil.Date              `json:"ready"`
	Needs   int                     `json:"needs_days"` // at least
	Sown    civil.Date              `json:"-"`          // when it is sown instead
	Line    int                     `json:"-"`          // of the plan that set the date; 0 where none did

	bears int // more days than [sowSpread] for which it is put off by days, since that was told before
}

// Earliest returns the first day on which it can be sown.
func (s *Shortfall) Earliest() civil.Date { return s.Ready + civil.Date(s.Needs) }

// LastStart returns the last good start for the date that was wanted.
func (s *Shortfall) LastStart() civil.Date { return s.Wanted - civil.Date(s.Needs) }

// CannotWait reports whether its seed cannot wait for another spring.
func (s *Shortfall) CannotWait() bool { return s.Species.Seed.Storage == phenology.Recalcitrant }

// ByDays reports whether sowing is put off by the days that are short, and not to another spring: a few days are within
// those over which it is sown anyway.
func (s *Shortfall) ByDays() bool {
	return s.CannotWait() || int(s.Earliest()-s.Wanted) <= sowSpread+s.bears
}

// The values of the fact that tells how sowing is put off.
const (
	putOff       = "put-off"
	putOffDays   = "days"
	putOffSpring = "to-another-spring"
)

// stays is by how many days more or fewer may be short for what was told before to stay. The day on which seed will be
// ready goes to and fro with every night's temperatures. Our own choice.
const stays = 4

// hold holds to what a feed told before of how it is put off; "" where it told nothing.
func (s *Shortfall) hold(told string) {
	s.bears = map[string]int{putOffDays: stays, putOffSpring: -stays}[told]
}

func (s *Shortfall) essence() []calendar.Fact {
	switch {
	case s == nil:
		return nil
	case s.ByDays():
		return []calendar.Fact{{Name: putOff, Value: putOffDays}}
	}
	return []calendar.Fact{{Name: putOff, Value: putOffSpring}}
}
