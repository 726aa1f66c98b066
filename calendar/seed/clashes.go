package seed

import (
	"cmp"
	"slices"

	"treewhen/calendar"
	"treewhen/phenology/civil"
)

// clashes proposes, for every week that is asked for too much, which jobs to do in a week with room for them, until it
// has room itself: first what has the most time, collections last. What follows a job goes with it, if it would come
// before it otherwise. It keeps account of the room that earlier proposals have taken. What is still too much is told
// by what gives least. Nothing is moved; that is for people to decide.
//
// Which jobs of different sizes fit into which weeks is a generalized assignment problem, for which no method is both
// exact and quick; this is a greedy one.
func (c *Crew) clashes() {
	b := newBoard(c)
	for i, week := range c.Weeks {
		if !week.Over {
			continue
		}
		movable := slices.Clone(week.Jobs)
		slices.SortStableFunc(movable, func(a, b *Job) int {
			return cmp.Or(
				compareBool(a.Entry.Task == calendar.TaskCollect, b.Entry.Task == calendar.TaskCollect),
				cmp.Compare(b.Entry.Window.Last-b.Day, a.Entry.Window.Last-a.Day),
				cmp.Compare(b.Entry.PeopleDays, a.Entry.PeopleDays),
			)
		})
		for _, j := range movable {
			if b.load[i] <= week.Has+1e-9 {
				break
			}
			if j.Entry.PeopleDays == 0 || b.week[j.Entry.UID] != i {
				continue
			}
			if k, with := b.roomFor(j, i); k >= 0 {
				for _, m := range with {
					b.move(m, k)
					for _, w := range c.Weeks { // the last word counts
						w.Moves = slices.DeleteFunc(w.Moves, func(old *Move) bool { return old.Job == m })
					}
					week.Moves = append(week.Moves, &Move{m, c.Weeks[k].Monday})
				}
			}
		}
		week.StillOver = max(0, b.load[i]-week.Has)
	}
	for i, week := range c.Weeks {
		if week.StillOver > 1e-9 {
			week.Least = b.least(i)
		}
	}
}

// least returns the collections of a week to leave out so that the rest fits, those first that give least for the work:
// by the chance of seed, by its crop as scouted, and by whether the same species is collected elsewhere as well.
func (b *board) least(i int) (out []*Job) {
	var list []*Job
	elsewhere := map[string]int{}
	for _, j := range b.crew.Jobs {
		if j.Entry.Task != calendar.TaskCollect {
			continue
		}
		elsewhere[j.Entry.Species[0].ID]++
		if b.week[j.Entry.UID] == i && j.Entry.PeopleDays > 0 {
			list = append(list, j)
		}
	}
	gives := func(j *Job) float64 {
		worth := j.Entry.Probability / j.Entry.PeopleDays / float64(elsewhere[j.Entry.Species[0].ID])
		if f, ok := j.Entry.Facts.(*Collection); ok && f.Crop != nil {
			worth *= cropWorth[f.Crop.Crop]
		}
		return worth
	}
	slices.SortStableFunc(list, func(a, b *Job) int { return cmp.Compare(gives(a), gives(b)) })
	over := b.crew.Weeks[i].StillOver
	for _, j := range list {
		if over <= 1e-9 {
			break
		}
		over -= j.Entry.PeopleDays
		out = append(out, j)
	}
	return out
}

// cropWorth is what a day's collecting in a crop gives, beside that in one that nobody has looked at. Our own choice.
var cropWorth = map[calendar.Crop]float64{calendar.LightCrop: 0.3, calendar.GoodCrop: 1.2, calendar.BumperCrop: 2}

// board says in which week each job is done, with what has been proposed so far.
type board struct {
	crew  *Crew
	load  []float64
	week  map[string]int    // by identifier of the entry
	after map[string][]*Job // what follows an entry
}

func newBoard(c *Crew) *board {
	b := &board{crew: c, week: map[string]int{}, after: map[string][]*Job{}}
	for i, week := range c.Weeks {
		b.load = append(b.load, week.PeopleDays)
		for _, j := range week.Jobs {
			b.week[j.Entry.UID] = i
			for _, uid := range j.Entry.After {
				b.after[uid] = append(b.after[uid], j)
			}
		}
	}
	return b
}

func (b *board) move(j *Job, k int) {
	b.load[b.week[j.Entry.UID]] -= j.Entry.PeopleDays
	b.load[k] += j.Entry.PeopleDays
	b.week[j.Entry.UID] = k
}

// roomFor returns the nearest week to week i that a job's window reaches and that has room for it and what has to go
// with it, the later of two equally near; -1 if there is none.
func (b *board) roomFor(j *Job, i int) (int, []*Job) {
	for off := 1; off < min(len(b.load), 1+weeksToMove(j.Entry)); off++ {
		for _, k := range []int{i + off, i - off} {
			if k < 0 || k >= len(b.load) || k < i && !b.mayGoBack(j.Entry, k) {
				continue
			}
			with := b.goesWith(j, k)
			more := 0.0
			fits := true
			for _, m := range with {
				more += m.Entry.PeopleDays
				fits = fits && b.reaches(m.Entry, b.crew.Weeks[k].Monday)
			}
			if fits && b.load[k]+more <= b.crew.Weeks[k].Has+1e-9 {
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

// goesWith returns a job and all that follows it and would come before it if it were done in week k.
func (b *board) goesWith(j *Job, k int) []*Job {
	list := []*Job{j}
	for n := 0; n < len(list); n++ {
		for _, next := range b.after[list[n].Entry.UID] {
			if b.week[next.Entry.UID] < k && !slices.Contains(list, next) {
				list = append(list, next)
			}
		}
	}
	return list
}

// reaches reports whether an entry's window has working days enough in a week to do it in that week.
func (b *board) reaches(e *calendar.Entry, monday civil.Date) bool {
	days := &b.crew.Days
	n := len(days.in(e.Window.Intersect(civil.Span{First: monday, Last: monday + 6})))
	return n > 0 && n >= min(3, len(days.in(e.Window)))
}

// weeksToMove returns by how many weeks at most an entry is proposed to be done away from its day: fresh seed does not
// wait. Our own choice.
func weeksToMove(e *calendar.Entry) int {
	switch {
	case isFresh(e):
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
