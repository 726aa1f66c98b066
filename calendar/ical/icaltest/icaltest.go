// Package icaltest makes and reads feeds for tests, with a parser that is not the one which wrote them.
package icaltest

import (
	"bytes"
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
		Color:       "forestgreen", URL: "https://example.org/trees/?site=fallow-creek;a,b", Source: "https://example.org/trees/fallow-creek.ics",
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
