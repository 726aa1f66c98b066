package seed

import (
	"cmp"
	"slices"

	"treewhen/calendar"
	"treewhen/phenology"
	"treewhen/phenology/civil"
)

// Workload is the nursery's view of a schedule: what seed work comes when, how much of it there is by week, where a
// week is asked for more than it has, and what must be at hand.
type Workload struct {
	Title string
	AsOf  civil.Date
	Span  civil.Span
	Notes []calendar.Note
	Sites []*SiteLoad
}

// SiteLoad is the workload of one site.
type SiteLoad struct {
	ID, Name string
	WeekHas  float64           // people-days that a week has; 0: not stated
	Counted  bool              // at least one task has people-days of the owner's own
	Uncount  []calendar.Task   // tasks that come up and have none
	Entries  []*calendar.Entry // by best day
	Weeks    []*Week           // from the first week with work to the last, without gaps
	Kit      []KitMonth
}

// Week is a week of work, Monday to Sunday. An entry counts in the week of its best day.
type Week struct {
	Monday     civil.Date
	PeopleDays float64
	Entries    []*calendar.Entry
	Over       bool    // it is asked for more people-days than it has
	Moves      []*Move // what to do in other weeks, so that it fits
	StillOver  float64 // people-days too many even then
}

// Move is a proposal to do an entry in another week than that of its best day.
type Move struct {
	Entry *calendar.Entry
	To    civil.Date // the Monday of that week
}

// KitMonth is what is needed for the first time in a month.
type KitMonth struct {
	First civil.Date // the first of the month
	Items []KitItem
}

// KitItem is something to have at hand, and what for.
type KitItem struct {
	What Kit
	For  []*phenology.Species
}

// MondayOf returns the Monday of a day's week (ISO 8601).
func MondayOf(d civil.Date) civil.Date {
	return d - civil.Date((int(d.Weekday())+6)%7)
}

// NewWorkload makes the workload of a plan's schedule: its seed work alone, of every site that has any.
func NewWorkload(p *calendar.Plan, s *calendar.Schedule) *Workload {
	w := &Workload{Title: s.Title, AsOf: s.AsOf, Span: s.Span, Notes: s.Notes}
	bySite := map[string][]*calendar.Entry{}
	for _, e := range s.Entries {
		if e.Activity == calendar.SeedCollection {
			bySite[e.Site.ID] = append(bySite[e.Site.ID], e)
		}
	}
	for _, place := range p.Places {
		id := place.Site().ID
		site := &SiteLoad{ID: id, Name: place.Site().Name, WeekHas: place.Options.Seed.WeekHas, Entries: bySite[id]}
		if len(site.Entries) == 0 {
			continue
		}
		slices.SortStableFunc(site.Entries, func(a, b *calendar.Entry) int {
			return cmp.Or(
				cmp.Compare(a.Best, b.Best), cmp.Compare(a.Window.Last, b.Window.Last), calendar.CompareEntries(a, b))
		})
		for _, e := range site.Entries {
			_, stated := place.Options.Seed.Work[e.Task]
			site.Counted = site.Counted || stated
			if !stated && !slices.Contains(site.Uncount, e.Task) {
				site.Uncount = append(site.Uncount, e.Task)
			}
		}
		slices.SortFunc(site.Uncount, func(a, b calendar.Task) int {
			return cmp.Compare(slices.Index(calendar.SeedTasks(), a), slices.Index(calendar.SeedTasks(), b))
		})
		site.weeks()
		site.clashes()
		site.kit()
		w.Sites = append(w.Sites, site)
	}
	return w
}

func (s *SiteLoad) weeks() {
	first, last := MondayOf(s.Entries[0].Best), MondayOf(s.Entries[len(s.Entries)-1].Best)
	for monday := first; monday <= last; monday += 7 {
		s.Weeks = append(s.Weeks, &Week{Monday: monday})
	}
	for _, e := range s.Entries {
		week := s.Weeks[int(MondayOf(e.Best)-first)/7]
		week.Entries = append(week.Entries, e)
		week.PeopleDays += e.PeopleDays
	}
	for _, week := range s.Weeks {
		week.Over = s.WeekHas > 0 && week.PeopleDays > s.WeekHas+1e-9
	}
}
