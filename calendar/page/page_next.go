package page

import (
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
	Price    string // of tapping: what another week would cost
	Run      string // the run of sap ahead
	Then     string // what comes after
	Moved    string // what moved lately; "" where nobody knows
	Arrow    string // which way
	act      civil.Date
}

// None says why nothing is next.
func (n pageNext) None() string { return words.NoNext }

// mostThen is how many pieces of work are named after the next one.
const mostThen = 2

// nextView finds what is next at a site.
func nextView(
	site *phenology.Site, s *calendar.Schedule, entries []*calendar.Entry, remembered bool,
) pageNext {
	n := pageNext{ID: site.ID, Site: site.Name, act: s.Span.Last + 1}
	ahead := glance.Ahead(entries, s.AsOf)
	if run := glance.NextRun(entries, s.AsOf); run != nil {
		said := words.Brief(run)
		n.Run = said.Summary + ", " + phrase.Span(run.Window) + " (" + said.Sure() + ")"
	}
	if len(ahead) == 0 {
		n.moved(nil, entries, s.AsOf, remembered)
		return n
	}
	e := ahead[0]
	n.moved(e, entries, s.AsOf, remembered)
	said := words.Say(e)
	n.Do, n.Activity, n.Best, n.act = words.Headline(e), string(e.Activity), e.Best, glance.ActOn(e, s.AsOf)
	if f, ok := e.Facts.(*tapping.TapFacts); ok {
		n.Price = words.WeekPrice(f, e.Speech)
	}
	n.On = words.DaysTo(s.AsOf, n.act)
	if n.act > s.AsOf {
		n.On += ", " + e.Best.Format("Mon 2 Jan")
	}
	if e.Hours != (calendar.Hours{}) && e.Window.Days() == 1 {
		n.On += ", " + words.Hours(e.Hours)
	} else if e.Window.Days() > 1 && !s.IsOpen(e) {
		n.Days = phrase.Span(e.Window)
	}
	if n.Days == "" && e.Window.Last > n.act || e.Activity == calendar.FieldTrip {
		n.Last = words.LastDay(e)
	}
	n.Sure, n.Of, n.Chance = said.Sure(), said.ChanceOf, chanceOf(e, &said)
	n.Then = thenOf(ahead[1:min(len(ahead), 1+mostThen)], s.AsOf)
	return n
}

// thenOf says what comes after the next piece of work: "Also now: A; then 17 Apr: B".
func thenOf(list []*calendar.Entry, asOf civil.Date) string {
	var parts []string
	for i, e := range list {
		text := words.Brief(e).Summary
		switch {
		case e.Best <= asOf:
			text = "also now: " + text
		case i == 0 || list[i-1].Best <= asOf:
			text = "then " + phrase.ShortDate(e.Best) + ": " + text
		default:
			text = phrase.ShortDate(e.Best) + ": " + text
		}
		parts = append(parts, text)
	}
	return phrase.Capital(strings.Join(parts, "; "))
}
