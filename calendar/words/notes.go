package words

import (
	"cmp"
	"fmt"

	"treewhen/calendar"
	"treewhen/phenology/problem"
)

// Notes says what a reader must know of a plan's places.
func Notes(list []calendar.Note) []string {
	said := make([]string, 0, len(list))
	for _, n := range list {
		text := cmp.Or(seedNote(n.Says), fmt.Sprint(n.Says))
		if n.Site != nil {
			text = n.Site.Name + ": " + text
		}
		said = append(said, text)
	}
	return said
}

// Problems says what a plan asks for and cannot have. The plan's file is for the caller to name.
func Problems(list []calendar.Problem) problem.List {
	var said problem.List
	for _, p := range list {
		if s, ok := seedProblem(p); ok {
			said = append(said, s)
		}
	}
	return said
}
