package words

import (
	"cmp"
	"fmt"

	"treewhen/calendar"
	"treewhen/calendar/phrase"
	"treewhen/calendar/tapping"
	"treewhen/phenology/problem"
)

// Notes says what a reader must know of a plan's places.
func Notes(list []calendar.Note) []string {
	said := make([]string, 0, len(list))
	for i, first := 0, 0; i < len(list); i++ {
		n := list[i]
		if n.Site != list[first].Site {
			first = i // of its site: what is of one site stands together
		}
		text, ok := outingNote(list[first:], i-first)
		if !ok {
			text = note(n.Says)
		}
		if text == "" {
			continue // it is said with another
		}
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
	case calendar.Doubt:
		return phrase.Uncapital(Doubt(n))
	}
	return cmp.Or(seedNote(says), fmt.Sprint(says))
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
