package icaltest

import (
	"treewhen/calendar"
	"treewhen/calendar/calendartest"
	"treewhen/calendar/words"
	"treewhen/phenology"
)

// Own are facts of no craft: they say their entry as they are told to, and have the essence that they are told to have.
type Own struct {
	words.Text
	Tells []calendar.Fact
}

// Say returns the text.
func (o Own) Say(*calendar.Entry) words.Text { return o.Text }

// Essence returns what the facts tell.
func (o Own) Essence() []calendar.Fact { return o.Tells }

// Said changes what an entry of [Own] says, and returns it.
func Said(e *calendar.Entry, change func(*words.Text)) *calendar.Entry {
	own := e.Facts.(Own)
	change(&own.Text)
	e.Facts = own
	return e
}

// TapEntry returns an entry to tap sugar maple, best on the third day of its window.
func TapEntry(first, last string) *calendar.Entry {
	w, site, tree := calendartest.Span(first, last), calendartest.Sugarbush(), calendartest.Maple()
	return &calendar.Entry{
		UID:  calendar.UID(calendartest.FeedID, site.ID, calendar.Tapping, []string{tree.ID}, "tap", 2027),
		Site: site, Activity: calendar.Tapping, Task: "tap", Species: []*phenology.Species{tree}, Season: 2027,
		Window: w, Best: min(w.First+2, w.Last), Probability: 0.72, Rests: calendar.Rests{Basis: phenology.BasisRecord},
		Reminders: []calendar.Reminder{
			{Before: 7, On: w.First, Minute: 7 * 60}, {Before: 0, On: w.First, Minute: 7*60 + 30},
		},
		Facts: Own{Text: words.Text{
			Summary: "Tap sugar maple", ChanceOf: "that sap has not yet run in earnest",
			Verdict: "Tap as the forecast has it", Care: "hot sap, ice",
			Basis:     "14 past years of temperatures here",
			Reasons:   []string{"The first long run came between 3 and 19 March in eight of ten years"},
			LookFor:   []string{"Nights below freezing; days above it."},
			Cautions:  []words.Caution{{Text: "Hot sap burns: keep children away from the pan."}},
			Sources:   []string{"Invented (2020), A tap for every tree, p. 3"},
			Reminders: []string{"Wash the taps, the window opens " + w.First.String(), "Today is the first day to tap"},
		}},
	}
}

// GatherEntry returns another entry of the same site, which follows from TapEntry.
func GatherEntry(first, last string) *calendar.Entry {
	e := TapEntry(first, last)
	e.After = []string{e.UID}
	e.UID = calendar.UID(calendartest.FeedID, e.Site.ID, calendar.Tapping, []string{e.Species[0].ID}, "gather", 2027)
	e.Task, e.Reminders = "gather", nil
	return Said(e, func(t *words.Text) { t.Summary = "Gather sap of sugar maple" })
}
