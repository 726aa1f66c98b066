package words

import (
	"fmt"

	"treewhen/calendar"
)

// Notes says what a reader must know of a plan's places.
func Notes(list []calendar.Note) []string {
	said := make([]string, 0, len(list))
	for _, n := range list {
		text := fmt.Sprint(n.Says)
		if n.Site != nil {
			text = n.Site.Name + ": " + text
		}
		said = append(said, text)
	}
	return said
}
