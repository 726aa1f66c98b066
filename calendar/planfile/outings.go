package planfile

import (
	"fmt"
	"slices"
	"strings"
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
	if n, ok := m.IntIn("trips", 0, calendar.MaxTrips); ok {
		o.Trips = n
	}
	if d, ok := m.MonthDay("year_starts"); ok {
		o.YearStarts = d
	}
	if d, ok := wholeDays(m, "spacing", 1, 180); ok {
		o.Spacing = d
	}
	if n, ok := m.IntIn("most_a_month", 1, calendar.MaxTrips); ok {
		o.MostMonth = n
	}
	if d, ok := wholeDays(m, "rain_within", 0, 60); ok {
		o.RainWithin = d
	}
	if b, ok := m.Bool("weekends"); ok {
		o.Weekdays = nil
		if b {
			o.Weekdays = []time.Weekday{0, 1, 2, 3, 4, 5, 6}
		}
		if m.Has("weekdays") {
			m.ReportKey("weekends", "found both weekends and weekdays, want one of them")
		}
	}
	if list, ok := m.List("booked"); ok {
		o.Booked = nil
		for _, v := range list {
			if d, ok := v.Date(); ok && !slices.Contains(o.Booked, d) {
				o.Booked = append(o.Booked, d)
			}
		}
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
	if see, ok := strictyaml.GetAs(m, "see", calendar.ParseSight); ok {
		w.See = see
	}
	if list, ok := m.Texts("species"); ok {
		w.Species = list
		if len(list) == 0 {
			m.ReportKey("species", "found none, want at least one; leave the key out for every species of the site")
		}
	}
	if x, ok := m.FloatIn("weight", 0.001, 1000); ok {
		w.Weight = x
	}
	m.Done()
	return w
}

// readOutings reads when people can go out.
func readOutings(m *strictyaml.Map, o *calendar.Outings) {
	if h, ok := strictyaml.GetAs(m, "hours", parseHours); ok {
		o.Hours = h
	}
	readDays(m, o)
	readReminder(m, &o.Reminder)
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
	if list, ok := m.List("terms"); ok {
		o.Terms = nil
		for _, v := range list {
			if s, ok := strictyaml.As(v, parseSpan); ok {
				o.Terms = append(o.Terms, s)
			}
		}
		if len(list) == 0 {
			m.ReportKey("terms", "found none, want at least one span such as 2027-03-15/2027-06-18")
		}
	}
	o.Closed = readClosed(m, o.Closed)
	if v, ok := m.Get("busy"); ok {
		o.Calendar = readCalendars(v)
	}
	readBus(m, o)
}

// mostTravel is the longest ride, in minutes: a class is not out for longer.
const mostTravel = 240

// readBus reads how people get there and back. What they are away must fit between the bells.
func readBus(m *strictyaml.Map, o *calendar.Outings) {
	if n, ok := m.IntIn("travel_minutes", 0, mostTravel); ok {
		o.Bus.Travel = n
	}
	if n, ok := m.IntIn("margin_minutes", 0, mostTravel); ok {
		o.Bus.Margin = n
	}
	if h, ok := strictyaml.GetAs(m, "bells", parseHours); ok {
		o.Bus.Bells = h
	}
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
	if path, ok := m.Text("file"); ok {
		file.Path = path
	}
	said := map[string]string{}
	words := func(key string, list []string) []string {
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
	if list, ok := m.Texts("taken"); ok {
		file.Words.Taken = words("taken", list)
	}
	if list, ok := m.Texts("half"); ok {
		file.Words.Half = words("half", list)
	}
	if list, ok := m.Texts("free"); ok {
		file.Words.Free = words("free", list)
	}
	m.Done()
	return file
}

// parseHours reads two times of a day with a slash between them.
func parseHours(text string) (calendar.Hours, error) {
	first, last, ok := strings.Cut(text, "/")
	a, errA := parseClock(first)
	b, errB := parseClock(last)
	if !ok || errA != nil || errB != nil || b <= a {
		return calendar.Hours{}, fmt.Errorf("found %q, want two times of a day such as \"09:00/11:30\"", text)
	}
	return calendar.Hours{Start: a, End: b}, nil
}

// parseClock reads a civil time as minutes after midnight.
func parseClock(text string) (int, error) {
	t, err := time.Parse("15:04", text)
	if err != nil || len(text) != 5 {
		return 0, fmt.Errorf("found %q, want a time of day such as \"07:00\"", text)
	}
	return t.Hour()*60 + t.Minute(), nil
}

// parseWeekday reads a day of the week in English, whole or by its first three letters.
func parseWeekday(text string) (time.Weekday, error) {
	for d := time.Sunday; d <= time.Saturday; d++ {
		if strings.EqualFold(text, d.String()) || strings.EqualFold(text, d.String()[:3]) {
			return d, nil
		}
	}
	return 0, fmt.Errorf("found %q, want a day of the week such as Tue", text)
}
