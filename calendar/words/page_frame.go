package words

import (
	"fmt"
	"time"

	"treewhen/calendar"
	"treewhen/calendar/phrase"
	"treewhen/phenology/civil"
)

// Trouble is why a page is not up to date.
type Trouble int

// The troubles.
const (
	Unreadable Trouble = iota // the files behind it cannot be read
	Overdue                   // it takes too long to work it out anew
)

// Notice says that a page is not up to date.
type Notice struct {
	Head string // that it is not
	Why  string // since when, why, and the day that it takes as today
	More string // where more of it is to be read; "" for nowhere
}

// NotUpToDate says since when a page is not up to date, and why, and the day that it takes as today.
func NotUpToDate(why Trouble, since time.Time, asOf civil.Date, as phrase.Speech) Notice {
	if isFrench(as) {
		return inFrench{as}.notUpToDate(why, since, asOf)
	}
	what, log := "the files behind it cannot be read", "The server's log says which file, and what is wrong with it."
	if why == Overdue {
		what, log = "it waits to be worked out anew", ""
	}
	return Notice{"Not up to date.", fmt.Sprintf("Since %s %s; it shows what was worked out before, as of %s.",
		since.Format("2 January 2006 15:04 MST"), what, asOf.Format("2 January 2006")), log}
}

// PageDay says which day a page is of; of one in a file, which is read on other days, that this is what it calls today.
func PageDay(asOf civil.Date, file bool, as phrase.Speech) string {
	if isFrench(as) {
		return inFrench{as}.pageDay(asOf, file)
	}
	day := asOf.Format("Monday 2 January 2006")
	if file {
		return "Today is taken to be " + day
	}
	return day
}

// WallDay writes the day of a piece of work on a wall: with its weekday if it is on that day alone.
func WallDay(e *calendar.Entry) string {
	if e.Window.Days() == 1 {
		return Weekday(e.Best, e.Speech)
	}
	return Day(e.Best, e.Speech)
}

// WallFoot says on a wall of which day its dates are, and how many pieces of work have no room there.
func WallFoot(asOf civil.Date, left int, hatched bool, as phrase.Speech) string {
	if isFrench(as) {
		return inFrench{as}.wallFoot(asOf, left)
	}
	text := "A bar holds the days for the work, as full as it is likely; the day named is the best."
	if hatched {
		text += " Hatched days are closed."
	}
	text += " Worked out on " + asOf.Format("2 January 2006") + ": dates move."
	if left > 0 {
		text += fmt.Sprintf(" %d more in the calendar.", left)
	}
	return text
}

// WallEmpty says on a wall that there is no work.
func WallEmpty(as phrase.Speech) string {
	if isFrench(as) {
		return "Aucun travail durant ces mois."
	}
	return "No work in these months."
}
