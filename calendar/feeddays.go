package calendar

import (
	"fmt"
	"slices"

	"treewhen/calendar/phrase"
	"treewhen/phenology/civil"
)

// FeedDays says how a piece of work that can be done on any of many days stands in a calendar: long windows can bury a
// month's view.
type FeedDays string

// The ways of standing in a calendar.
const (
	FeedWindows  FeedDays = "windows"   // one event over all the days of the window
	FeedBestDays FeedDays = "best-days" // one event on the best day alone
	FeedBoth     FeedDays = "both"      // the window, and a second event on the best day
)

// apply returns the entries as they stand in a calendar. Work of one day is left as it is, and so are entries' own
// identifiers: in the third way the best day has an identifier derived from its window's.
func (d FeedDays) apply(entries []*Entry) []*Entry {
	if d == "" || d == FeedWindows {
		return entries
	}
	var out []*Entry
	for _, e := range entries {
		if e.Window.Days() == 1 {
			out = append(out, e)
			continue
		}
		best := *e
		best.Window = civil.Span{First: e.Best, Last: e.Best}
		best.Reasons = append([]string{fmt.Sprintf("Any day from %s to %s will do.", phrase.LongDate(e.Window.First), phrase.LongDate(e.Window.Last))}, e.Reasons...)
		if d == FeedBoth {
			if id, err := ParseUUID(e.UID); err == nil {
				best.UID = NameUUID(id, "best day").String()
			}
			best.Summary = "Best day: " + e.Summary
			best.Reminders = nil // the window rings
			best.After = append(slices.Clone(e.After), e.UID)
			out = append(out, e)
		}
		out = append(out, &best)
	}
	return out
}

// Color returns the color name of CSS in which calendars show an activity; for no activity, that of all together.
func (a Activity) Color() string {
	if w, ok := activityWords[a]; ok {
		return w.color
	}
	return "darkolivegreen"
}
