package ical_test

import (
	"strings"
	"testing"

	goical "github.com/emersion/go-ical"

	"treewhen/calendar"
	"treewhen/calendar/calendartest"
	"treewhen/calendar/ical/icaltest"
)

// An alarm after the start of its event has a short event of its own, which is one for good, moves with what it rings for,
// is called off in words as well, and comes and goes without its event being announced anew.
func TestShortEvents(t *testing.T) {
	var data []byte
	publish := func(asOf string, entries ...*calendar.Entry) []byte {
		f := icaltest.Feed(asOf, entries...)
		if data != nil {
			f.Previous = previous(t, data)
		}
		data = icaltest.Render(t, f)
		return data
	}
	shorts := func() (list []goical.Event) {
		for _, e := range icaltest.Read(t, data).Events() {
			if icaltest.RingsFor(e) != "" {
				list = append(list, e)
			}
		}
		return list
	}
	is := func(what, status, start, sequence string) string {
		t.Helper()
		list := shorts()
		if len(list) != 1 {
			t.Fatalf("%s: found %d short events, want one:\n%s", what, len(list), data)
		}
		for name, want := range map[string]string{"STATUS": status, "DTSTART": start, "SEQUENCE": sequence} {
			if got := list[0].Props.Get(name).Value; got != want {
				t.Errorf("%s: found %s %s, want %s", what, name, got, want)
			}
		}
		title := text(t, list[0].Props, "SUMMARY")
		if cancelled := strings.HasPrefix(title, "Cancelled: "); cancelled != (status == "CANCELLED") ||
			cancelled == (len(list[0].Children) > 0) {
			t.Errorf("%s: found %q with %d alarms", what, title, len(list[0].Children))
		}
		return list[0].Props.Get("UID").Value
	}
	silent := func(best string) *calendar.Entry {
		e := promised(best)
		e.Reminders = e.Reminders[:1]
		return e
	}

	publish("2027-02-01", promised("2027-03-13"))
	// That it is soon is told on the best day less three, after the window has begun: both have one.
	if n := len(shorts()); n != 2 {
		t.Fatalf("found %d short events, want 2:\n%s", n, data)
	}
	data = nil
	only := func(best string) *calendar.Entry {
		e := promised(best)
		e.Reminders = e.Reminders[1:]
		return e
	}
	publish("2027-02-01", only("2027-03-13"))
	first := is("new", "TENTATIVE", "20270313T070000Z", "0")
	publish("2027-02-12", only("2027-03-28"))
	if uid := is("it moves", "TENTATIVE", "20270328T070000Z", "1"); uid != first {
		t.Errorf("found UID %s, want %s", uid, first)
	}
	publish("2027-02-13", with(only("2027-03-28"), func(e *calendar.Entry) { e.Reminders = nil }))
	is("it rings no more", "CANCELLED", "20270328T070000Z", "2")
	same := string(data)
	publish("2027-02-28", with(only("2027-03-28"), func(e *calendar.Entry) { e.Reminders = nil }))
	if string(data) != same {
		t.Errorf("found the feed rewritten:\n%s", data)
	}
	publish("2027-03-01", only("2027-03-28"))
	is("it rings again", "TENTATIVE", "20270328T070000Z", "3")
	publish("2027-03-02")
	is("the event is called off", "CANCELLED", "20270328T070000Z", "4")
	publish("2027-03-17")
	if n := len(icaltest.Read(t, data).Events()); n != 0 {
		t.Errorf("found %d events, want none: dropped with what it rang for", n)
	}

	// Once it has rung it stays, as a record of its hour, when nothing of the kind rings any more.
	data = nil
	publish("2027-03-10", promised("2027-03-13"))
	publish("2027-03-11", with(silent("2027-03-28"), func(e *calendar.Entry) { e.Reminders = nil }))
	var stands, off int
	for _, e := range shorts() {
		if e.Props.Get("STATUS").Value == "CANCELLED" {
			off++
		} else if e.Props.Get("DTSTART").Value == "20270310T070000Z" {
			stands++
		}
	}
	if stands != 1 || off != 1 {
		t.Errorf("found %d that stand and %d called off, want one each:\n%s", stands, off, data)
	}
	if got := rungOn(t, data, promised("2027-03-13").UID, calendartest.Day("2027-03-10")); len(got) != 1 || got[0] != "soon" {
		t.Errorf("found %v to have rung", got)
	}

	// What rang keeps every byte when the event moves, words and all; and what is still to ring, when it alone stays.
	data = nil
	first10 := string(publish("2027-03-10", promised("2027-03-13")))
	moved := string(publish("2027-03-11", promised("2027-03-28")))
	again := string(publish("2027-03-20", with(promised("2027-03-28"), func(e *calendar.Entry) { e.Probability /= 3 })))
	if a, b := shortOf(first10, "20270310"), shortOf(moved, "20270310"); a == "" || a != b {
		t.Errorf("found what rang as\n%s\nafterwards as\n%s", a, b)
	}
	if a, b := shortOf(moved, "20270328"), shortOf(again, "20270328"); a == "" || a != b || again == moved {
		t.Errorf("found what is still to ring as\n%s\nafterwards as\n%s", a, b)
	}
}

// shortOf returns the short event of a feed that begins on a day; "" if it has none.
func shortOf(feed, day string) string {
	for _, e := range strings.Split(feed, "BEGIN:VEVENT")[1:] {
		if e, _, _ = strings.Cut(e, "END:VEVENT"); strings.Contains(e, "rings-for=") && strings.Contains(e, "DTSTART:"+day) {
			return e
		}
	}
	return ""
}
