package seed

import (
	"cmp"
	"slices"

	"treewhen/calendar"
	"treewhen/phenology/civil"
)

// clashes proposes, for every week that is asked for too much, which entries to do in a week with room for them, until
// it has room itself: first what has the most time, collections last. What follows an entry goes with it, if it would
// come before it otherwise. It keeps account of the room that earlier proposals have taken. Nothing is moved; that is
// for people to decide.
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
	switch f := e.Facts.(type) {
	case *Cleaning, *Store:
		return 1
	case *Collection:
		return 2
	case *Sow:
		if f.How == AtOnce {
			return 1
		}
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
