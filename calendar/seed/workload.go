package seed

import (
	"cmp"
	"slices"

	"treewhen/calendar"
	"treewhen/calendar/phrase"
	"treewhen/phenology"
	"treewhen/phenology/civil"
)

// Workload is the nursery's view of a schedule: which crew does what on which day, how much that is by week, where a
// week is asked for more than it has, and what must be at hand.
type Workload struct {
	Title  string
	AsOf   civil.Date
	Span   civil.Span
	Speech phrase.Speech
	Notes  []calendar.Note
	Crews  []*Crew // in the order of their first sites
}

// Crew is the people who do the work of some sites, and that work. Sites share a crew unless the plan gives one of them
// its own.
type Crew struct {
	Sites   []*SiteLoad
	Days    Workdays
	WeekHas float64         // people-days that a full week has; 0: not stated
	Counted bool            // at least one task has people-days of the owner's own
	Uncount []calendar.Task // tasks that come up and have none
	Past    int             // entries of the schedule whose days are over: nobody does them any more
	Jobs    []*Job          // by day
	Weeks   []*Week         // from this one, or the first of the span, to the last with work, without gaps
	Kit     []KitMonth
	Fridge  []FridgeWeek
	Needs   []*Need // what is to be brought home, as its collections come
	Drives  Drives

	places []*calendar.Place
	round  map[string]int // by site: which others one drive can go to as well
}

// SiteLoad is the work of one site.
type SiteLoad struct {
	ID, Name string
	Jobs     []*Job // by day
	Kit      []KitMonth
}

// Job is an entry with the day on which its crew does it.
type Job struct {
	Entry   *calendar.Entry
	Day     civil.Date // a working day, in the entry's window unless Outside
	Outside bool       // no day of the window is left on which the crew works
	Visit   int        // the number, from 1, of the visit to a stand in which it is done; 0: at the nursery
	Drive   int        // the number, from 1, of the drive of that visit; 0: at the nursery
}

// Week is a week of work, Monday to Sunday. A job counts in the week of its day.
type Week struct {
	Monday     civil.Date
	Has        float64 // people-days, of the working days that are left of it
	PeopleDays float64 // that its jobs take
	Visits     int     // to stands
	Drives     int     // on which these are
	Jobs       []*Job
	Over       bool    // it is asked for more people-days than it has
	Moves      []*Move // what to do in other weeks, so that it fits
	StillOver  float64 // people-days too many even then
	Least      []*Job  // the collections to leave out that give least, so that it fits: the least first
}

// Move is a proposal to do a job in another week.
type Move struct {
	Job *Job
	To  civil.Date // the Monday of that week
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

// NewWorkload makes the workload of a plan's schedule: its seed work alone, of every site that has any, on the working
// days from the as-of day on. Stands are visited as seldom as can be without losing much: see [visits].
func NewWorkload(p *calendar.Plan, s *calendar.Schedule) *Workload {
	w := &Workload{Title: s.Title, AsOf: s.AsOf, Span: s.Span, Speech: s.Speech, Notes: s.Notes}
	bySite := map[string][]*calendar.Entry{}
	for _, e := range s.Entries {
		if e.Activity == calendar.SeedCollection {
			bySite[e.Site.ID] = append(bySite[e.Site.ID], e)
		}
	}
	crews := map[int]*Crew{}
	for _, place := range p.Places {
		site, opt := place.Site(), &place.Options.Seed
		entries := bySite[site.ID]
		if len(entries) == 0 {
			continue
		}
		c := crews[opt.CrewLine]
		if c == nil {
			days := newWorkdays(&opt.Outings, site, max(s.AsOf, s.Span.First), s.Span.Last)
			c = &Crew{WeekHas: opt.WeekHas, Days: days}
			crews[opt.CrewLine] = c
			w.Crews = append(w.Crews, c)
		}
		c.places = append(c.places, place)
		c.add(&SiteLoad{ID: site.ID, Name: site.Name}, entries, opt)
	}
	for _, c := range w.Crews {
		c.plan()
	}
	w.Crews = slices.DeleteFunc(w.Crews, func(c *Crew) bool { return len(c.Jobs) == 0 })
	return w
}

// add gives the crew the work of a site.
func (c *Crew) add(site *SiteLoad, entries []*calendar.Entry, opt *calendar.SeedOptions) {
	c.Sites = append(c.Sites, site)
	for _, e := range entries {
		if e.Window.Last < c.Days.First {
			c.Past++
			continue
		}
		_, stated := opt.Work[e.Task]
		c.Counted = c.Counted || stated
		if !stated && !slices.Contains(c.Uncount, e.Task) {
			c.Uncount = append(c.Uncount, e.Task)
		}
		site.Jobs = append(site.Jobs, &Job{Entry: e})
	}
}

// plan chooses the days of all jobs, and sums them up.
func (c *Crew) plan() {
	c.round = map[string]int{}
	for i, round := range rounds(c.places) {
		var jobs []*Job
		for _, place := range round {
			c.round[place.Site().ID] = i
			k := slices.IndexFunc(c.Sites, func(s *SiteLoad) bool { return s.ID == place.Site().ID })
			jobs = append(jobs, c.Sites[k].Jobs...)
		}
		c.days(jobs)
	}
	for _, site := range c.Sites {
		site.Kit = kitOf(site.Jobs, c.Days.First)
		c.Jobs = append(c.Jobs, site.Jobs...)
	}
	if len(c.Jobs) == 0 {
		return
	}
	slices.SortStableFunc(c.Jobs, compareJobs)
	c.spread()
	slices.SortFunc(c.Uncount, func(a, b calendar.Task) int {
		return cmp.Compare(slices.Index(calendar.SeedTasks(), a), slices.Index(calendar.SeedTasks(), b))
	})
	c.number()
	c.weeks()
	c.clashes()
	c.Kit = kitOf(c.Jobs, c.Days.First)
	c.Fridge = c.fridge()
	for _, j := range c.Jobs {
		f, ok := j.Entry.Facts.(*Collection)
		if ok && f.Need != nil && !slices.ContainsFunc(c.Needs, func(n *Need) bool {
			m := f.Need
			return n.Of == m.Of && n.SeedZone == m.SeedZone && n.Season == m.Season && n.Line == m.Line
		}) {
			c.Needs = append(c.Needs, f.Need)
		}
	}
}

// spread puts off what a day has no hands for to a day of its week that has, as far as windows allow: of a job where
// trees stand, first to one on which a drive goes there anyway. What a job takes beyond a day's hands is taken from the
// days after.
func (c *Crew) spread() {
	day := map[string]civil.Date{}
	used := map[civil.Date]float64{}
	driven := map[drive]bool{}
	for _, j := range c.Jobs {
		if j.inField() {
			driven[c.driveOf(j)] = true
		}
	}
	aDay := c.WeekHas / float64(c.Days.aWeek)
	for _, j := range c.Jobs {
		from := j.Day
		for _, uid := range j.Entry.After {
			from = max(from, day[uid])
		}
		last := min(MondayOf(j.Day)+6, j.Entry.Window.Last)
		days := c.Days.in(civil.Span{First: from, Last: last})
		free := func(d civil.Date) bool { return c.WeekHas == 0 || j.Entry.PeopleDays == 0 || used[d] < aDay-1e-9 }
		there := func(d civil.Date) bool { return free(d) && driven[drive{d, c.round[j.Entry.Site.ID]}] }
		i := slices.IndexFunc(days, free)
		if on := slices.IndexFunc(days, there); j.inField() && on >= 0 {
			i = on
		}
		switch {
		case i >= 0:
			j.Day = days[i]
		case j.Day < from:
			j.Day = c.Days.after(from)
		}
		day[j.Entry.UID] = j.Day
		takes := j.Entry.PeopleDays
		for _, d := range c.Days.in(civil.Span{First: j.Day, Last: MondayOf(j.Day) + 6}) {
			now := max(0, min(takes, aDay-used[d]))
			used[d] += now
			takes -= now
		}
	}
	slices.SortStableFunc(c.Jobs, compareJobs)
	for _, site := range c.Sites {
		slices.SortStableFunc(site.Jobs, compareJobs)
	}
}

// compareJobs orders jobs by day; those of a day by stand, so that a visit stands together, and then by a seed's way.
func compareJobs(a, b *Job) int {
	return cmp.Or(
		cmp.Compare(a.Day, b.Day), cmp.Compare(a.Entry.Site.ID, b.Entry.Site.ID),
		compareBool(!a.inField(), !b.inField()), cmp.Compare(a.stand(), b.stand()),
		cmp.Compare(step(a.Entry.Task), step(b.Entry.Task)), calendar.CompareEntries(a.Entry, b.Entry),
	)
}

// stand returns the stand where a job is done, "" at the nursery or where the plan has none.
func (j *Job) stand() string {
	if j.Entry.Stand == nil {
		return ""
	}
	return j.Entry.Stand.ID
}

// inField reports whether a job is done where the trees stand.
func (j *Job) inField() bool {
	switch j.Entry.Task {
	case calendar.TaskScout, calendar.TaskRipeness, calendar.TaskCollect:
		return true
	}
	return false
}

// weeks sums up the weeks.
func (c *Crew) weeks() {
	first, last := MondayOf(c.Days.First), MondayOf(c.Jobs[len(c.Jobs)-1].Day)
	full := float64(c.Days.aWeek)
	for monday := first; monday <= last; monday += 7 {
		open := c.Days.in(civil.Span{First: monday, Last: monday + 6})
		c.Weeks = append(c.Weeks, &Week{Monday: monday, Has: c.WeekHas * float64(len(open)) / full})
	}
	visit, drive := 0, 0
	for _, j := range c.Jobs {
		week := c.Weeks[int(MondayOf(j.Day)-first)/7]
		week.Jobs = append(week.Jobs, j)
		week.PeopleDays += j.Entry.PeopleDays
		if j.Visit > visit {
			visit = j.Visit
			week.Visits++
		}
		if j.Drive > drive {
			drive = j.Drive
			week.Drives++
		}
	}
	for _, week := range c.Weeks {
		week.Over = c.WeekHas > 0 && week.PeopleDays > week.Has+1e-9
	}
}
