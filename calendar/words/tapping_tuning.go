package words

import (
	"fmt"
	"math"

	"treewhen/calendar/phrase"
	"treewhen/calendar/tapping"
)

// Tuned says what of a book's seasons was tried to foretell the ones left out, and what came of it; nothing before two
// whole seasons are in.
func Tuned(t *tapping.Tuning, as phrase.Speech) (list []string) {
	if isFrench(as) {
		return inFrench{as}.tuned(t)
	}
	if t.Hole.Kept {
		list = append(list, "How long holes last is tuned to the book: "+closer(t.Hole)+".")
	} else if t.Hole.Seasons > 0 {
		list = append(list, asUsual("how long holes last"))
	}
	if t.Thresholds.Kept {
		list = append(list, fmt.Sprintf("Run days count for volumes from nights %s and days %s on: %s.",
			milder(t.Milder.Night, as), milder(t.Milder.Day, as), closer(t.Thresholds)))
	} else if t.Thresholds.Seasons > 0 {
		list = append(list, asUsual("from which night and day a run day counts"))
	}
	return list
}

// closer says by how much what is tuned is better.
func closer(t tapping.Trial) string {
	return fmt.Sprintf("foretold from the others, each of its %d seasons is missed by %s less", t.Seasons,
		phrase.Percent(1-t.Tuned/t.Usual))
}

func asUsual(what string) string {
	return "Tried on the book, each season left out in turn: tuning " + what + " foretells no better; the usual stays."
}

// milder says by how much a threshold is moved.
func milder(by float64, as phrase.Speech) string {
	switch {
	case by > 0:
		return as.Apart(0, by) + " milder than usual"
	case by < 0:
		return as.Apart(0, math.Abs(by)) + " colder than usual"
	}
	return "as usual"
}
