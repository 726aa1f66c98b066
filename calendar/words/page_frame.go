package words

import (
	"fmt"
	"time"

	"treewhen/calendar"
	"treewhen/calendar/phrase"
	"treewhen/calendar/phrase/french"
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
	l, n := tongue{as}, Notice{Head: in(as, "Not up to date.", "Pas à jour.")}
	what := in(as, "it waits to be worked out anew", "le calcul se fait attendre")
	if why != Overdue {
		what = in(as, "the files behind it cannot be read", "les fichiers qu'il lui faut sont illisibles")
		n.More = in(as, "The server's log says which file, and what is wrong with it.",
			"Le journal du serveur dit quel fichier, et ce qui n'y va pas.")
	}
	when := since.Format("2 January 2006 15:04 MST")
	if isFrench(as) {
		zone, _ := since.Zone()
		when = fmt.Sprintf("%s à %s (%s),", french.Dated(civil.FromTime(since)),
			french.Clock(since.Hour()*60+since.Minute()), zone)
	}
	n.Why = l.say("Since %s %s; it shows what was worked out before, as of %s.",
		"Depuis le %s %s; on voit ici ce qui a été calculé avant, en date du %s.", when, what, FullDay(asOf, as))
	return n
}

// PageDay says which day a page is of; of one in a file, which is read on other days, that this is what it calls today.
func PageDay(asOf civil.Date, file bool, as phrase.Speech) string {
	day := in(as, asOf.Format("Monday 2 January 2006"), french.Full(asOf))
	if file {
		return tongue{as}.say("Today is taken to be %s", "Aujourd'hui est pris pour le %s", day)
	}
	return phrase.Capital(day)
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
	l := tongue{as}
	text := in(as, "A bar holds the days for the work, as full as it is likely; the day named is the best.",
		"Une barre contient les jours du travail, aussi pleine qu'il est probable; le jour nommé est le meilleur.")
	if hatched && !isFrench(as) {
		text += " Hatched days are closed."
	}
	text += l.say(" Worked out on %s: dates move.", " Calculé le %s\u00a0: les dates changent.", FullDay(asOf, as))
	if left > 0 {
		text += in(as, fmt.Sprintf(" %d more in the calendar.", left),
			" "+french.Count(left, "autre travail", "autres travaux")+" dans le calendrier.")
	}
	return text
}

// WallEmpty says on a wall that there is no work.
func WallEmpty(as phrase.Speech) string {
	return in(as, "No work in these months.", "Aucun travail durant ces mois.")
}
