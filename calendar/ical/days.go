package ical

import (
	"slices"

	"treewhen/calendar"
	"treewhen/phenology/civil"
)

// standing is an entry as it stands in a calendar.
type standing struct {
	*calendar.Entry            // Window is what stands there
	of              civil.Span // where only the best day stands there: all days on which the work can be done
	beside          bool       // and those stand beside it
	promises        promises
	alarms          []plannedAlarm
	calledOff       []*event
}

// only reports whether only the best of several days stands in the calendar.
func (s *standing) only() bool { return s.of != (civil.Span{}) }

// stand returns the entries as they stand in a calendar. Work of one day is left as it is, and so are entries' own
// identifiers: in the third way the best day has an identifier derived from its window's. A survey of twigs is an
// appointment as a trip is, and stands on its best day with its window told, unless both are asked for.
func stand(d calendar.FeedDays, entries []*calendar.Entry) []standing {
	list := make([]standing, 0, len(entries))
	for _, e := range entries {
		whole := d == "" || d == calendar.FeedWindows
		if e.Window.Days() == 1 || whole && e.Activity != calendar.TwigSurvey {
			list = append(list, standing{Entry: e})
			continue
		}
		best := *e
		best.Window = civil.Span{First: e.Best, Last: e.Best}
		s := standing{Entry: &best, of: e.Window, beside: d == calendar.FeedBoth}
		if s.beside {
			if id, err := calendar.ParseUUID(e.UID); err == nil {
				best.UID = calendar.NameUUID(id, "best day").String()
			}
			best.Reminders = nil // the window rings
			best.After = append(slices.Clone(e.After), e.UID)
			list = append(list, standing{Entry: e})
		}
		list = append(list, s)
	}
	return list
}

// colors are the colors of activities' events.
var colors = map[calendar.Activity]string{
	calendar.Tapping: "chocolate", calendar.SeedCollection: "olivedrab",
	calendar.TwigSurvey: "slateblue", calendar.FieldTrip: "teal",
}

// Color returns the color name of CSS in which calendars show an activity; for no activity, that of all together.
func Color(a calendar.Activity) string {
	if c, ok := colors[a]; ok {
		return c
	}
	return "darkolivegreen"
}
