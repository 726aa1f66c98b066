// Package icaltest makes and reads feeds for tests, with a parser that is not the one which wrote them.
package icaltest

import (
	"bytes"
	"strings"
	"testing"
	"time"

	goical "github.com/emersion/go-ical"

	"treewhen/calendar"
	"treewhen/calendar/calendartest"
	"treewhen/calendar/ical"
	"treewhen/calendar/icslint"
)

func Feed(asOf string, entries ...*calendar.Entry) ical.Feed {
	return ical.Feed{
		UID: calendar.CalendarUID(calendartest.FeedID, calendartest.Sugarbush().ID, ""), Name: "Fallow Creek sugarbush",
		Description: "When trees do things at Fallow Creek; an invented place.",
		Color:       "forestgreen", URL: "https://example.org/trees/?site=fallow-creek;a,b",
		Source:  "https://example.org/trees/fallow-creek.ics",
		Refresh: 12 * time.Hour, AsOf: calendartest.Day(asOf), Entries: entries,
	}
}

// Render returns the feed's bytes after the lint has passed them.
func Render(t testing.TB, f ical.Feed) []byte {
	t.Helper()
	data, _, err := ical.RenderICS(f)
	if err != nil {
		t.Fatal(err)
	}
	LintClean(t, data)
	return data
}

func LintClean(t testing.TB, data []byte) {
	t.Helper()
	for _, found := range icslint.Check(data) {
		t.Errorf("%v", found)
	}
	if t.Failed() {
		t.Logf("%s", data)
	}
}

// Read parses data with a parser that is not the one which wrote it.
func Read(t testing.TB, data []byte) *goical.Calendar {
	t.Helper()
	c, err := goical.NewDecoder(bytes.NewReader(data)).Decode()
	if err != nil {
		t.Fatalf("another parser: %v\n%s", err, data)
	}
	return c
}

func EventIn(t testing.TB, data []byte, uid string) goical.Event {
	t.Helper()
	for _, e := range Read(t, data).Events() {
		if e.Props.Get("UID").Value == uid {
			return e
		}
	}
	t.Fatalf("found no event %s in\n%s", uid, data)
	return goical.Event{}
}

// RingsFor returns the UID of the event that a short event rings for; "" for one that stands for an entry.
func RingsFor(e goical.Event) string {
	if told := e.Props.Get("X-TREEWHEN-FACTS"); told != nil {
		_, uid, _ := strings.Cut(told.Value, "|rings-for=")
		return uid
	}
	return ""
}

// Alarm is an alarm as a program has it that goes by the clocks of the site.
type Alarm struct {
	UID, Text string
	At        time.Time // what the clocks show, as if it were UTC
	Late      bool      // after the start of the event that it stands in
}

// Alarms returns the alarms of an event and of its short events, in their order.
func Alarms(t testing.TB, data []byte, uid string) (list []Alarm) {
	t.Helper()
	return AlarmsIn(t, Read(t, data).Events(), uid)
}

// AlarmsIn is [Alarms] for a feed that has been read.
func AlarmsIn(t testing.TB, events []goical.Event, uid string) (list []Alarm) {
	t.Helper()
	for _, e := range events {
		if e.Props.Get("UID").Value != uid && RingsFor(e) != uid {
			continue
		}
		text := e.Props.Get("DTSTART").Value
		start, err := time.Parse("20060102T150405", strings.TrimSuffix((text + "T000000")[:15], "Z"))
		if err != nil {
			t.Fatal(err)
		}
		for _, a := range e.Children {
			after, err := a.Props.Get("TRIGGER").Duration()
			if err != nil {
				t.Fatal(err)
			}
			said, err := a.Props.Text("DESCRIPTION")
			if err != nil {
				t.Fatal(err)
			}
			list = append(list, Alarm{a.Props.Get("UID").Value, said, start.Add(after), after > 0})
		}
	}
	return list
}
