package seed

import (
	"cmp"
	"slices"

	"treewhen/calendar"
	"treewhen/calendar/phrase"
	"treewhen/phenology"
	"treewhen/phenology/civil"
)

// SheetDays is how many days a sheet to take to a stand is for.
const SheetDays = 14

// StandSheet is what to take to a stand: what is to be done there in some days, with what the tree has to show.
type StandSheet struct {
	Site   *phenology.Site
	Stand  *calendar.Stand
	Metres float64 // its height
	Speech phrase.Speech
	Days   civil.Span
	Work   []*calendar.Entry // that is to be done, collections first, by best day
}

// NewStandSheet chooses from a site's work what can be done at a stand from a day on.
func NewStandSheet(
	site *phenology.Site, stand *calendar.Stand, metres float64, work []*calendar.Entry, day civil.Date,
	as phrase.Speech,
) *StandSheet {
	s := &StandSheet{
		Site: site, Stand: stand, Metres: metres, Speech: as, Days: civil.Span{First: day, Last: day + SheetDays - 1},
	}
	for _, e := range work {
		j := Job{Entry: e}
		if e.Activity == calendar.SeedCollection && e.Stand != nil && e.Stand.ID == stand.ID && j.inField() &&
			e.State == calendar.Open && e.Window.Overlaps(s.Days) {
			s.Work = append(s.Work, e)
		}
	}
	slices.SortStableFunc(s.Work, func(a, b *calendar.Entry) int {
		return cmp.Or(-cmp.Compare(step(a.Task), step(b.Task)), cmp.Compare(a.Best, b.Best),
			calendar.CompareEntries(a, b))
	})
	return s
}

// Collected returns the collections on the sheet, for whose seed there are labels.
func (s *StandSheet) Collected() (list []*calendar.Entry) {
	for _, e := range s.Work {
		if e.Task == calendar.TaskCollect {
			list = append(list, e)
		}
	}
	return list
}
