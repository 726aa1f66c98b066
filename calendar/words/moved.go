package words

import (
	"strings"

	"treewhen/calendar"
	"treewhen/calendar/phrase"
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
	return tongue{e.Speech}.say("%s: was %s, is %s", "%s\u00a0: était %s, est %s", Brief(e).Summary, was(e, m),
		was(e, is))
}

// Revision says what became of a published event: what it was, and what it is.
func Revision(title string, was, is calendar.Memory, as phrase.Speech) string {
	l := tongue{as}
	wasOn, isOn := l.spanAndBest(was.Window, was.BestTold()), l.spanAndBest(is.Window, is.BestTold())
	var parts []string
	switch {
	case is.PartOf != (civil.Span{}):
		return l.say("%s: part of the run of %s, was %s", "%s\u00a0: fait partie de la coulée %s, était %s", title,
			l.span(is.PartOf), wasOn)
	case is.Cancelled:
		return l.say("%s: no longer expected, was %s", "%s\u00a0: n'est plus attendu, était %s", title, wasOn)
	case was.Cancelled:
		return l.say("%s: expected again, %s", "%s\u00a0: de nouveau attendu, %s", title, isOn)
	case wasOn != isOn:
		parts = append(parts, l.say("was %s, is %s", "était %s, est %s", wasOn, isOn))
	}
	for _, told := range []struct{ key, french string }{{"advice", "conseil"}, {"size", "ampleur"}} { // of tapping
		if a, b := was.Told[told.key], is.Told[told.key]; a != b && a != "" && b != "" {
			parts = append(parts, l.say("%s was %s, is %s", "%s\u00a0: %s, maintenant %s",
				in(as, told.key, told.french),
				l.told(a), l.told(b)))
		}
	}
	_, run := is.Told["size"]
	switch _, spell := is.Told["begun"]; {
	case was.Chance == is.Chance, was.Chance < 0, is.Chance < 0,
		was.Chance == 99 && is.Chance == 100 && !run && !spell:
	case is.Chance == 100 && (run || spell): // no chance is told of what has happened
		parts = append(parts, in(as, "has begun", "a commencé"))
	default:
		parts = append(parts, l.say("chance was %d %%, is %d %%",
			"chances\u00a0: %d\u00a0%%, maintenant %d\u00a0%%", was.Chance, is.Chance))
	}
	if wasOn == isOn {
		title += ", " + isOn
	}
	if len(parts) == 0 {
		parts = []string{in(as, "its details changed", "détails changés")}
	}
	return title + l.colon() + strings.Join(parts, "; ")
}

// told says a word that an essence tells.
func (l tongue) told(word string) string {
	if said, ok := frenchTold[word]; ok && isFrench(l.Speech) {
		return said
	}
	switch {
	case isFrench(l.Speech):
		return phrase.OneLine(word)
	case word == string(tapping.TapNow):
		return "tap"
	case word == string(tapping.SizeMiddling):
		return "medium"
	}
	return strings.ReplaceAll(word, "-", " ")
}

var frenchTold = map[string]string{
	"tap-now": "entaillez", "wait": "attendez", "wait-again": "attendez de nouveau", "tapped": "entaillé",
	"taken-done": "supposé fait", "too-late": "trop tard", "over": "fini", "no-record": "sans relevés",
	"small": "petite", "middling": "moyenne", "large": "grosse", "unknown": "inconnue",
}

// was says the days that an entry was on, and the best of them where that is known to be another. A spell of weather has
// none.
func was(e *calendar.Entry, m *calendar.Moved) string {
	best := m.WasBest
	if e.Task.IsSpell() {
		best = civil.Maybe{}
	}
	return tongue{e.Speech}.spanAndBest(m.Was, best)
}

func (l tongue) spanAndBest(days civil.Span, best civil.Maybe) string {
	text := l.span(days)
	if day, ok := best.Get(); ok && days.Days() > 1 {
		text += l.say(" (best %s)", " (au mieux %s)", l.the(day))
	}
	return text
}
