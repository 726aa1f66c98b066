package seed

import (
	"cmp"
	"slices"

	"treewhen/calendar"
	"treewhen/calendar/phrase"
	"treewhen/phenology"
	"treewhen/phenology/civil"
)

// Workload is the nursery's view of a schedule: what seed work comes when, how much of it there is by week, where a week
// is asked for more than it has, and what must be at hand.
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
	What string
	For  []string // tasks and species, in a few words
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
			return cmp.Or(cmp.Compare(a.Best, b.Best), cmp.Compare(a.Window.Last, b.Window.Last), calendar.CompareEntries(a, b))
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

// clashes proposes, for every week that is asked for too much, which entries to do in a week with room for them, until it
// has room itself: first what has the most time, collections last. What follows an entry goes with it, if it would come
// before it otherwise. It keeps account of the room that earlier proposals have taken. Nothing is moved; that is for
// people to decide.
func (s *SiteLoad) clashes() {
	b := newBoard(s)
	for i, week := range s.Weeks {
		if !week.Over {
			continue
		}
		movable := slices.Clone(week.Entries)
		slices.SortStableFunc(movable, func(a, b *calendar.Entry) int {
			return cmp.Or(
				compareBool(a.Task == calendar.TaskCollect, b.Task == calendar.TaskCollect),
				cmp.Compare(b.Window.Last-b.Best, a.Window.Last-a.Best),
				cmp.Compare(b.PeopleDays, a.PeopleDays),
			)
		})
		for _, e := range movable {
			if b.load[i] <= s.WeekHas+1e-9 {
				break
			}
			if e.PeopleDays == 0 || b.week[e.UID] != i {
				continue
			}
			if k, with := b.roomFor(e, i); k >= 0 {
				for _, m := range with {
					b.move(m, k)
					for _, w := range s.Weeks { // the last word counts
						w.Moves = slices.DeleteFunc(w.Moves, func(old *Move) bool { return old.Entry == m })
					}
					week.Moves = append(week.Moves, &Move{m, s.Weeks[k].Monday})
				}
			}
		}
		week.StillOver = max(0, b.load[i]-s.WeekHas)
	}
}

// board says in which week each entry is done, with what has been proposed so far.
type board struct {
	site  *SiteLoad
	load  []float64
	week  map[string]int               // by identifier
	after map[string][]*calendar.Entry // what follows an entry
}

func newBoard(s *SiteLoad) *board {
	b := &board{site: s, week: map[string]int{}, after: map[string][]*calendar.Entry{}}
	for i, week := range s.Weeks {
		b.load = append(b.load, week.PeopleDays)
		for _, e := range week.Entries {
			b.week[e.UID] = i
			for _, uid := range e.After {
				b.after[uid] = append(b.after[uid], e)
			}
		}
	}
	return b
}

func (b *board) move(e *calendar.Entry, k int) {
	b.load[b.week[e.UID]] -= e.PeopleDays
	b.load[k] += e.PeopleDays
	b.week[e.UID] = k
}

// roomFor returns the nearest week to week i that an entry's window reaches and that has room for it and what has to go
// with it, the later of two equally near; -1 if there is none.
func (b *board) roomFor(e *calendar.Entry, i int) (int, []*calendar.Entry) {
	for off := 1; off < min(len(b.load), 1+weeksToMove(e)); off++ {
		for _, k := range []int{i + off, i - off} {
			if k < 0 || k >= len(b.load) || k < i && !b.mayGoBack(e, k) {
				continue
			}
			with := b.goesWith(e, k)
			more := 0.0
			fits := true
			for _, m := range with {
				more += m.PeopleDays
				fits = fits && reaches(m, b.site.Weeks[k].Monday)
			}
			if fits && b.load[k]+more <= b.site.WeekHas+1e-9 {
				return k, with
			}
		}
	}
	return -1, nil
}

// mayGoBack reports whether an entry can be done in an earlier week: what follows a collection is not done before its
// usual week, and a collection not before the looks that set its day.
func (b *board) mayGoBack(e *calendar.Entry, k int) bool {
	if len(e.After) > 0 && e.Task != calendar.TaskCollect {
		return false
	}
	return !slices.ContainsFunc(e.After, func(uid string) bool { return b.week[uid] > k })
}

// goesWith returns an entry and all that follows it and would come before it if it were done in week k.
func (b *board) goesWith(e *calendar.Entry, k int) []*calendar.Entry {
	list := []*calendar.Entry{e}
	for n := 0; n < len(list); n++ {
		for _, next := range b.after[list[n].UID] {
			if b.week[next.UID] < k && !slices.Contains(list, next) {
				list = append(list, next)
			}
		}
	}
	return list
}

// reaches reports whether an entry's window has days enough in a week to do it in that week.
func reaches(e *calendar.Entry, monday civil.Date) bool {
	overlap := e.Window.Intersect(civil.Span{First: monday, Last: monday + 6})
	return !overlap.Empty() && overlap.Days() >= min(3, e.Window.Days())
}

// weeksToMove returns by how many weeks at most an entry is proposed to be done away from its best day: fresh seed does
// not wait. Our own choice.
func weeksToMove(e *calendar.Entry) int {
	switch {
	case e.Task == calendar.TaskProcess || e.Task == calendar.TaskStore || e.Fresh:
		return 1
	case e.Task == calendar.TaskCollect:
		return 2
	}
	return 6
}

func compareBool(a, b bool) int {
	switch {
	case a == b:
		return 0
	case b:
		return -1
	}
	return 1
}

// kit lists what is needed, under the month in which it is needed first.
func (s *SiteLoad) kit() {
	seen := map[string]*KitItem{}
	month := map[civil.Date][]*KitItem{}
	var months []civil.Date
	byWindow := slices.Clone(s.Entries)
	slices.SortStableFunc(byWindow, func(a, b *calendar.Entry) int { return cmp.Compare(a.Window.First, b.Window.First) })
	for _, e := range byWindow {
		first := civil.Of(e.Window.First.Year(), e.Window.First.Month(), 1)
		for _, what := range kitFor(e) {
			item := seen[what]
			if item == nil {
				item = &KitItem{What: what}
				seen[what] = item
				if month[first] == nil {
					months = append(months, first)
				}
				month[first] = append(month[first], item)
			}
			if name := phrase.Name(e.Species[0].Name()); !slices.Contains(item.For, name) {
				item.For = append(item.For, name)
			}
		}
	}
	slices.Sort(months)
	for _, first := range months {
		k := KitMonth{First: first}
		for _, item := range month[first] {
			k.Items = append(k.Items, *item)
		}
		s.Kit = append(s.Kit, k)
	}
}

// kitFor returns what an entry needs. Common practice, no source.
func kitFor(e *calendar.Entry) []string {
	fruit := e.Species[0].Seed.Fruit
	nuts := fruit == phenology.Acorn || fruit == phenology.Nut
	soft := fruit == phenology.Drupe || fruit == phenology.Berry || fruit == phenology.Pome || fruit == phenology.BerryLikeCone
	cones := fruit == phenology.Cone || fruit == phenology.SeedCatkin || fruit == phenology.SeedHead
	switch e.Task {
	case calendar.TaskScout:
		return []string{"binoculars, and a book for crop notes"}
	case calendar.TaskRipeness:
		list := []string{"knife, cutting board and hand lens"}
		if nuts {
			list = append(list, "tub of water for float tests")
		}
		return list
	case calendar.TaskCollect:
		list := []string{"tags and pencils: species, stand, seed zone, date, number of trees"}
		switch {
		case nuts:
			return append(list, "buckets and mesh sacks", "hard hats")
		case soft:
			return append(list, "buckets with lids, and a cool box", "sheets to shake fruit onto")
		case cones:
			return append(list, "airy sacks for cones and catkins")
		case fruit == phenology.Capsule:
			return append(list, "hand pruners and closed paper bags")
		}
		return append(list, "tarpaulins and paper bags")
	case calendar.TaskProcess:
		switch {
		case fruit == phenology.SeedHead:
			return []string{"dust masks and goggles", "drying racks and screens"}
		case nuts:
			if fruit == phenology.Acorn {
				return []string{"tub of water for float tests"}
			}
			return []string{"tub of water for float tests", "gloves that husk stain does not pass"}
		case soft:
			return []string{"tubs, mashing tool and sieves for pulp", "drying racks and screens"}
		case fruit == phenology.Capsule:
			return []string{"a room without draughts, trays, a soft brush"}
		}
		return []string{"drying racks and screens"}
	case calendar.TaskStore:
		return []string{"jars or bags that seal, inside and outside labels, a scale", "cold store space"}
	case calendar.TaskStratify:
		list := []string{"damp sand, peat or vermiculite, and bags", "cold store space"}
		if treatmentSteps(e.Steps).has(phenology.WarmStratify) {
			list = append(list, "a warm shelf at 20 to 30 °C")
		}
		if treatmentSteps(e.Steps).has(phenology.Scarify) {
			list = append(list, "files or sandpaper; hot water")
		}
		return list
	case calendar.TaskSow:
		list := []string{"bed labels and a sowing plan"}
		if nuts {
			list = append(list, "mesh against squirrels and mice")
		}
		return list
	default:
		return []string{"count frame and tally sheet"}
	}
}
