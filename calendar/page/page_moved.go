package page

import (
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
}{{1, "since yesterday"}, {7, "since last week"}}

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
