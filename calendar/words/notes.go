package words

import (
	"cmp"
	"fmt"
	"slices"
	"strings"

	"treewhen/calendar"
	"treewhen/calendar/phrase"
	"treewhen/calendar/tapping"
)

// Notes says what a reader must know of a plan's places.
func Notes(list []calendar.Note, as phrase.Speech) []string {
	said := []string{}
	sites := map[string][]string{} // that a text is said of, by text
	for i, first := 0, 0; i < len(list); i++ {
		n := list[i]
		if n.Site != list[first].Site {
			first = i // of its site: what is of one site stands together
		}
		text, ok := outingNote(list[first:], i-first, as)
		if !ok {
			text = note(n.Says, as)
		}
		if text == "" {
			continue // it is said with another
		}
		if !slices.Contains(said, text) {
			said = append(said, text)
		}
		if n.Site != nil {
			sites[text] = append(sites[text], n.Site.Name)
		}
	}
	for i, text := range said {
		if of := sites[text]; len(of) > 0 {
			said[i] = ofSites(of, as) + tongue{as}.colon() + text
		}
	}
	return said
}

// mostSites is how many sites are named of which the same is said.
const mostSites = 3

// ofSites names the sites that a text is of, the first few if there are many.
func ofSites(names []string, as phrase.Speech) string {
	more := len(names) - mostSites
	if more > 1 {
		return tongue{as}.say("%s and %d more sites", "%s et %d autres sites",
			strings.Join(names[:mostSites], ", "), more)
	}
	return Join(names, as)
}

// note says one note, without its site.
func note(says any, as phrase.Speech) string {
	switch n := says.(type) {
	case tapping.NoDates:
		return tappingNote(n, as)
	case calendar.Doubt:
		return phrase.Uncapital(Doubt(n, as))
	}
	return cmp.Or(seedNote(says, as), fmt.Sprint(says))
}
