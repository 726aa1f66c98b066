package seed

import (
	"cmp"
	"slices"

	"treewhen/calendar"
	"treewhen/phenology"
	"treewhen/phenology/civil"
)

// What a drive costs that goes to one stand is 1, of which every further stand at which it stops costs this much again.
// Our own choice: a quarter of the time goes into walking in.
const stopCost = 0.25

// Drives says how well the days of visits are chosen.
type Drives struct {
	Cost    float64 // of drives, stops and days away from the best, in drives to one stand
	AtLeast float64 // no choice of days costs less
}

// rounds groups a crew's sites into those that lie so near each other, each to all others, that one drive can go to
// them all: each site in the plan's order joins the first group that it fits.
func rounds(places []*calendar.Place) (groups [][]*calendar.Place) {
	for _, p := range places {
		fits := func(g []*calendar.Place) bool {
			return !slices.ContainsFunc(g, func(o *calendar.Place) bool { return !together(p, o) })
		}
		if i := slices.IndexFunc(groups, fits); i >= 0 {
			groups[i] = append(groups[i], p)
		} else {
			groups = append(groups, []*calendar.Place{p})
		}
	}
	return groups
}

// together reports whether one drive can go to two sites.
func together(a, b *calendar.Place) bool {
	x, y := a.Site(), b.Site()
	return phenology.Distance(x.Latitude, x.Longitude, y.Latitude, y.Longitude) <=
		min(a.Options.Seed.OneDriveKM, b.Options.Seed.OneDriveKM)
}

// drive chooses the days of calls that one drive can answer: first those of the drives, as if every stand were one; of
// these, at which stands each stops; and then those of each stand anew, the others staying, as long as that makes them
// cheaper. Each step is exact (see [visits]), but not all at once, which is a facility location problem with two
// levels, and hard; so how far the choice may be from the best is told with it. Of one stand it is the best.
func (c *Crew) drive(calls []call) {
	all := func(x float64) func(civil.Date) float64 { return func(civil.Date) float64 { return x } }
	days, least := visits(calls, c.Days.open, all(1))
	r := route{byStand: map[string][]call{}, on: map[string][]civil.Date{}}
	for _, x := range calls {
		at := x.job.Entry.Site.ID + "/" + x.job.stand()
		if r.byStand[at] == nil {
			r.stands = append(r.stands, at)
		}
		r.byStand[at] = append(r.byStand[at], x)
	}
	for _, at := range r.stands {
		r.on[at], _ = visits(r.byStand[at], func(d civil.Date) bool { return slices.Contains(days, d) }, all(stopCost))
	}
	cost := r.cost()
	for better := true; better && len(r.stands) > 1; {
		before := cost
		for _, at := range r.stands {
			driven := r.driven(at)
			r.on[at], _ = visits(r.byStand[at], c.Days.open, func(d civil.Date) float64 {
				if driven[d] {
					return stopCost
				}
				return 1
			})
		}
		cost = r.cost()
		better = cost < before-1e-9
	}
	fewest := 0
	for _, at := range r.stands {
		for i, day := range r.on[at] {
			r.byStand[at][i].job.Day = day
		}
		fewest += fewestVisits(r.byStand[at])
	}
	if len(r.stands) > 1 {
		// Every drive stops at a stand at least; and whatever the drives, each stand has its fewest stops.
		_, drives := visits(calls, c.Days.open, all(1-stopCost))
		least = max(least, drives+stopCost*float64(fewest))
	}
	c.Drives.Cost, c.Drives.AtLeast = c.Drives.Cost+cost, c.Drives.AtLeast+least
}

// route is on which days a round's stands are gone to.
type route struct {
	stands  []string // in the order of their first calls
	byStand map[string][]call
	on      map[string][]civil.Date // by stand and call
}

// driven returns the days on which some stand but one is gone to.
func (r *route) driven(but string) map[civil.Date]bool {
	days := map[civil.Date]bool{}
	for _, at := range r.stands {
		for _, d := range r.on[at] {
			if at != but {
				days[d] = true
			}
		}
	}
	return days
}

// cost returns what drives, stops and days away from the best cost.
func (r *route) cost() float64 {
	cost := (1 - stopCost) * float64(len(r.driven("")))
	for _, at := range r.stands {
		stops := map[civil.Date]bool{}
		for i, d := range r.on[at] {
			stops[d] = true
			cost += r.byStand[at][i].cost(d)
		}
		cost += stopCost * float64(len(stops))
	}
	return cost
}

// fewestVisits returns how many days it takes at least to answer calls: the last day of the one that ends first answers
// all that have begun by then, and so on.
func fewestVisits(calls []call) (n int) {
	byEnd := slices.Clone(calls)
	slices.SortFunc(byEnd, func(a, b call) int { return cmp.Compare(a.last, b.last) })
	var on civil.Date
	for i, x := range byEnd {
		if i == 0 || x.first > on {
			n, on = n+1, x.last
		}
	}
	return n
}

// drive is a day on which some of a round's sites are gone to.
type drive struct {
	day   civil.Date
	round int
}

// driveOf returns the drive that a job where trees stand is on.
func (c *Crew) driveOf(j *Job) drive { return drive{j.Day, c.round[j.Entry.Site.ID]} }

// number numbers the visits, and the drives that they are on.
func (c *Crew) number() {
	type visit struct {
		day         civil.Date
		site, stand string
	}
	visits, drives := map[visit]int{}, map[drive]int{}
	for _, j := range c.Jobs {
		if !j.inField() {
			continue
		}
		v, d := visit{j.Day, j.Entry.Site.ID, j.stand()}, c.driveOf(j)
		if visits[v] == 0 {
			visits[v] = len(visits) + 1
		}
		if drives[d] == 0 {
			drives[d] = len(drives) + 1
		}
		j.Visit, j.Drive = visits[v], drives[d]
	}
}
