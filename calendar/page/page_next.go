package page

import (
	"fmt"
	"strings"

	"treewhen/calendar"
	"treewhen/calendar/glance"
	"treewhen/calendar/phrase"
	"treewhen/calendar/tapping"
	"treewhen/calendar/words"
	"treewhen/phenology"
	"treewhen/phenology/civil"
)

// pageNext is what is next at a site.
type pageNext struct {
	ID, Site string
	Do       string // what to do; "" where nothing is left
	Activity string
	Best     civil.Date
	On       string // "in 2 days, Sun 14 Mar"
	Days     string // the window
	Last     string // the last day, or the rain date; "" where the day itself is the last
	Sure, Of string
	Chance   pageChance
	Sap      []string // of tapping: its price or, if it is not next, its verdict; the run ahead
	More     []string // of sap, where there is room: the season so far, its buds, its book
	Then     string   // what comes after
	Moved    string   // what moved lately; "" where nobody knows
	Arrow    string   // which way
	still    bool     // nothing is known to have moved
	act      civil.Date
	as       phrase.Speech
}

// mostThen is how many pieces of work are named after the next one.
const mostThen = 2

// nextView finds what is next at a site.
func nextView(
	site *phenology.Site, s *calendar.Schedule, entries []*calendar.Entry, remembered bool,
) pageNext {
	n := pageNext{ID: site.ID, Site: site.Name, act: s.Span.Last + 1, as: s.Speech}
	ahead := glance.Ahead(entries, s.AsOf)
	var e *calendar.Entry
	if len(ahead) > 0 {
		e = ahead[0]
	}
	n.sap(tapping.AccountsOf(s, site.ID), e, entries, s)
	if e == nil {
		n.moved(nil, entries, s.AsOf, remembered)
		return n
	}
	n.moved(e, entries, s.AsOf, remembered)
	said := words.Say(e)
	n.Do, n.Activity, n.Best, n.act = words.Headline(e), string(e.Activity), e.Best, glance.ActOn(e, s.AsOf)
	n.On = words.DaysTo(s.AsOf, n.act, s.Speech)
	if n.act > s.AsOf {
		n.On += ", " + words.Weekday(e.Best, s.Speech)
	}
	if e.Hours != (calendar.Hours{}) && e.Window.Days() == 1 {
		n.On += ", " + words.Hours(e.Hours)
	} else if e.Window.Days() > 1 && !s.IsOpen(e) {
		n.Days = words.Days(e.Window, s.Speech)
	}
	if n.Days == "" && e.Window.Last > n.act || e.Activity == calendar.FieldTrip {
		n.Last = words.LastDay(e)
	}
	n.Sure, n.Of, n.Chance = said.Sure(), said.ChanceOf, chanceOf(e, &said)
	n.Then = thenOf(ahead[1:min(len(ahead), 1+mostThen)], s.AsOf, s.Speech)
	return n
}

// thenOf says what comes after the next piece of work: "Also now: A; then 17 Apr: B".
func thenOf(list []*calendar.Entry, asOf civil.Date, as phrase.Speech) string {
	said := words.PageFrameIn(as)
	day := func(d civil.Date) string { // with its year if it is another
		if d.Year() == asOf.Year() {
			return words.Day(d, as)
		}
		return words.YearDay(d, as)
	}
	var parts []string
	for i, e := range list {
		text := words.Brief(e).Summary
		switch {
		case e.Best <= asOf && i > 0:
		case e.Best <= asOf:
			text = said.AlsoNow + text
		case i == 0 || list[i-1].Best <= asOf:
			text = fmt.Sprintf(said.Then, day(e.Best)) + text
		default:
			text = day(e.Best) + words.LabelsIn(as).Colon() + text
		}
		parts = append(parts, text)
	}
	return phrase.Capital(strings.Join(parts, "; "))
}
