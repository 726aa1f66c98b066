package seed

import (
	"cmp"
	"math"
	"slices"

	"treewhen/calendar"
	"treewhen/phenology/civil"
)

// What a day away from a job's best is taken to cost, in drives to one stand, at the edge of its window; it grows with
// the square of the share of the way there. At the edge half of the chance of a collection is lost, of a look little: a
// collection is put off or brought forward by a quarter of the way to save a drive, and no more. Our own choice.
const (
	edgeLook    = 1.0
	edgeCollect = 16.0
)

// days chooses the days of the jobs of sites that are gone to on one drive: of those in the field by the drives and
// stops that they share, of those at the nursery the working day nearest to the best, after what they follow.
func (c *Crew) days(jobs []*Job) {
	byUID := map[string]*Job{}
	var field, others []*Job
	for _, j := range jobs {
		byUID[j.Entry.UID] = j
		if j.inField() {
			field = append(field, j)
		} else {
			others = append(others, j)
		}
	}
	c.drive(c.calls(field, byUID))
	slices.SortStableFunc(others, func(a, b *Job) int {
		return cmp.Or(cmp.Compare(a.Entry.Best, b.Entry.Best), cmp.Compare(step(a.Entry.Task), step(b.Entry.Task)))
	})
	for _, j := range others {
		c.atNursery(j, byUID)
	}
}

// step returns how far on a seed's way a task is.
func step(t calendar.Task) int { return slices.Index(calendar.SeedTasks(), t) }

// atNursery chooses the day of a job at the nursery. What is done with fresh seed moves with its collection.
func (c *Crew) atNursery(j *Job, byUID map[string]*Job) {
	best, window := j.Entry.Best, j.Entry.Window
	from := window.First
	for _, uid := range j.Entry.After {
		before := byUID[uid]
		if before == nil {
			continue
		}
		from = max(from, before.Day)
		if isFresh(j.Entry) {
			best = max(best, before.Day+(j.Entry.Best-before.Entry.Best))
		}
	}
	day, ok := c.Days.nearest(best, civil.Span{First: from, Last: window.Last})
	if !ok {
		day, j.Outside = c.Days.after(from), true
	}
	j.Day = day
}

// isFresh reports whether an entry is of seed that has just come in and does not wait.
func isFresh(e *calendar.Entry) bool {
	switch f := e.Facts.(type) {
	case *Cleaning, *Store:
		return true
	case *Sow:
		return f.How == AtOnce
	}
	return false
}

// call is a job of a stand with the days on which it may be done.
type call struct {
	job    *Job
	best   civil.Date // a working day
	first  civil.Date
	last   civil.Date
	atEdge float64
}

// cost returns what doing it on a day costs, in visits; infinite on a day on which it cannot be done.
func (x *call) cost(d civil.Date) float64 {
	switch {
	case d < x.first || d > x.last:
		return math.Inf(1)
	case d < x.best:
		share := float64(x.best-d) / float64(x.best-x.first)
		return x.atEdge * share * share
	case d > x.best:
		share := float64(d-x.best) / float64(x.last-x.best)
		return x.atEdge * share * share
	}
	return 0
}

// calls returns on which days jobs in the field may be done.
func (c *Crew) calls(jobs []*Job, byUID map[string]*Job) (calls []call) {
	for _, j := range jobs {
		window := j.Entry.Window
		// Looks come before what they decide, where windows leave room for both.
		for _, uid := range j.Entry.After {
			if before := byUID[uid]; before != nil && before.Entry.Window.Last < min(j.Entry.Best, window.Last) {
				window.First = max(window.First, before.Entry.Window.Last+1)
			}
		}
		x := call{job: j, atEdge: edgeLook}
		if j.Entry.Task == calendar.TaskCollect {
			x.atEdge = edgeCollect
		}
		if days := c.Days.in(window); len(days) > 0 {
			x.first, x.last = days[0], days[len(days)-1]
			x.best, _ = c.Days.nearest(j.Entry.Best, window)
		} else {
			j.Outside = true
			x.best = c.Days.after(window.First)
			x.first, x.last = x.best, x.best
		}
		calls = append(calls, x)
	}
	return calls
}

// visits chooses the day of every call so that what the days cost, each its price, and the cost of all calls add up to
// the least there is, and returns that as well. Since a call costs more the farther a day is from its best on either
// side, it is done on the nearest visit at or before its best, or on the nearest after; so what lies between two visits
// in a row does not depend on the others, and the cheapest chain of them is found by going through the days once
// (dynamic programming, Bellman 1957). It is exact.
func visits(calls []call, open func(civil.Date) bool, price func(civil.Date) float64) (got []civil.Date, cost float64) {
	days := callDays(calls, open)
	if len(days) == 0 {
		return nil, 0
	}
	byBest := make([]*call, len(calls))
	for i := range calls {
		byBest[i] = &calls[i]
	}
	slices.SortStableFunc(byBest, func(a, b *call) int { return cmp.Compare(a.best, b.best) })

	// least[k] is what the calls whose best is before days[k] cost at least where days[k] is a visit, the visits up to
	// it included; before[k] is the visit before it, -1 for none. The last k stands for the end.
	least, before := make([]float64, len(days)+1), make([]int, len(days)+1)
	for k := range least {
		least[k], before[k] = math.Inf(1), -1
		for i := k - 1; i >= -1; i-- {
			between, must := gap(byBest, days, i, k)
			if must {
				break // some call can be done on neither, nor on any between earlier ones
			}
			if i >= 0 {
				between += least[i]
			}
			if k < len(days) {
				between += price(days[k])
			}
			if between < least[k] {
				least[k], before[k] = between, i
			}
		}
	}
	var chosen []civil.Date
	for k := before[len(days)]; k >= 0; k = before[k] {
		chosen = append(chosen, days[k])
	}
	got = make([]civil.Date, len(calls))
	for i := range calls {
		for n, day := range chosen {
			if n == 0 || calls[i].cost(day) < calls[i].cost(got[i]) {
				got[i] = day
			}
		}
	}
	return got, least[len(days)]
}

// callDays returns the days on which any call can be done.
func callDays(calls []call, open func(civil.Date) bool) (days []civil.Date) {
	for i := range calls {
		for d := calls[i].first; d <= calls[i].last; d++ {
			if open(d) || calls[i].first == calls[i].last {
				days = append(days, d)
			}
		}
	}
	slices.Sort(days)
	return slices.Compact(days)
}

// gap returns what the calls cost whose best is on visit i or later and before visit k, each done on the cheaper of the
// two, and whether one of them must have a visit between. i may be -1 and k the end: there is no visit then.
func gap(byBest []*call, days []civil.Date, i, k int) (cost float64, must bool) {
	from := 0
	if i >= 0 {
		from, _ = slices.BinarySearchFunc(byBest, days[i],
			func(x *call, d civil.Date) int { return cmp.Compare(x.best, d) })
	}
	for _, x := range byBest[from:] {
		if k < len(days) && x.best >= days[k] {
			break
		}
		on := math.Inf(1)
		if i >= 0 {
			on = x.cost(days[i])
		}
		if k < len(days) {
			on = min(on, x.cost(days[k]))
		}
		if math.IsInf(on, 1) {
			return on, true
		}
		cost += on
	}
	return cost, false
}
