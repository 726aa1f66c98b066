package words

import (
	"treewhen/calendar"
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

// was says the days that an entry was on, and the best of them where that is known to be another. A spell of weather
// has none.
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
