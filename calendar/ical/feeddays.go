package ical

import (
	"fmt"
	"slices"

	"treewhen/calendar"
	"treewhen/calendar/phrase"
	"treewhen/phenology/civil"
)

// standing returns the entries as they stand in a calendar. Work of one day is left as it is, and so are entries' own
// identifiers: in the third way the best day has an identifier derived from its window's.
func standing(d calendar.FeedDays, entries []*calendar.Entry) []*calendar.Entry {
	if d == "" || d == calendar.FeedWindows {
		return entries
	}
	var out []*calendar.Entry
	for _, e := range entries {
		if e.Window.Days() == 1 {
			out = append(out, e)
			continue
		}
		best := *e
		best.Window = civil.Span{First: e.Best, Last: e.Best}
		best.Reasons = append([]string{fmt.Sprintf("Any day from %s to %s will do.", phrase.LongDate(e.Window.First), phrase.LongDate(e.Window.Last))}, e.Reasons...)
		if d == calendar.FeedBoth {
			if id, err := calendar.ParseUUID(e.UID); err == nil {
				best.UID = calendar.NameUUID(id, "best day").String()
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
func Color(a calendar.Activity) string {
	if w, ok := activityWords[a]; ok {
		return w.color
	}
	return "darkolivegreen"
}
