package outing_test

import (
	"math"
	"strings"
	"testing"

	"treewhen/calendar"
	"treewhen/calendar/busy"
	"treewhen/calendar/calendartest"
	"treewhen/calendar/outing"
	"treewhen/phenology"
	"treewhen/phenology/weather"
)

func diaryOf(t testing.TB, lines string) *busy.Diary {
	t.Helper()
	text := "BEGIN:VCALENDAR\nVERSION:2.0\nPRODID:x\n" + strings.TrimSpace(lines) + "\nEND:VCALENDAR\n"
	d, err := busy.Words{}.Read(strings.NewReader(text), "term.ics", calendartest.Span("2026-01-01", "2028-12-31"))
	if err != nil {
		t.Fatal(err)
	}
	return d
}

const termDays = `
BEGIN:VEVENT
UID:break
SUMMARY:Spring break
DTSTART;VALUE=DATE:20270424
DTEND;VALUE=DATE:20270503
END:VEVENT
BEGIN:VEVENT
UID:assembly
SUMMARY:Assembly
DTSTART;TZID=America/New_York:20270105T090000
DTEND;TZID=America/New_York:20270105T100000
RRULE:FREQ=WEEKLY;BYDAY=TU
END:VEVENT
BEGIN:VEVENT
UID:bus
SUMMARY:The bus is taken
DTSTART;TZID=America/New_York:20270107T100000
DTEND;TZID=America/New_York:20270107T120000
RRULE:FREQ=WEEKLY;INTERVAL=2;BYDAY=TH
END:VEVENT`

// pick returns the entries of a task.
func pick(s *calendar.Schedule, task calendar.Task) []*calendar.Entry {
	var list []*calendar.Entry
	for _, e := range s.Entries {
		if e.Task == task {
			list = append(list, e)
		}
	}
	return list
}

// tripOf returns what was decided of a trip.
func tripOf(e *calendar.Entry) *outing.Trip { return e.Facts.(*outing.Trip) }

// temperatures is an invented record: a cosine through the year, with the coldest days in mid-January.
func temperatures(site phenology.Site, mean, swing float64) *phenology.Temperatures {
	s := weather.Series{First: calendartest.Day("2015-01-01")}
	for d := s.First; d <= calendartest.Day("2026-12-31"); d++ {
		x := mean - swing*math.Cos(2*math.Pi*float64(d.YearDay()-15)/365.25)
		s.Days = append(s.Days, weather.Day{Min: x - 6, Max: x + 6})
	}
	return phenology.NewTemperatures(site, s)
}
