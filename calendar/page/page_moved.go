package page

import (
	"fmt"

	"treewhen/calendar"
	"treewhen/calendar/words"
	"treewhen/phenology/civil"
)

// pageMoved is what moved since some day.
type pageMoved struct {
	Since string
	What  []string
}

// movedDays are how many days back a page tells what moved, and how it calls that.
var movedDays = []struct {
	days  civil.Date
	since string
}{{1, "since yesterday"}, {lastWeek, "since last week"}}

const lastWeek = 7

// whatMoved lists what moved, each entry once.
func whatMoved(entries []*calendar.Entry, asOf civil.Date) (list []pageMoved) {
	before := asOf + 1
	for _, back := range movedDays {
		m := pageMoved{Since: back.since}
		for _, e := range calendar.MovedSince(entries, asOf-back.days) {
			if e.Moved.On < before {
				m.What = append(m.What, words.Moved(e)+".")
			}
		}
		if before = asOf - back.days; len(m.What) > 0 {
			list = append(list, m)
		}
	}
	return list
}

// moved says of what is next at a site whether it moved lately, and how much else did. Remembered is whether there is
// an earlier calendar to compare with.
func (n *pageNext) moved(e *calendar.Entry, entries []*calendar.Entry, asOf civil.Date, remembered bool) {
	lately := calendar.MovedSince(entries, asOf-lastWeek)
	remembered = remembered || len(lately) > 0
	others := len(lately)
	if e != nil && e.Moved != nil && e.Moved.On >= asOf-lastWeek {
		others--
		since := movedDays[1].since
		if e.Moved.On >= asOf-movedDays[0].days {
			since = movedDays[0].since
		}
		by := moveOf(e)
		n.Moved, n.Arrow = words.MovedBy(e, by, since), arrow(by)
	}
	switch {
	case !remembered:
		n.Moved = words.NothingToCompare
	case n.Moved == "" && others == 0:
		n.Moved = words.NothingMoved
	case n.Moved == "":
		n.Moved = fmt.Sprintf("%s since last week, not this.", othersMoved(others))
	case others > 0:
		n.Moved += "; " + othersMoved(others)
	}
}

func othersMoved(n int) string {
	if n == 1 {
		return "1 other entry has moved"
	}
	return fmt.Sprintf("%d other entries have moved", n)
}

// moveOf is by how many days an entry moved, its best day if that is known of before; below 0: it is earlier now.
func moveOf(e *calendar.Entry) int {
	if was, ok := e.Moved.WasBest.Get(); ok && was != e.Best {
		return int(e.Best - was)
	}
	if e.Window.First != e.Moved.Was.First {
		return int(e.Window.First - e.Moved.Was.First)
	}
	return int(e.Window.Last - e.Moved.Was.Last)
}

// arrow points to where on a line of time something went.
func arrow(by int) string {
	switch {
	case by > 0:
		return "→"
	case by < 0:
		return "←"
	}
	return ""
}
