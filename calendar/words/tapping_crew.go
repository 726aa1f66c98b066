package words

import (
	"fmt"

	"treewhen/calendar/phrase"
	"treewhen/calendar/tapping"
)

// crewLeft says why a bush has no turn with a crew.
func crewLeft(l tapping.Left) string {
	day := "an unknown day"
	if d, ok := l.TapDay.Get(); ok {
		day = phrase.ShortDate(d)
	}
	switch l.Why {
	case tapping.Tapped:
		return fmt.Sprintf("%s has no turn: tapped on %s.", l.Site.Name, day)
	case tapping.TakenDone:
		return fmt.Sprintf("%s has no turn: its holes are taken to be in since %s. If they are not, it comes first.",
			l.Site.Name, day)
	}
	return l.Site.Name + " has no turn: it is too late to tap there this season."
}
