package page

import (
	"fmt"

	"treewhen/calendar"
	"treewhen/calendar/phrase"
	"treewhen/calendar/words"
	"treewhen/phenology/civil"
)

// pageMoved is what moved since some day.
type pageMoved struct {
	Since string
	What  []string
}

// movedBack is how many days back a page tells what moved, and how it calls that.
type movedBack struct {
	days  civil.Date
	since string
}

func movedDays(as phrase.Speech) []movedBack {
	said := words.PageFrameIn(as)
	return []movedBack{{1, said.SinceYesterday}, {lastWeek, said.SinceLastWeek}}
}

const lastWeek = 7

// whatMoved lists what moved, each entry once.
func whatMoved(entries []*calendar.Entry, asOf civil.Date, as phrase.Speech) (list []pageMoved) {
	before := asOf + 1
	for _, back := range movedDays(as) {
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
	said := words.PageFrameIn(n.as)
	lately := calendar.MovedSince(entries, asOf-lastWeek)
	remembered = remembered || len(lately) > 0
	others := len(lately)
	if e != nil && e.Moved != nil && e.Moved.On >= asOf-lastWeek {
		others--
		since := said.SinceLastWeek
		if e.Moved.On >= asOf-1 {
			since = said.SinceYesterday
		}
		by := moveOf(e)
		n.Moved, n.Arrow = words.MovedBy(e, by, since), arrow(by)
	}
	switch {
	case !remembered:
		n.Moved, n.still = said.NothingToCompare, true
	case n.Moved == "" && others == 0:
		n.Moved, n.still = said.NothingMoved, true
	case n.Moved == "":
		n.Moved = fmt.Sprintf(said.MovedOthersOnly, othersMoved(others, said))
	case others > 0:
		n.Moved += "; " + othersMoved(others, said)
	}
}

func othersMoved(n int, said *words.PageFrame) string {
	if n == 1 {
		return said.OthersMoved[0]
	}
	return fmt.Sprintf(said.OthersMoved[1], n)
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
