package seed

import (
	"fmt"

	"treewhen/phenology"
	"treewhen/phenology/civil"
)

// FridgeWeek is what lies in the cold in a week.
type FridgeWeek struct {
	Monday  civil.Date
	Dry     int     // lots that lie dry and sealed
	Moist   int     // lots that lie moist, in sand or peat: they take several times the room of their seed
	KG      float64 // of clean seed, of the lots whose weight is known
	Unknown int     // lots whose weight is not
}

// stay is how long a lot lies in the cold.
type stay struct {
	dry, treated, moist, sown civil.Date // 0: never, or not in the span
	busy                      bool       // it is still to be cleaned
	inHand                    bool
	kg                        float64
}

// fridge returns what lies in the cold week by week, of the lots in hand and of those that are still to be collected.
func (c *Crew) fridge() (weeks []FridgeWeek) {
	var order []string
	stays := map[string]*stay{}
	for _, j := range c.Jobs {
		facts, ok := j.Entry.Facts.(Facts)
		if !ok || !Follows(facts) {
			continue
		}
		key := fmt.Sprint(j.Entry.Site.ID, j.Entry.Species[0].ID, j.Entry.Season)
		if l := j.Entry.Lot; l != nil {
			key += fmt.Sprint(l.ID, l.SeedZone, l.Stands)
		}
		s := stays[key]
		if s == nil {
			s = &stay{}
			stays[key] = s
			order = append(order, key)
		}
		if l := j.Entry.Lot; l != nil {
			s.inHand, s.kg = l.ID != "", l.CleanKG
		}
		s.note(j, facts)
	}
	for _, w := range c.Weeks {
		f := FridgeWeek{Monday: w.Monday}
		for _, key := range order {
			s := stays[key]
			dry, moist := s.lies(w.Monday, c.Days.First)
			switch {
			case moist:
				f.Moist++
			case dry:
				f.Dry++
			default:
				continue
			}
			if f.KG += s.kg; s.kg == 0 {
				f.Unknown++
			}
		}
		weeks = append(weeks, f)
	}
	return weeks
}

// note keeps what a job says of where the lot lies.
func (s *stay) note(j *Job, facts Facts) {
	switch f := facts.(type) {
	case *Cleaning:
		s.busy = true
	case *Store:
		if s.dry = j.Day; f.Stratifies != nil {
			s.dry, s.moist = 0, j.Day
		}
	case *Stratification:
		if s.treated == 0 {
			s.treated = j.Day
		}
		if f.Begins().Kind == phenology.ColdStratify {
			s.moist = j.Day
		}
	case *Sprouting:
		if s.moist == 0 { // it has lain so since before the first day
			s.moist, s.treated = f.Since, f.Since
		}
	case *Sow:
		if s.sown = j.Day; f.How == AtOnce || f.How == ForWinter {
			s.busy = true // it never lies in the cold
		}
	}
}

// lies reports whether the lot lies in the cold in a week, dry or moist; first is the first day of the work.
func (s *stay) lies(monday, first civil.Date) (dry, moist bool) {
	sunday := monday + 6
	until := s.sown
	if until == 0 {
		until = sunday + 1 // past the span
	}
	if s.moist != 0 && s.moist <= sunday && monday < until {
		return false, true
	}
	from := s.dry
	if from == 0 && s.inHand && !s.busy && s.moist >= first {
		from = first // it was put there before
	}
	leaves := s.treated
	if leaves == 0 {
		leaves = until
	}
	return from != 0 && from <= sunday && monday < leaves, false
}
