package alerts_test

import (
	"bytes"
	"flag"
	"slices"
	"strings"
	"testing"
	"time"

	"treewhen/calendar"
	"treewhen/calendar/alerts"
	"treewhen/calendar/calendartest"
	"treewhen/calendar/planfile"
	"treewhen/calendar/tapping"
	"treewhen/phenology/civil"
)

// entry is a window of invented work at a place in Toronto's zone, which rings on a day at 07:00.
func entry(kind, on string, until civil.Date) *calendar.Entry {
	site := *calendartest.Sugarbush()
	site.Zone = calendartest.Zone("America/Toronto")
	day := calendartest.Day(on)
	return &calendar.Entry{
		UID:      calendar.UID(calendartest.FeedID, site.ID, calendar.Tapping, nil, calendar.TaskTap, 2027),
		Activity: calendar.Tapping, Task: calendar.TaskTap, Site: &site,
		Window: civil.Span{First: day, Last: day + 10}, Best: day,
		Reminders: []calendar.Reminder{{Kind: kind, On: day, Minute: 7 * 60, Until: until}},
	}
}

// recipients reads who a plan tells, as a plan says it.
func recipients(t testing.TB, list string) []*planfile.Recipient {
	t.Helper()
	p, err := planfile.Read(strings.NewReader(`title: Told
alerts:
  mail: {server: smtp.example.org, from: bush@example.org}
  to: `+list+`
sites: [{id: fallow-creek, latitude: 44, longitude: -89, elevation: 350 m, timezone: America/Chicago}]
`), "plan.yaml")
	if err != nil {
		t.Fatal(err)
	}
	return p.Alerts.To
}

const crew = `[{mail: crew@example.org}]`

func TestDue(t *testing.T) {
	day := calendartest.Day
	for name, row := range map[string]struct {
		entry       *calendar.Entry
		from, until string // the days on which it is due; "" for none
	}{
		"on its day alone":         {entry("soon", "2027-03-10", 0), "2027-03-10", "2027-03-10"},
		"as long as it is of use":  {entry("now", "2027-03-10", day("2027-03-13")), "2027-03-10", "2027-03-13"},
		"of use for less than its": {entry("now", "2027-03-10", day("2027-03-01")), "2027-03-10", "2027-03-10"},
		"days before what it tells of": {func() *calendar.Entry {
			e := entry("", "2027-03-10", 0)
			e.Reminders[0].Before = 3
			return e
		}(), "2027-03-07", "2027-03-10"},
		"it is done": {func() *calendar.Entry {
			e := entry("now", "2027-03-10", 0)
			e.State = calendar.Done
			return e
		}(), "", ""},
	} {
		var found []civil.Date
		for d := day("2027-03-01"); d <= day("2027-03-31"); d++ {
			if len(alerts.Due(d, []*calendar.Entry{row.entry})) > 0 {
				found = append(found, d)
			}
		}
		switch {
		case row.from == "" && len(found) > 0,
			row.from != "" && (len(found) == 0 || found[0] != day(row.from) || found[len(found)-1] != day(row.until)):
			t.Errorf("%s: found it due on %v, want from %s to %s", name, found, row.from, row.until)
		}
	}
}

// live puts an alert into a box on every day, looks at it every quarter of an hour, and returns when it was sent. Tries of
// which fails says so do not succeed. Every day the box is made anew from what it has remembered.
func live(
	t testing.TB, to []*planfile.Recipient, first, last string, due func(civil.Date) []*calendar.Entry,
	fails func(try int, at time.Time) bool,
) (sent []string, box *alerts.Box) {
	t.Helper()
	zone := calendartest.Zone("America/Toronto")
	var memory []alerts.Record
	try := 0
	for d := calendartest.Day(first); d <= calendartest.Day(last); d++ {
		box = alerts.NewBox(calendartest.FeedID, to, memory)
		y, m, dd := d.Date()
		at := time.Date(y, m, dd, 0, 0, 0, 0, zone)
		box.Put(alerts.Due(d, due(d)), at, d, true)
		for ; civil.FromTime(at) == d; at = at.Add(15 * time.Minute) {
			for _, j := range box.Ready(at) {
				try++
				if fails != nil && fails(try, at) {
					box.Failed(j, at)
					continue
				}
				box.Told(j, at)
				sent = append(sent, at.Format("2006-01-02 15:04 ")+j.Reminder().Kind)
			}
		}
		var b bytes.Buffer
		if err := box.WriteMemory(&b); err != nil {
			t.Fatal(err)
		}
		var err error
		if memory, err = alerts.ReadMemory(bytes.NewReader(b.Bytes())); err != nil {
			t.Fatal(err)
		}
	}
	return sent, box
}

func TestBoxTellsOnceWhileItIsOfUse(t *testing.T) {
	day := calendartest.Day
	always := func(e *calendar.Entry) func(civil.Date) []*calendar.Entry {
		return func(civil.Date) []*calendar.Entry { return []*calendar.Entry{e} }
	}
	now := entry("now", "2027-03-10", day("2027-03-13"))
	sized := func(kind, unless string, size tapping.RunSize) *calendar.Entry {
		e := entry(kind, "2027-03-10", day("2027-03-13"))
		e.Reminders[0].Unless = unless
		e.Facts = &tapping.RunFacts{Run: tapping.Run{Size: size}}
		return e
	}
	growing := func(d civil.Date) []*calendar.Entry {
		if d < day("2027-03-12") {
			return []*calendar.Entry{sized("run", "large-run", tapping.SizeSmall)}
		}
		return []*calendar.Entry{sized("large-run", "", tapping.SizeMiddling)}
	}
	shrinking := func(d civil.Date) []*calendar.Entry {
		if d < day("2027-03-12") {
			return []*calendar.Entry{sized("large-run", "", tapping.SizeMiddling)}
		}
		return []*calendar.Entry{sized("run", "large-run", tapping.SizeSmall)}
	}
	forHours := func(from, to string) func(int, time.Time) bool {
		return func(_ int, at time.Time) bool {
			text := at.Format("2006-01-02 15:04")
			return from <= text && text < to
		}
	}
	for name, row := range map[string]struct {
		to    string
		due   func(civil.Date) []*calendar.Entry
		fails func(int, time.Time) bool
		want  []string
	}{
		"at its hour": {to: crew, due: always(now), want: []string{"2027-03-10 07:00 now"}},
		"to two":      {to: `[{mail: a@example.org}, {mail: b@example.org}]`, due: always(now), want: []string{"2027-03-10 07:00 now", "2027-03-10 07:00 now"}},
		"to one who stands there twice": {to: `[{mail: a@example.org, quiet: "06:00/08:00"}, {mail: a@example.org}]`, due: always(now),
			want: []string{"2027-03-10 07:00 now"}},
		"of another activity":  {to: `[{mail: a@example.org, activities: [field-trip]}]`, due: always(now)},
		"of another site":      {to: `[{mail: a@example.org, sites: [elsewhere]}]`, due: always(now)},
		"in quiet hours":       {to: `[{mail: a@example.org, quiet: "06:30/09:15"}]`, due: always(now), want: []string{"2027-03-10 09:15 now"}},
		"in a quiet night":     {to: `[{mail: a@example.org, quiet: "20:00/07:30"}]`, due: always(now), want: []string{"2027-03-10 07:30 now"}},
		"quiet to the evening": {to: `[{mail: a@example.org, quiet: "05:00/23:00"}]`, due: always(now), want: []string{"2027-03-10 23:00 now"}},
		"it comes to be known in the night": {to: `[{mail: a@example.org, quiet: "20:00/06:00"}]`, want: []string{"2027-03-12 06:00 now"},
			due: func(d civil.Date) []*calendar.Entry {
				if d < day("2027-03-12") {
					return nil
				}
				return []*calendar.Entry{now}
			}},
		"the server is down for a day": {to: crew, due: always(now), fails: forHours("2027-03-10", "2027-03-11 06:20"), want: []string{"2027-03-11 07:15 now"}},
		// A minute, two, four and so on: looked at every quarter of an hour.
		"three tries fail":               {to: crew, due: always(now), fails: func(try int, _ time.Time) bool { return try <= 3 }, want: []string{"2027-03-10 07:45 now"}},
		"it fails until it is of no use": {to: crew, due: always(now), fails: forHours("2027-03-10", "2027-03-14")},
		"it is not so any more": {to: crew, fails: forHours("2027-03-10", "2027-03-11"),
			due: func(d civil.Date) []*calendar.Entry {
				if d == day("2027-03-11") {
					return nil
				}
				return []*calendar.Entry{now}
			}, want: []string{"2027-03-12 00:00 now"}},
		"put off after it was told": {to: crew, want: []string{"2027-03-10 07:00 now"},
			due: func(d civil.Date) []*calendar.Entry {
				if d > day("2027-03-10") {
					return []*calendar.Entry{entry("now", "2027-03-20", day("2027-03-25"))}
				}
				return []*calendar.Entry{now}
			}},
		"missed, and then put off": {to: crew, fails: forHours("2027-03-10", "2027-03-14"), want: []string{"2027-03-20 07:00 now"},
			due: func(d civil.Date) []*calendar.Entry {
				if d > day("2027-03-14") {
					return []*calendar.Entry{entry("now", "2027-03-20", day("2027-03-25"))}
				}
				return []*calendar.Entry{now}
			}},
		"a small run grows":              {to: crew, due: growing, want: []string{"2027-03-10 07:00 run", "2027-03-12 00:00 large-run"}},
		"a large run shrinks":            {to: crew, due: shrinking, want: []string{"2027-03-10 07:00 large-run"}},
		"a small run, to who wants less": {to: `[{mail: a@example.org, runs: middling}]`, due: growing, want: []string{"2027-03-12 00:00 large-run"}},
		"none, to who wants large ones":  {to: `[{mail: a@example.org, runs: large}]`, due: growing},
		"a run of a size that nobody knows": {to: `[{mail: a@example.org, runs: large}]`, due: always(sized("run", "large-run", tapping.SizeUnknown)),
			want: []string{"2027-03-10 07:00 run"}},
	} {
		sent, box := live(t, recipients(t, row.to), "2027-03-01", "2027-03-26", row.due, row.fails)
		if !slices.Equal(sent, row.want) {
			t.Errorf("%s: found %v, want %v", name, sent, row.want)
		}
		if n := box.Held(calendartest.Day("2027-03-26").Time()); n != 0 {
			t.Errorf("%s: found %d held, want none", name, n)
		}
	}
}

// What fails is told of until it succeeds, and, where it came to nothing, for a week.
func TestTrouble(t *testing.T) {
	now := entry("now", "2027-03-10", calendartest.Day("2027-03-13"))
	due := func(civil.Date) []*calendar.Entry { return []*calendar.Entry{now} }
	never := func(int, time.Time) bool { return true }
	for _, row := range []struct {
		last  string
		fails func(int, time.Time) bool
		want  alerts.Trouble
	}{
		{"2027-03-09", never, alerts.Trouble{}},
		{"2027-03-10", never, alerts.Trouble{Failing: 1}},
		{"2027-03-13", never, alerts.Trouble{Failing: 1}},
		{"2027-03-14", never, alerts.Trouble{Missed: 1}},
		{"2027-03-20", never, alerts.Trouble{Missed: 1}},
		{"2027-03-22", never, alerts.Trouble{}},
		{"2027-03-12", func(try int, _ time.Time) bool { return try < 3 }, alerts.Trouble{}},
	} {
		_, box := live(t, recipients(t, crew), "2027-03-01", row.last, due, row.fails)
		got := box.Trouble((calendartest.Day(row.last) + 1).Time())
		if (got.Since != nil) != row.want.Any() {
			t.Errorf("%s: found since %v", row.last, got.Since)
		}
		if got.Since = nil; got != row.want {
			t.Errorf("%s: found %+v, want %+v", row.last, got, row.want)
		}
	}
}

// The file has neither an address nor a word of what was told; one that is no memory is refused.
func TestMemory(t *testing.T) {
	now := entry("now", "2027-03-10", calendartest.Day("2027-03-13"))
	_, box := live(t, recipients(t, `[{mail: Crew <crew@example.org>}, {post: "https://push.example.org/secret-bush"}]`), "2027-03-10", "2027-03-11",
		func(civil.Date) []*calendar.Entry { return []*calendar.Entry{now} }, func(try int, _ time.Time) bool { return try%2 == 0 })
	var b bytes.Buffer
	if err := box.WriteMemory(&b); err != nil {
		t.Fatal(err)
	}
	for _, kept := range []string{"example.org", "crew", "secret", "fallow", "Fallow", "ap now", "44."} {
		if strings.Contains(b.String(), kept) {
			t.Errorf("found %q in\n%s", kept, b.String())
		}
	}
	if n := strings.Count(b.String(), `"told"`); n != 2 {
		t.Errorf("found %d told, want 2:\n%s", n, b.String())
	}
	for _, wrong := range []string{"{}", "[]", "x", `{"version":2,"alerts":[]}`, `{"version":1,"alerts":[{"alert":"a","to":"b"}]}`, b.String() + b.String(), b.String()[:40]} {
		if _, err := alerts.ReadMemory(strings.NewReader(wrong)); err == nil {
			t.Errorf("%.40q was read", wrong)
		}
	}
	if memory, err := alerts.ReadMemory(strings.NewReader("")); err != nil || memory != nil {
		t.Errorf("found %v, %v in nothing", memory, err)
	}
}

// FuzzReadMemory reads any bytes: what is read is written again as what is read.
func FuzzReadMemory(f *testing.F) {
	flag.Set("test.fuzzminimizetime", "10x") // by default, a minute goes into each find and stops all else
	f.Add([]byte(`{"version":1,"alerts":[{"alert":"6f9619ff-8b86-4d11-b42d-00c04fc964ff","to":"6f9619ff-8b86-4d11-b42d-00c04fc964fe","until":"2027-03-13","tries":2,"next":"2027-03-10T07:00:00Z"}]}`))
	f.Add([]byte(`{"version":1,"alerts":[]}`))
	f.Add([]byte(`{"version":1}{`))
	f.Fuzz(func(t *testing.T, data []byte) {
		memory, err := alerts.ReadMemory(bytes.NewReader(data))
		if err != nil {
			return
		}
		var first, second bytes.Buffer
		box := alerts.NewBox(calendartest.FeedID, nil, memory)
		if err := box.WriteMemory(&first); err != nil {
			t.Skip(err) // a time that JSON cannot have
		}
		if memory, err = alerts.ReadMemory(bytes.NewReader(first.Bytes())); err != nil {
			t.Fatal(err)
		}
		if err := alerts.NewBox(calendartest.FeedID, nil, memory).WriteMemory(&second); err != nil || second.String() != first.String() {
			t.Fatalf("%v\n%s\n%s", err, first.String(), second.String())
		}
	})
}
