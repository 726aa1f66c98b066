package words

import (
	"fmt"

	"treewhen/calendar"
	"treewhen/calendar/tapping"
)

// Notes says what a reader must know of a plan's places.
func Notes(list []calendar.Note) []string {
	said := make([]string, 0, len(list))
	for _, n := range list {
		text := note(n.Says)
		if n.Site != nil {
			text = n.Site.Name + ": " + text
		}
		said = append(said, text)
	}
	return said
}

// note says one note, without its site.
func note(says any) string {
	switch n := says.(type) {
	case tapping.NoDates:
		return tappingNote(n)
	}
	return fmt.Sprint(says)
}
