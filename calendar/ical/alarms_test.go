package ical_test

import (
	"bytes"
	"fmt"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"testing"
	"time"

	"pgregory.net/rapid"

	"treewhen/calendar"
	"treewhen/calendar/calendartest"
	"treewhen/calendar/ical"
	"treewhen/calendar/ical/icaltest"
	"treewhen/phenology/civil"
)

// promised is a window of three weeks about a best day, which rings three days before it and on it.
func promised(best string) *calendar.Entry {
	day := calendartest.Day(best)
	e := icaltest.TapEntry((day - 10).String(), (day + 10).String())
	e.Best = day
	e.Reminders = []calendar.Reminder{
		{Kind: "soon", Before: 3, On: day, Minute: 420, Until: day - 1},
		{Kind: "now", On: day, Minute: 420, Until: day + 10},
	}
	return e
}

// rungOn returns what an event of a feed rings for on a day, by the number in each alarm's identifier and the names that
// its facts tell.
func rungOn(t testing.TB, data []byte, uid string, day civil.Date) (kinds []string) {
	t.Helper()
	event := icaltest.EventIn(t, data, uid)
	var names []string
	for _, part := range strings.Split(event.Props.Get("X-TREEWHEN-FACTS").Value, "|") {
		if list, ok := strings.CutPrefix(part, "rings="); ok {
			names = strings.Split(list, "+")
		}
	}
	for _, a := range icaltest.Alarms(t, data, uid) {
		if a.Late {
			t.Errorf("found an alarm at %v after the start of its event in\n%s", a.At, data)
		}
		if civil.FromTime(a.At) != day {
			continue
		}
		kind := ""
		for n := range max(len(names), 2) {
			if name, _ := calendar.AlarmUID(uid, n); name == a.UID {
				kind = strconv.Itoa(n)
				if n < len(names) {
					kind = names[n]
				}
			}
		}
		kinds = append(kinds, kind)
	}
	return kinds
}

// mornings publishes a feed over itself and remembers what rang on the way.
type mornings struct {
	t    testing.TB
	data []byte
	rang []string // such as "2027-03-10 now"
}

// publish publishes the feed of a morning, twice, and notes what rings until the morning of the next.
func (m *mornings) publish(asOf, next string, entries ...*calendar.Entry) {
	m.t.Helper()
	f := icaltest.Feed(asOf, entries...)
	if m.data != nil {
		f.Previous = previous(m.t, m.data)
	}
	m.data = icaltest.Render(m.t, f)
	f.Previous = previous(m.t, m.data)
	if again := icaltest.Render(m.t, f); !bytes.Equal(again, m.data) {
		m.t.Fatalf("%s: found another feed on the same day:\n%s\n%s", asOf, m.data, again)
	}
	for day := calendartest.Day(asOf); day < calendartest.Day(next); day++ {
		for _, kind := range rungOn(m.t, m.data, promised("2027-03-13").UID, day) {
			m.rang = append(m.rang, day.String()+" "+kind)
		}
	}
}

func TestAlarmsArePromises(t *testing.T) {
	type morning struct{ asOf, best string } // best "": the event is not expected
	for name, row := range map[string]struct {
		mornings []morning
		want     []string
	}{
		"as planned": {[]morning{{"2027-03-01", "2027-03-13"}, {"2027-03-10", "2027-03-13"}, {"2027-03-13", "2027-03-13"}, {"2027-03-14", "2027-03-13"}},
			[]string{"2027-03-10 soon", "2027-03-13 now"}},
		"the best day comes near in the night": {[]morning{{"2027-03-01", "2027-03-13"}, {"2027-03-02", "2027-03-04"}, {"2027-03-03", "2027-03-04"}, {"2027-03-04", "2027-03-04"}, {"2027-03-05", "2027-03-04"}},
			[]string{"2027-03-02 soon", "2027-03-04 now"}},
		"it is here in the night: too late for soon": {[]morning{{"2027-03-01", "2027-03-13"}, {"2027-03-02", "2027-03-02"}, {"2027-03-03", "2027-03-02"}},
			[]string{"2027-03-02 now"}},
		"it was missed, and is still true": {[]morning{{"2027-03-01", "2027-03-13"}, {"2027-03-05", "2027-03-02"}, {"2027-03-06", "2027-03-02"}},
			[]string{"2027-03-05 now"}},
		"it was missed for good": {[]morning{{"2027-03-01", "2027-03-26"}, {"2027-03-14", "2027-03-03"}}, nil},
		"the first edition comes too late": {[]morning{{"2027-03-12", "2027-03-13"}, {"2027-03-13", "2027-03-13"}},
			[]string{"2027-03-12 soon", "2027-03-13 now"}},
		"it is put off after it rang": {[]morning{{"2027-03-10", "2027-03-13"}, {"2027-03-13", "2027-03-13"}, {"2027-03-14", "2027-03-28"}, {"2027-03-25", "2027-03-28"}, {"2027-03-28", "2027-03-28"}},
			[]string{"2027-03-10 soon", "2027-03-13 now"}},
		"it is put off before": {[]morning{{"2027-03-10", "2027-03-13"}, {"2027-03-12", "2027-03-28"}, {"2027-03-25", "2027-03-28"}, {"2027-03-28", "2027-03-28"}, {"2027-03-29", "2027-03-28"}},
			[]string{"2027-03-10 soon", "2027-03-28 now"}},
		"it is called off and comes back": {[]morning{{"2027-03-10", "2027-03-13"}, {"2027-03-11", ""}, {"2027-03-15", "2027-03-28"}, {"2027-03-25", "2027-03-28"}, {"2027-03-28", "2027-03-28"}, {"2027-03-29", "2027-03-28"}},
			[]string{"2027-03-10 soon", "2027-03-28 now"}},
		"called off twice": {[]morning{{"2027-03-10", "2027-03-13"}, {"2027-03-11", ""}, {"2027-03-13", "2027-03-13"}, {"2027-03-14", ""}, {"2027-03-15", "2027-03-28"}, {"2027-03-28", "2027-03-28"}},
			[]string{"2027-03-10 soon", "2027-03-13 now"}},
		"called off on the day that it rings": {[]morning{{"2027-03-10", "2027-03-13"}, {"2027-03-13", ""}, {"2027-03-14", "2027-03-28"}, {"2027-03-28", "2027-03-28"}},
			[]string{"2027-03-10 soon", "2027-03-28 now"}},
		"once a week": {[]morning{{"2027-03-01", "2027-03-13"}, {"2027-03-08", "2027-03-17"}, {"2027-03-15", "2027-03-17"}, {"2027-03-22", "2027-03-30"}},
			[]string{"2027-03-14 soon", "2027-03-17 now"}},
		"once a week, missed": {[]morning{{"2027-03-01", "2027-03-20"}, {"2027-03-08", "2027-03-07"}, {"2027-03-15", "2027-03-07"}},
			[]string{"2027-03-08 now"}},
	} {
		t.Run(name, func(t *testing.T) {
			m := &mornings{t: t}
			for i, at := range row.mornings {
				next := (calendartest.Day(at.asOf) + 7).String()
				if i+1 < len(row.mornings) {
					next = row.mornings[i+1].asOf
				}
				if at.best == "" {
					m.publish(at.asOf, next)
				} else {
					m.publish(at.asOf, next, promised(at.best))
				}
			}
			if !slices.Equal(m.rang, row.want) {
				t.Errorf("found %v to have rung, want %v\n%s", m.rang, row.want, m.data)
			}
		})
	}
}

// An alarm that is more than another takes its place: what was a large run and shrinks does not ring as a small one.
func TestAlarmUnlessMore(t *testing.T) {
	run := func(kind, unless string) *calendar.Entry {
		e := promised("2027-03-13")
		e.Reminders = []calendar.Reminder{{Kind: kind, Unless: unless, Before: 1, On: e.Window.First, Minute: 420, Until: e.Window.Last}}
		return e
	}
	small, large := run("run", "large-run"), run("large-run", "")
	for _, row := range []struct {
		entries [4]*calendar.Entry // of 1 to 4 March; the window begins on the 3rd
		want    []string
	}{
		{[4]*calendar.Entry{small, small, large, large}, []string{"2027-03-02 run", "2027-03-03 large-run"}},
		{[4]*calendar.Entry{large, large, small, small}, []string{"2027-03-02 large-run"}},
		{[4]*calendar.Entry{large, small, large, small}, []string{"2027-03-02 run", "2027-03-03 large-run"}},
		{[4]*calendar.Entry{large, large, small, large}, []string{"2027-03-02 large-run"}},
	} {
		m := &mornings{t: t}
		for i, e := range row.entries {
			day := calendartest.Day("2027-03-01") + civil.Date(i)
			m.publish(day.String(), (day + 1).String(), e)
		}
		if !slices.Equal(m.rang, row.want) {
			t.Errorf("found %v to have rung, want %v\n%s", m.rang, row.want, m.data)
		}
	}
}

// The identifier of an alarm is that of what it rings for, however many stand before it.
func TestAlarmsKeepTheirIdentifiers(t *testing.T) {
	alarms := func(data []byte) map[string]string { // by when they ring
		list := map[string]string{}
		for _, a := range icaltest.Alarms(t, data, promised("2027-03-13").UID) {
			list[a.At.String()] = a.UID
		}
		return list
	}
	m := &mornings{t: t}
	m.publish("2027-02-01", "2027-02-02", promised("2027-03-13"))
	first := alarms(m.data)
	only := promised("2027-03-13")
	only.Reminders = only.Reminders[1:]
	m.publish("2027-02-02", "2027-02-03", only)
	got := alarms(m.data)
	for at, uid := range got {
		if len(got) != 1 || first[at] != uid {
			t.Errorf("found %v, want the identifier of %v", got, first)
		}
	}
	more := promised("2027-03-13")
	more.Reminders = append([]calendar.Reminder{{Kind: "wash", Before: 5, On: more.Best, Minute: 420}}, more.Reminders...)
	m.publish("2027-02-03", "2027-02-04", more)
	got = alarms(m.data)
	seen := map[string]bool{}
	for at, uid := range got {
		if len(got) != 3 || seen[uid] || first[at] != "" && first[at] != uid {
			t.Errorf("found %v, want the identifiers of %v and another", got, first)
		}
		seen[uid] = true
	}
}

// A feed of the version before told no names: its last alarms are the last of today's, and what rang then rings no more.
func TestAlarmsOfTheVersionBefore(t *testing.T) {
	m := &mornings{t: t}
	m.publish("2027-03-08", "2027-03-11", promised("2027-03-13"))
	m.data = asBefore(t, m.data)
	m.publish("2027-03-11", "2027-03-12", promised("2027-03-13"))
	m.publish("2027-03-12", "2027-03-13", promised("2027-03-15"))
	for _, day := range []string{"2027-03-13", "2027-03-14", "2027-03-15", "2027-03-16"} {
		m.publish(day, (calendartest.Day(day) + 1).String(), promised("2027-03-15"))
	}
	if want := []string{"2027-03-10 soon", "2027-03-15 now"}; !slices.Equal(m.rang, want) {
		t.Errorf("found %v to have rung, want %v\n%s", m.rang, want, m.data)
	}
}

// asBefore returns a feed of one event as the version before wrote it: without facts, and with all alarms in the event,
// also those after its start.
func asBefore(t testing.TB, data []byte) []byte {
	t.Helper()
	event := entriesOf(t, data)[0]
	begins, err := event.Props.Get("DTSTART").DateTime(time.UTC)
	if err != nil {
		t.Fatal(err)
	}
	text := regexp.MustCompile(`X-TREEWHEN-FACTS[^\r]*\r\n( [^\r]*\r\n)*`).ReplaceAllString(string(data), "")
	text = regexp.MustCompile(`(?s)BEGIN:VALARM.*?END:VALARM\r\n`).ReplaceAllString(text, "")
	text = regexp.MustCompile(`(?s)BEGIN:VTIMEZONE.*?END:VTIMEZONE\r\n`).ReplaceAllString(text, "")
	first, _, _ := strings.Cut(text, "END:VEVENT\r\n")
	for _, a := range icaltest.Alarms(t, data, event.Props.Get("UID").Value) {
		after := a.At.Sub(begins)
		sign := ""
		if after < 0 {
			sign, after = "-", -after
		}
		first += fmt.Sprintf("BEGIN:VALARM\r\nUID:%s\r\nACTION:DISPLAY\r\nTRIGGER:%sPT%dM\r\nDESCRIPTION:%s\r\nEND:VALARM\r\n",
			a.UID, sign, int(after.Minutes()), strings.ReplaceAll(a.Text, ",", `\,`))
	}
	return []byte(first + "END:VEVENT\r\nEND:VCALENDAR\r\n")
}

// Where a zone has no name, hours are written as moments; alarms stay where they are by the clocks of the site.
func TestAlarmsOfZoneWithoutAName(t *testing.T) {
	e := tripAt(time.FixedZone("Camp time", 12*3600+45*60), calendartest.Day("2027-05-03"))
	first := icaltest.Render(t, icaltest.Feed("2027-04-20", e))
	triggers := lines(t, first, "TRIGGER")[e.UID]
	if len(triggers) == 0 {
		t.Fatal("found no alarm")
	}
	last := first
	for asOf := calendartest.Day("2027-04-21"); asOf <= calendartest.Day("2027-05-03"); asOf++ {
		last, _ = revise(t, last, icaltest.Feed(asOf.String(), e))
		if got := lines(t, last, "TRIGGER")[e.UID]; !slices.Equal(got, triggers) {
			t.Fatalf("%s: found %v, want %v", asOf, got, triggers)
		}
		if got := lines(t, last, "SEQUENCE")[e.UID]; got[0] != "SEQUENCE:0" {
			t.Fatalf("%s: found %v", asOf, got)
		}
	}
}

// TestAlarmsProperty lets a best day wander, the event come and go and mornings be left out: nothing rings twice, and who
// is told that the day has come is told on a day on which it has.
func TestAlarmsProperty(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		today, best := calendartest.Day("2027-02-20"), calendartest.Day("2027-03-13")
		var data []byte
		rang := map[string]civil.Date{}
		for range rapid.IntRange(2, 30).Draw(t, "mornings") {
			step := civil.Date(rapid.SampledFrom([]int{1, 1, 1, 2, 7}).Draw(t, "days"))
			best += civil.Date(rapid.SampledFrom([]int{0, 0, 0, 1, -1, 3, -6, 12}).Draw(t, "move"))
			f := icaltest.Feed(today.String())
			e := promised(best.String())
			if rapid.IntRange(0, 5).Draw(t, "expected") > 0 && e.Window.Last >= today {
				f.Entries = append(f.Entries, e)
			}
			if data != nil {
				p, err := ical.ReadPrevious(bytes.NewReader(data))
				if err != nil {
					t.Fatal(err)
				}
				f.Previous = p
			}
			known := rawEventsOf(data)[e.UID] != nil
			out, _, err := ical.RenderICS(f)
			if err != nil {
				t.Fatal(err)
			}
			data = out
			for day := today; day < today+step && rawEventsOf(data)[e.UID] != nil; day++ {
				for _, kind := range rungOn(nopTB{}, data, e.UID, day) {
					if before, ok := rang[kind]; ok {
						t.Fatalf("found %q to ring on %s and on %s\n%s", kind, before, day, data)
					}
					rang[kind] = day
					if len(f.Entries) > 0 && day == today && (kind == "now" && day < best || kind == "soon" && (day >= best || day < best-3)) {
						t.Fatalf("found %q to ring on %s for %s\n%s", kind, day, best, data)
					}
				}
			}
			if _, ok := rang["now"]; known && len(f.Entries) > 0 && best <= today && !ok {
				t.Fatalf("found nothing to have rung by %s for %s\n%s", today, best, data)
			}
			today += step
			if data != nil && rawEventsOf(data)[e.UID] == nil {
				clear(rang) // forgotten, a fortnight after it was cancelled or a year after it was over
			}
		}
	})
}

// Feeds by hand: whatever is accepted can be built upon.
func TestAlarmsByHand(t *testing.T) {
	m := &mornings{t: t}
	m.publish("2027-02-01", "2027-02-02", promised("2027-03-13"))
	whole := strings.ReplaceAll(string(m.data), "\r\n ", "")
	accepted := 0
	for _, edit := range [][2]string{
		{"rings=soon+now", "rings=now+soon"}, {"rings=soon+now", "rings=soon"}, {"rings=soon+now", "rings=" + strings.Repeat("a+", 50) + "b"},
		{"rings=soon+now", "rings=soon+soon"}, {"rings=soon+now", "rings="}, {"rings=soon+now", "rings=soon+now|rang=soon"},
		{"rings=soon+now", "rings=soon+now|rang=never"}, {"rings=soon+now", "rang=now"}, {"rings=soon+now", "rings=soon+now|as-of=20270230"},
		{"rings=soon+now", "rings=soon+now|as-of=99980101"}, {"rings=soon+now", "rings=soon+now|as-of=00010101"}, {"rings=soon+now", "colour=green"},
		{"TRIGGER:", "TRIGGER:-"}, {"TRIGGER:P", "TRIGGER:-P"}, {"TRIGGER:P", "TRIGGER:P9999W\r\nX-OLD:P"}, {"TRIGGER:P", "TRIGGER:+P"},
		{"TRIGGER:", "TRIGGER;VALUE=DATE-TIME:20270301T000000Z\r\nX-OLD:"}, {"TRIGGER:", "TRIGGER;RELATED=END:"},
		{"BEGIN:VALARM\r\nUID:", "BEGIN:VALARM\r\nX-UID:"},
	} {
		data := strings.Replace(whole, edit[0], edit[1], 1)
		if data == whole {
			t.Fatalf("%q is not in\n%s", edit[0], whole)
		}
		if builtUpon(t, []byte(regexp.MustCompile(`.{74}`).ReplaceAllString(data, "$0\r\n "))) { // folded

			accepted++
		}
	}
	if accepted < 8 {
		t.Errorf("found %d feeds accepted, want most", accepted)
	}
}
