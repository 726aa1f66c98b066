package ical_test

import (
	"bytes"
	"strings"
	"testing"
	"time"

	goical "github.com/emersion/go-ical"

	"treewhen/calendar"
	"treewhen/calendar/busy"
	"treewhen/calendar/calendartest"
	"treewhen/calendar/ical"
	"treewhen/calendar/ical/icaltest"
	"treewhen/calendar/icslint"
	"treewhen/calendar/words"
	"treewhen/phenology/civil"
)

// tripAt returns an outing of one day from 09:00 to 11:30 at a place in a zone.
func tripAt(zone *time.Location, d civil.Date) *calendar.Entry {
	e := icaltest.TapEntry(d.String(), d.String())
	site := *sugarbush
	site.Zone = zone
	e.Site, e.Activity, e.Task, e.Hours = &site, calendar.FieldTrip, calendar.TaskTrip, calendar.Hours{Start: 9 * 60, End: 11*60 + 30}
	e.UID = calendar.UID(calendartest.FeedID, site.ID, calendar.FieldTrip, nil, calendar.TaskTrip, d.Year(), d.String())
	e.Best = d
	e.Reminders = []calendar.Reminder{{Before: 7, On: d, Minute: 7 * 60}}
	return icaltest.Said(e, func(t *words.Text) { t.Reminders = []string{"In a week"} })
}

// A trip at 09:00 is at 09:00 on both sides of a change of the clocks. Two readers say so that share no code with what
// writes feeds: one that goes by the zone's name and the time zone database, and one made to go by the VTIMEZONE alone,
// its name being one that no database has.
func TestHoursAcrossChangesOfTheClocks(t *testing.T) {
	for _, name := range []string{
		"America/New_York", "America/Chicago", "America/St_Johns", "America/Phoenix", "Europe/London", "Australia/Lord_Howe",
		"Asia/Kathmandu", "Africa/Casablanca", "America/Santiago", "Asia/Tokyo", "UTC",
	} {
		t.Run(name, func(t *testing.T) {
			loc := calendartest.Zone(name)
			var entries []*calendar.Entry
			want := map[string]time.Time{}
			for d := calendartest.Day("2027-01-05"); d <= calendartest.Day("2027-12-31"); d += 13 {
				entries = append(entries, tripAt(loc, d))
				y, m, dd := d.Date()
				want[d.String()] = time.Date(y, m, dd, 9, 0, 0, 0, loc)
			}
			data := icaltest.Render(t, icaltest.Feed("2027-01-01", entries...))

			parsed, err := goical.NewDecoder(bytes.NewReader(data)).Decode()
			if err != nil {
				t.Fatal(err)
			}
			for _, e := range parsed.Events() {
				start, err := e.DateTimeStart(time.UTC)
				if err != nil {
					t.Fatal(err)
				}
				end, err := e.DateTimeEnd(time.UTC)
				if err != nil {
					t.Fatal(err)
				}
				local := start.In(loc)
				if !want[local.Format(time.DateOnly)].Equal(start) || end.Sub(start) != 150*time.Minute {
					t.Errorf("found %v to %v, want 09:00 to 11:30", local, end.In(loc))
				}
			}
			if n := len(parsed.Events()); n != len(entries) {
				t.Errorf("found %d events, want %d", n, len(entries))
			}

			unnamed := strings.ReplaceAll(string(data), name, "Nowhere on Earth")
			diary, err := busy.Words{}.Read(strings.NewReader(strings.ReplaceAll(unnamed, "TRANSP:TRANSPARENT", "TRANSP:OPAQUE")), "feed.ics", calendartest.Span("2027-01-01", "2027-12-31"))
			if err != nil {
				t.Fatal(err)
			}
			if len(diary.Events) != len(entries) {
				t.Errorf("found %d events by the VTIMEZONE, want %d", len(diary.Events), len(entries))
			}
			for _, e := range diary.Events {
				start, _ := e.In(loc)
				if !want[start.Format(time.DateOnly)].Equal(start) {
					t.Errorf("found %v by the VTIMEZONE, want 09:00", start)
				}
			}
		})
	}
}

// The definition of a zone, line by line, against the rule of the United States' Energy Policy Act of 2005: second
// Sunday of March and first Sunday of November, 2 o'clock. In 1970 these were 8 March and 1 November.
func TestZoneOfNewYork(t *testing.T) {
	data := string(icaltest.Render(t, icaltest.Feed("2027-01-01", tripAt(calendartest.Zone("America/New_York"), calendartest.Day("2027-05-03")))))
	want := "BEGIN:VTIMEZONE\r\nTZID:America/New_York\r\n" +
		"BEGIN:DAYLIGHT\r\nDTSTART:19700308T020000\r\nRRULE:FREQ=YEARLY;BYMONTH=3;BYDAY=2SU\r\nTZOFFSETFROM:-0500\r\n" +
		"TZOFFSETTO:-0400\r\nTZNAME:EDT\r\nEND:DAYLIGHT\r\n" +
		"BEGIN:STANDARD\r\nDTSTART:19701101T020000\r\nRRULE:FREQ=YEARLY;BYMONTH=11;BYDAY=1SU\r\nTZOFFSETFROM:-0400\r\n" +
		"TZOFFSETTO:-0500\r\nTZNAME:EST\r\nEND:STANDARD\r\n" +
		"END:VTIMEZONE\r\n"
	if !strings.Contains(data, want) {
		t.Errorf("found\n%s\nwant\n%s", data, want)
	}
	if !strings.Contains(data, "DTSTART;TZID=America/New_York:20270503T090000\r\nDTEND;TZID=America/New_York:20270503T113000\r\n") {
		t.Errorf("found\n%s", data)
	}
	// Two hours before nine, seven days before: 07:00.
	if !strings.Contains(data, "TRIGGER:-P7DT2H\r\n") {
		t.Errorf("found no reminder at 07:00 in\n%s", data)
	}
}

// A feed with hours goes through its revisions like any other: what did not change keeps its bytes, a trip that moves is
// revised at once, and one that is no longer expected is cancelled at its hours.
func TestRevisionsOfHours(t *testing.T) {
	newYork := calendartest.Zone("America/New_York")
	a, b := tripAt(newYork, calendartest.Day("2027-05-03")), tripAt(newYork, calendartest.Day("2027-10-14"))
	first := icaltest.Render(t, icaltest.Feed("2027-03-01", a, b))
	again, changes := revise(t, first, icaltest.Feed("2027-03-02", a, b))
	if !bytes.Equal(first, again) || changes.Kept != 2 {
		t.Errorf("found %+v, want the same bytes", changes)
	}
	moved := tripAt(newYork, calendartest.Day("2027-05-04"))
	moved.UID = a.UID
	next, changes := revise(t, first, icaltest.Feed("2027-03-03", moved))
	if changes.Revised != 1 || changes.Cancelled != 1 {
		t.Errorf("found %+v, want one moved and one cancelled", changes)
	}
	for _, line := range []string{"DTSTART;TZID=America/New_York:20270504T090000\r\n", "DTSTART;TZID=America/New_York:20271014T090000\r\n", "STATUS:CANCELLED\r\n", "TZID:America/New_York\r\n"} {
		if !strings.Contains(string(next), line) {
			t.Errorf("found no %q in\n%s", line, next)
		}
	}
	// Days alone again: a plan whose hours were taken away.
	whole := tripAt(newYork, calendartest.Day("2027-05-04"))
	whole.UID, whole.Hours = a.UID, calendar.Hours{}
	last, _ := revise(t, next, icaltest.Feed("2027-03-20", whole))
	if !strings.Contains(string(last), "DTSTART;VALUE=DATE:20270504\r\n") {
		t.Errorf("found\n%s", last)
	}
}

func revise(t *testing.T, old []byte, f ical.Feed) ([]byte, ical.Changes) {
	t.Helper()
	var err error
	if f.Previous, err = ical.ReadPrevious(bytes.NewReader(old)); err != nil {
		t.Fatal(err)
	}
	data, changes, err := ical.RenderICS(f)
	if err != nil {
		t.Fatal(err)
	}
	for _, finding := range icslint.Check(data) {
		t.Error(finding)
	}
	return data, changes
}

// A zone that no other program knows by name is written as moments.
func TestZoneWithoutAName(t *testing.T) {
	e := tripAt(time.FixedZone("Camp time", -3*3600-1800), calendartest.Day("2027-05-03"))
	data := string(icaltest.Render(t, icaltest.Feed("2027-03-01", e)))
	if !strings.Contains(data, "DTSTART:20270503T123000Z\r\nDTEND:20270503T150000Z\r\n") || strings.Contains(data, "VTIMEZONE") {
		t.Errorf("found\n%s", data)
	}
}

// Zones as their laws have them: an ordinary rule, the last Sunday at one o'clock of London, a day of the week among
// seven of the month, as in Chile (from memory), and no change at all; where the clocks go by the moon, as in Morocco,
// or an event is in a year of an older law, each change stands for itself.
func TestRulesOfZones(t *testing.T) {
	for _, row := range []struct {
		zone, day string
		want      []string
		single    bool
	}{
		{"America/New_York", "2040-05-03", []string{"RRULE:FREQ=YEARLY;BYMONTH=3;BYDAY=2SU", "DTSTART:19700308T020000"}, false},
		{"Europe/London", "2027-05-03", []string{"DTSTART:19700329T010000", "BYMONTH=3;BYDAY=-1SU", "BYMONTH=10;BYDAY=-1SU", "DTSTART:19701025T020000"}, false},
		{"America/Santiago", "2027-05-03", []string{"BYMONTH=9;BYDAY=SU;BYMONTHDAY=2,3,4,5,6,7,8", "BYMONTH=4;BYDAY=SU;BYMONTHDAY=2,3,4,5,6,7,8"}, false},
		{"Asia/Tokyo", "2027-05-03", []string{"BEGIN:STANDARD\r\nDTSTART:19700101T000000\r\nTZOFFSETFROM:+0900\r\nTZOFFSETTO:+0900"}, false},
		{"Africa/Casablanca", "2027-05-03", []string{"DTSTART:2027"}, true},
		{"America/New_York", "2005-05-03", []string{"DTSTART:20050403T020000", "DTSTART:20051030T020000"}, true},
	} {
		data := string(icaltest.Render(t, icaltest.Feed("2005-01-01", tripAt(calendartest.Zone(row.zone), calendartest.Day(row.day)))))
		for _, want := range row.want {
			if !strings.Contains(data, want) {
				t.Errorf("%s %s: found no %q in\n%s", row.zone, row.day, want, data)
			}
		}
		zone, _, _ := strings.Cut(data, "BEGIN:VEVENT")
		if single := !strings.Contains(zone, "DTSTART:1970"); single != row.single {
			t.Errorf("%s %s: found single dates: %v\n%s", row.zone, row.day, single, zone)
		}
	}
}

// Past the years that a zone's table lists, package time bounds the last day of a leap year by a moment before it, and every
// year by New Year: a definition must come to an end all the same, and hold changes of the clocks alone.
func TestZonesOfYearsFarAhead(t *testing.T) {
	zone, err := time.LoadLocation("America/New_York")
	if err != nil {
		t.Fatal(err)
	}
	for year := 2036; year < 2060; year++ {
		d := civil.Of(year, 5, 1)
		data := string(icaltest.Render(t, icaltest.Feed(civil.Of(year, 3, 1).String(), tripAt(zone, d), tripAt(zone, d.AddYears(1)))))
		if summer, winter := strings.Count(data, "BEGIN:DAYLIGHT"), strings.Count(data, "BEGIN:STANDARD"); summer != 1 || winter != 1 {
			t.Errorf("%d: found %d onsets of summer time and %d of standard time, want a rule for each", year, summer, winter)
		}
		for _, finding := range icslint.Check([]byte(data)) {
			t.Errorf("%d: %v", year, finding)
		}
	}
}
