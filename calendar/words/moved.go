package words

import (
	"fmt"
	"strings"

	"treewhen/calendar"
	"treewhen/calendar/phrase"
	"treewhen/calendar/phrase/french"
	"treewhen/calendar/tapping"
	"treewhen/phenology/civil"
)

// Moved says of an entry that moved what it was and what it is.
func Moved(e *calendar.Entry) string {
	m := e.Moved
	is := &calendar.Moved{Was: e.Window}
	if e.Activity == calendar.TwigSurvey && m.Was.Days() == 1 { // of which the best day alone stands in a calendar
		is.Was = civil.Span{First: e.Best, Last: e.Best}
	}
	if m.WasBest.Known() {
		is.WasBest = civil.Some(e.Best)
	}
	if isFrench(e.Speech) {
		return Brief(e).Summary + french.Colon + "était " + was(e, m) + ", est " + was(e, is)
	}
	return Brief(e).Summary + ": was " + was(e, m) + ", is " + was(e, is)
}

// Revision says what became of a published event: what it was, and what it is.
func Revision(title string, was, is calendar.Memory, as phrase.Speech) string {
	if isFrench(as) {
		return inFrench{as}.revision(title, was, is)
	}
	days := func(m calendar.Memory) string { return span(m.Window, m.BestTold()) }
	var parts []string
	switch {
	case is.Cancelled:
		return title + ": no longer expected, was " + days(was)
	case was.Cancelled:
		return title + ": expected again, " + days(is)
	case days(was) != days(is):
		parts = append(parts, "was "+days(was)+", is "+days(is))
	}
	for _, name := range []string{"advice", "size"} { // of tapping
		if a, b := was.Told[name], is.Told[name]; a != b && a != "" && b != "" {
			parts = append(parts, fmt.Sprintf("%s was %s, is %s", name, toldWord(a), toldWord(b)))
		}
	}
	if was.Chance != is.Chance && was.Chance >= 0 && is.Chance >= 0 {
		parts = append(parts, fmt.Sprintf("chance was %d %%, is %d %%", was.Chance, is.Chance))
	}
	if days(was) == days(is) {
		title += ", " + days(is)
	}
	if len(parts) == 0 {
		return title + ": its details changed"
	}
	return title + ": " + strings.Join(parts, "; ")
}

// toldWord says a word that an essence tells.
func toldWord(told string) string {
	switch told {
	case "tap-now":
		return "tap"
	case string(tapping.SizeMiddling):
		return "medium"
	}
	return strings.ReplaceAll(told, "-", " ")
}

// was says the days that an entry was on, and the best of them where that is known to be another. A spell of weather has
// none.
func was(e *calendar.Entry, m *calendar.Moved) string {
	best := m.WasBest
	if e.Task.IsSpell() {
		best = civil.Maybe{}
	}
	if isFrench(e.Speech) {
		return inFrench{e.Speech}.span(m.Was, best)
	}
	return span(m.Was, best)
}

// shortDate writes a day without its year, as it stands in a sentence.
func shortDate(d civil.Date, as phrase.Speech) string {
	if isFrench(as) {
		return french.The(d)
	}
	return phrase.ShortDate(d)
}

func span(days civil.Span, best civil.Maybe) string {
	text := phrase.Span(days)
	if day, ok := best.Get(); ok && days.Days() > 1 {
		text += " (best " + phrase.ShortDate(day) + ")"
	}
	return text
}
