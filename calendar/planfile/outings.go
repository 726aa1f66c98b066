package planfile

import (
	"fmt"
	"slices"
	"time"

	"treewhen/calendar"
	"treewhen/calendar/busy"
	"treewhen/profiles/strictyaml"
)

// Bounds of what a plan may ask of its outings.
const (
	maxWishes    = 500
	maxCalendars = 50
	maxWords     = 500 // of a calendar's titles, in one list
	maxBooked    = calendar.MaxTrips
)

func readTrip(m *strictyaml.Map, o *calendar.TripOptions) {
	set(&o.Trips)(m.IntIn("trips", 0, calendar.MaxTrips))
	set(&o.YearStarts)(m.MonthDay("year_starts"))
	set(&o.Spacing)(wholeDays(m, "spacing", 1, 180))
	set(&o.MostMonth)(m.IntIn("most_a_month", 1, calendar.MaxTrips))
	set(&o.RainWithin)(wholeDays(m, "rain_within", 0, 60))
	if b, ok := m.Bool("weekends"); ok {
		o.Weekdays = nil
		if b {
			o.Weekdays = []time.Weekday{0, 1, 2, 3, 4, 5, 6}
		}
		if m.Has("weekdays") {
			m.ReportKey("weekends", "found both weekends and weekdays, want one of them")
		}
	}
	if list, ok := listOf(m, "booked", "", strictyaml.Value.Date); ok {
		o.Booked = unique(list)
		if len(list) > maxBooked {
			m.ReportKey("booked", "found %d dates, want at most %d", len(list), maxBooked)
		}
	}
	if list, ok := m.Maps("wishes"); ok {
		o.Wishes = nil
		for _, wm := range list {
			o.Wishes = append(o.Wishes, readWish(wm))
		}
		if len(list) == 0 || len(list) > maxWishes {
			m.ReportKey("wishes", "found %d, want 1 to %d; leave the key out for flowers, leaves just open, seed "+
				"ripe and autumn color", len(list), maxWishes)
		}
	}
	readOutings(m, &o.Outings)
}

func readWish(m *strictyaml.Map) calendar.Wish {
	w := calendar.Wish{Weight: 1, Line: m.Line()}
	m.Required("see")
	set(&w.See)(strictyaml.GetAs(m, "see", calendar.ParseSight))
	if list, ok := m.Texts("species"); ok {
		w.Species = list
		if len(list) == 0 {
			m.ReportKey("species", "found none, want at least one; leave the key out for every species of the site")
		}
	}
	set(&w.Weight)(m.FloatIn("weight", 0.001, 1000))
	m.Done()
	return w
}

// readOutings reads when people can go out.
func readOutings(m *strictyaml.Map, o *calendar.Outings) {
	set(&o.Hours)(strictyaml.GetAs(m, "hours", parseHours))
	readDays(m, o)
	set(&o.Reminder)(strictyaml.GetAs(m, "reminder", parseClock))
}

// readDays reads on which days people can work or go out.
func readDays(m *strictyaml.Map, o *calendar.Outings) {
	if list, ok := m.Texts("weekdays"); ok {
		o.Weekdays = nil
		for _, text := range list {
			d, err := parseWeekday(text)
			if err != nil {
				m.ReportKey("weekdays", "%v", err)
				break
			}
			if !slices.Contains(o.Weekdays, d) {
				o.Weekdays = append(o.Weekdays, d)
			}
		}
		if len(list) == 0 {
			m.ReportKey("weekdays", "found none, want at least one such as Tue")
		}
	}
	const noTerms = "found none, want at least one span such as 2027-03-15/2027-06-18"
	set(&o.Terms)(listOf(m, "terms", noTerms, readSpan))
	closed, _ := listOf(m, "closed", "", readSpan)
	o.Closed = slices.Concat(o.Closed, closed) // beside those there are
	if v, ok := m.Get("busy"); ok {
		o.Calendar = readCalendars(v)
	}
	readBus(m, o)
}

// mostTravel is the longest ride, in minutes: a class is not out for longer.
const mostTravel = 240

// readBus reads how people get there and back. What they are away must fit between the bells.
func readBus(m *strictyaml.Map, o *calendar.Outings) {
	set(&o.Bus.Travel)(m.IntIn("travel_minutes", 0, mostTravel))
	set(&o.Bus.Margin)(m.IntIn("margin_minutes", 0, mostTravel))
	set(&o.Bus.Bells)(strictyaml.GetAs(m, "bells", parseHours))
	away, bells := o.Away(), o.Bus.Bells
	if away.End += o.Bus.Margin; bells != (calendar.Hours{}) && (away.Start < bells.Start || away.End > bells.End) &&
		(m.Has("bells") || m.Has("hours") || m.Has("travel_minutes") || m.Has("margin_minutes")) {
		m.ReportKey("bells",
			"found %s to %s, want a school day that holds the outing with both rides and the margin, %s to %s",
			clock(bells.Start), clock(bells.End), clock(away.Start), clock(away.End))
	}
}

// clock writes minutes after midnight as parseClock reads them.
func clock(minutes int) string { return fmt.Sprintf("%02d:%02d", minutes/60, minutes%60) }

// readCalendars reads the calendar files that a plan names: one, or a list; each by its path, or with the plan's own
// words for its titles.
func readCalendars(v strictyaml.Value) []calendar.CalendarFile {
	list := []strictyaml.Value{v}
	if v.IsList() {
		list, _ = v.List()
	}
	var files []calendar.CalendarFile
	for _, one := range list {
		if one.IsMap() {
			if m, ok := one.Map(); ok {
				files = append(files, readCalendar(m))
			}
			continue
		}
		if text, ok := one.Text(); ok {
			files = append(files, calendar.CalendarFile{Path: text, Line: one.Line()})
		}
	}
	if len(list) > maxCalendars {
		v.Report("found %d calendars, want at most %d", len(list), maxCalendars)
	}
	return files
}

// readCalendar reads a calendar file with words for its titles.
func readCalendar(m *strictyaml.Map) calendar.CalendarFile {
	file := calendar.CalendarFile{Line: m.Line()}
	m.Required("file")
	set(&file.Path)(m.Text("file"))
	said := map[string]string{}
	words := func(key string) []string {
		list, _ := m.Texts(key)
		for i, text := range list {
			if i == maxWords {
				m.ReportKey(key, "found %d, want at most %d", len(list), maxWords)
				break
			}
			if err := busy.CheckWords(text); err != nil {
				m.ReportKey(key, "%v", err)
				break
			}
			if other := said[text]; other != "" && other != key {
				m.ReportKey(key, "found %q under %s as well, want it in one list", text, other)
				break
			}
			said[text] = key
		}
		return list
	}
	file.Words.Taken, file.Words.Half, file.Words.Free = words("taken"), words("half"), words("free")
	m.Done()
	return file
}
