package ical_test

import (
	"bytes"
	"maps"
	"os"
	"slices"
	"strings"
	"testing"

	"treewhen/calendar"
	"treewhen/calendar/calendartest"
	"treewhen/calendar/ical"
	"treewhen/calendar/ical/icaltest"
	"treewhen/calendar/words"
	"treewhen/phenology/civil"
)

// testdata/before.ics is a feed of the version before, which told facts in words alone: the entries of atBefore as of 2 and
// 25 January 2027, one of which had moved; one is over and one is cancelled. It goes when before.go does, on 2027-11-28.
func atBefore(asOf string) ical.Feed {
	gather := icaltest.GatherEntry("2027-03-12", "2027-04-20")
	gather.Settled, gather.Window.Last = true, gather.Window.Last+3
	trip := tripAt(calendartest.Zone("America/New_York"), calendartest.Day("2027-05-03"))
	icaltest.Said(trip, func(t *words.Text) {
		t.Summary, t.ChanceOf = "Field trip: flowers and young leaves", "that at least one of 3 species shows flowers; expect 1.2 of them"
		t.LookFor = []string{"Flowers: red maple 40 %, silver maple 21 %.", "All 3 pairs can be told apart at a glance."}
	})
	tells(trip, fact("for", "flowers+young-leaves"), fact("rain", calendartest.Day("2027-05-04")))
	f := icaltest.Feed(asOf, icaltest.TapEntry("2027-03-10", "2027-03-20"), gather, trip)
	f.Say = func(e *calendar.Entry) words.Text {
		t := words.Say(e)
		if e.Task == calendar.TaskTrip {
			for _, f := range e.Facts.Essence() {
				if d, ok := f.Value.(civil.Date); ok {
					t.Rain = &d
				}
			}
		}
		return t
	}
	return f
}

// A feed of the version before is taken over without an event announced anew: its events keep SEQUENCE and every line but
// their words, and have their facts beside them; those that are over or cancelled keep every byte.
func TestFeedOfTheVersionBefore(t *testing.T) {
	old, err := os.ReadFile("testdata/before.ics")
	if err != nil {
		t.Fatal(err)
	}
	f := atBefore("2027-01-26")
	f.Previous = previous(t, old)
	data, changes, err := ical.RenderICS(f)
	if err != nil {
		t.Fatal(err)
	}
	icaltest.LintClean(t, data)
	if want := (ical.Changes{Reworded: 3, Kept: 2}); changes != want {
		t.Errorf("found %+v, want %+v", changes, want)
	}
	before, after := rawEvents(t, old), rawEvents(t, data)
	for _, event := range entriesOf(t, data) {
		uid := event.Props.Get("UID").Value
		raw := after[uid]
		// What rings after the start of its event has gone into an event of its own, and rings as it did.
		rings := func(data []byte) (list []string) {
			for _, a := range icaltest.Alarms(t, data, uid) {
				list = append(list, a.UID+" "+a.At.String()+" "+a.Text)
			}
			return list
		}
		if !slices.Equal(rings(old), rings(data)) {
			t.Errorf("found %v to ring, want %v", rings(data), rings(old))
		}
		mine := []string{"DTSTAMP", "LAST-MODIFIED", "X-TREEWHEN-FACTS", "SUMMARY", "DESCRIPTION"}
		bare := func(raw []byte) []string {
			text, _, _ := strings.Cut(string(raw), "BEGIN:VALARM")
			lines := strings.Split(strings.ReplaceAll(text, "\r\n ", ""), "\r\n")
			return slices.DeleteFunc(lines, func(l string) bool { name, _, _ := strings.Cut(l, ":"); return slices.Contains(mine, name) })
		}
		if bytes.Equal(raw, before[uid]) {
			continue
		}
		if !slices.Equal(bare(raw), bare(before[uid])) {
			t.Errorf("found\n%s\nwant\n%s", raw, before[uid])
		}
		if told := linesOf(raw, "X-TREEWHEN-FACTS"); len(told) == 0 && !bytes.Equal(raw, before[uid]) {
			t.Errorf("found no facts in\n%s", raw)
		}
	}
	f.Previous, f.AsOf = previous(t, data), f.AsOf+1
	if again := icaltest.Render(t, f); !bytes.Equal(again, data) {
		t.Error("found the feed rewritten, want every byte kept")
	}
}

// While a feed of the version before is taken over facts move as well, and the words of this program are others.
func TestFactsMoveOverTheVersionBefore(t *testing.T) {
	old, err := os.ReadFile("testdata/before.ics")
	if err != nil {
		t.Fatal(err)
	}
	const tap, gather, trip = 0, 1, 2
	set := func(i int, change func(*calendar.Entry)) func(*ical.Feed) {
		return func(f *ical.Feed) { change(f.Entries[i]) }
	}
	tell := func(i int, facts ...calendar.Fact) func(*ical.Feed) {
		return func(f *ical.Feed) { tells(f.Entries[i], facts...) }
	}
	for name, row := range map[string]struct {
		change  func(*ical.Feed)
		revised int // the entry that is revised; -1 for none
	}{
		"a day off, far ahead": {set(tap, func(e *calendar.Entry) { *e = *icaltest.TapEntry("2027-03-11", "2027-03-21") }), -1},
		"seven days off":       {set(tap, func(e *calendar.Entry) { e.Window.Last += 7 }), -1}, // of 53 ahead
		"eight days off":       {set(tap, func(e *calendar.Entry) { e.Window.Last += 8 }), tap},
		"a tenth less sure":    {set(tap, func(e *calendar.Entry) { e.Probability = 0.62 }), -1},
		"less sure than that":  {set(tap, func(e *calendar.Entry) { e.Probability = 0.6 }), tap},
		"settled no more":      {set(gather, func(e *calendar.Entry) { e.Settled = false }), gather},
		"rain on another day":  {tell(trip, fact("for", "flowers+young-leaves"), fact("rain", calendartest.Day("2027-05-05"))), trip},
		"an advice":            {tell(tap, fact("advice", "wait")), -1}, // nobody knows what it was
		"the trip an hour on":  {set(trip, func(e *calendar.Entry) { e.Hours.Start += 60 }), trip},
		"no second reminder":   {set(tap, func(e *calendar.Entry) { e.Reminders = e.Reminders[:1] }), tap},
		"other words":          {func(f *ical.Feed) { f.Say, f.Labels = other, &otherLabels }, -1},
	} {
		t.Run(name, func(t *testing.T) {
			f := atBefore("2027-01-26")
			row.change(&f)
			f.Previous = previous(t, old)
			data, changes, err := ical.RenderICS(f)
			if err != nil {
				t.Fatal(err)
			}
			icaltest.LintClean(t, data)
			want := ical.Changes{Reworded: 3, Kept: 2}
			sequences := lines(t, old, "SEQUENCE")
			if row.revised >= 0 {
				want.Reworded, want.Revised = 2, 1
				uid := f.Entries[row.revised].UID
				sequences[uid] = map[bool][]string{false: {"SEQUENCE:1"}, true: {"SEQUENCE:2"}}[row.revised == gather]
			}
			found := lines(t, data, "SEQUENCE")
			for uid := range found {
				found[uid] = found[uid][:1] // a short event has that of the event that it rings for
			}
			if changes != want || !maps.EqualFunc(found, sequences, slices.Equal) {
				t.Errorf("found %+v, want %+v\n%v\n%v", changes, want, found, sequences)
			}
			f.Previous = previous(t, data)
			if again := icaltest.Render(t, f); !bytes.Equal(again, data) {
				t.Error("found the feed rewritten, want every byte kept")
			}
		})
	}

	f := atBefore("2027-01-26")
	f.Entries = f.Entries[1:]
	f.Previous = previous(t, old)
	data := icaltest.Render(t, f)
	gone := icaltest.EventIn(t, data, icaltest.TapEntry("2027-03-10", "2027-03-20").UID)
	if got := text(t, gone.Props, "SUMMARY"); got != "Cancelled: Tap sugar maple" || gone.Props.Get("STATUS").Value != "CANCELLED" {
		t.Errorf("found %q, want it cancelled", got)
	}
}
