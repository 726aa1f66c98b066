package ical_test

import (
	"bytes"
	"errors"
	"flag"
	"fmt"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"testing"
	"time"

	goical "github.com/emersion/go-ical"
	"pgregory.net/rapid"

	"treewhen/calendar"
	"treewhen/calendar/calendartest"
	"treewhen/calendar/ical"
	"treewhen/calendar/ical/icaltest"
	"treewhen/calendar/icslint"
	"treewhen/calendar/phrase"
	"treewhen/calendar/words"
	"treewhen/phenology"
	"treewhen/phenology/civil"
	"treewhen/phenology/problem"
)

func previous(t testing.TB, data []byte) *ical.Previous {
	t.Helper()
	p, err := ical.ReadPrevious(bytes.NewReader(data))
	if err != nil {
		t.Fatalf("our own feed was refused: %v\n%s", err, data)
	}
	return p
}

// with returns a copy of e that is changed.
func with(e *calendar.Entry, change func(*calendar.Entry)) *calendar.Entry {
	c := *e
	change(&c)
	return &c
}

// saying returns a copy of e that says something else.
func saying(e *calendar.Entry, change func(*words.Text)) *calendar.Entry {
	return icaltest.Said(with(e, func(*calendar.Entry) {}), change)
}

func fact(name string, value any) calendar.Fact { return calendar.Fact{Name: name, Value: value} }

// run is one publication of a feed and what the tap event in it must then be.
type run struct {
	asOf    string
	entries []*calendar.Entry
	head    func(*ical.Feed)

	same     bool // the file is the one before, byte for byte
	kept     bool // the event's bytes are those of the run before
	gone     bool // there is no event
	status   string
	sequence string
	start    string // DTSTART
	stamp    string // DTSTAMP
	changes  ical.Changes
}

func TestRevisions(t *testing.T) {
	tap := icaltest.TapEntry("2027-03-10", "2027-03-20")
	moved := func(days civil.Date) *calendar.Entry {
		e := icaltest.TapEntry("2027-03-10", "2027-03-20")
		return icaltest.TapEntry((e.Window.First + days).String(), (e.Window.Last + days).String())
	}
	list := func(e ...*calendar.Entry) []*calendar.Entry { return e }
	first := run{asOf: "2027-02-01", entries: list(tap), status: "TENTATIVE", sequence: "0", start: "20270310", stamp: "20270201T000000Z",
		changes: ical.Changes{Added: 1}}
	unchanged := run{asOf: "2027-02-02", entries: list(tap), same: true, changes: ical.Changes{Kept: 1}}
	revised := func(asOf string, e *calendar.Entry, start string) run {
		return run{asOf: asOf, entries: list(e), status: "TENTATIVE", sequence: "1", start: start,
			stamp: strings.ReplaceAll(asOf, "-", "") + "T000000Z", changes: ical.Changes{Revised: 1}}
	}
	reworded := func(asOf string, e *calendar.Entry) run {
		r := revised(asOf, e, "20270310")
		r.sequence, r.changes = "0", ical.Changes{Reworded: 1}
		return r
	}
	told := func(facts ...calendar.Fact) *calendar.Entry {
		return with(tap, func(e *calendar.Entry) { tells(e, facts...) })
	}
	toldFirst := func(facts ...calendar.Fact) run {
		r := first
		r.entries = list(told(facts...))
		return r
	}
	kept := func(asOf string, e *calendar.Entry) run {
		return run{asOf: asOf, entries: list(e), same: true, changes: ical.Changes{Kept: 1}}
	}
	chance := func(p float64) *calendar.Entry { return with(tap, func(e *calendar.Entry) { e.Probability = p }) }
	warned := func(p float64) *calendar.Entry {
		return saying(chance(p), func(t *words.Text) { t.Care += ", ice underfoot" })
	}

	revisedTwice := func(asOf string, e *calendar.Entry) run {
		r := revised(asOf, e, "20270310")
		r.sequence = "2"
		return r
	}
	cancelled := run{asOf: "2027-02-05", status: "CANCELLED", sequence: "1", start: "20270310", stamp: "20270205T000000Z",
		changes: ical.Changes{Cancelled: 1}}

	for name, runs := range map[string][]run{
		"nothing changes":  {first, unchanged, {asOf: "2027-03-15", entries: list(tap), same: true, changes: ical.Changes{Kept: 1}}},
		"the window moves": {first, revised("2027-02-05", moved(9), "20270319"), kept("2027-02-06", moved(9))},
		"some days off, far ahead, with all that follows the season": {first, {asOf: "2027-02-05", same: true, changes: ical.Changes{Kept: 1},
			entries: list(saying(with(moved(8), func(e *calendar.Entry) { e.Probability = 0.66 }), func(t *words.Text) {
				t.Basis, t.Reasons = "this season's temperatures to 4 Feb, then 14 past years", []string{"Another reason"}
			}))}},
		// A day 26 days ahead may be off by 3, one 28 by 4, one 36 by 5; by twice that within a week of the last revision.
		"three days off":                     {first, kept("2027-02-12", moved(3))},
		"four days off":                      {first, revised("2027-02-12", moved(4), "20270314")},
		"four days early":                    {first, revised("2027-02-12", moved(-4), "20270306")},
		"nine days early, within the week":   {first, revised("2027-02-05", moved(-9), "20270301")},
		"four days off, the week being over": {first, kept("2027-02-07", moved(4)), revised("2027-02-08", moved(5), "20270315"), kept("2027-02-14", moved(10))},
		"five days off at one end":           {first, kept("2027-02-12", with(tap, func(e *calendar.Entry) { e.Window.Last += 5 }))},
		"six days off at one end":            {first, revised("2027-02-12", with(tap, func(e *calendar.Entry) { e.Window.Last += 6 }), "20270310")},
		"the best day moves":                 {first, kept("2027-02-12", with(tap, func(e *calendar.Entry) { e.Best += 4 }))},
		"only the best day moves far":        {first, revised("2027-02-12", with(tap, func(e *calendar.Entry) { e.Best += 5 }), "20270310")},
		"three days and another day":         {first, kept("2027-02-12", moved(3)), revised("2027-02-13", moved(4), "20270314")},
		"to and fro":                         {first, kept("2027-02-12", moved(3)), kept("2027-02-13", moved(-3)), kept("2027-02-14", moved(3)), kept("2027-02-15", tap)},
		"two days off, fifteen days ahead":   {first, kept("2027-02-23", moved(2))},
		"three days off, fifteen days ahead": {first, revised("2027-02-23", moved(3), "20270313")},
		"three days off, fourteen ahead":     {first, revised("2027-02-24", moved(3), "20270313")},
		"two days off, fourteen ahead":       {first, reworded("2027-02-24", moved(2))},
		"two days early, into the fortnight": {first, revised("2027-02-23", moved(-2), "20270308")},
		"a day off, four days ahead":         {first, kept("2027-03-06", moved(1))}, // its alarm has rung, with the day of then
		"two days off, four days ahead":      {first, revised("2027-03-06", moved(2), "20270312")},
		"it began a week before":             {first, kept("2027-03-15", with(tap, func(e *calendar.Entry) { e.Window.First -= 7 }))},
		"it began more than that before":     {first, revised("2027-03-15", with(tap, func(e *calendar.Entry) { e.Window.First -= 8 }), "20270302")},
		"it is to begin, and had begun":      {first, revised("2027-03-11", icaltest.TapEntry("2027-03-13", "2027-03-20"), "20270313")},
		"it has begun, and was to begin":     {first, revised("2027-03-08", with(tap, func(e *calendar.Entry) { e.Window.First -= 4 }), "20270306")},
		"other words, fourteen ahead":        {first, reworded("2027-02-24", saying(tap, func(t *words.Text) { t.Basis = "15 past years" }))},
		"less sure in words":                 {first, revised("2027-02-08", with(tap, func(e *calendar.Entry) { e.Probability = 0.5 }), "20270310")},
		"a new caution":                      {first, reworded("2027-02-05", saying(tap, func(t *words.Text) { t.Care += ", ice underfoot" }))},
		"no caution":                         {first, reworded("2027-02-05", saying(tap, func(t *words.Text) { t.Care = "" }))},
		"other signs and sources":            {first, kept("2027-02-05", saying(tap, func(t *words.Text) { t.LookFor, t.Sources = nil, nil }))},
		"a day off and a new caution": {first, reworded("2027-02-05", saying(moved(1), func(t *words.Text) { t.Care = "ice underfoot" })),
			kept("2027-02-06", saying(moved(-1), func(t *words.Text) { t.Care = "ice underfoot" }))},
		"a tenth less sure, far ahead":       {first, kept("2027-02-08", chance(0.62)), kept("2027-02-09", chance(0.82))},
		"more than a tenth less sure":        {first, revised("2027-02-08", chance(0.61), "20270310")},
		"less sure than that, in the week":   {first, kept("2027-02-07", chance(0.2)), revised("2027-02-08", chance(0.61), "20270310")},
		"surer, a week after it was revised": {first, revised("2027-02-12", chance(0.61), "20270310"), kept("2027-02-18", chance(0.9)), revisedTwice("2027-02-19", chance(0.9))},
		// Other words in between begin no other week.
		"less sure, and reworded since":     {first, reworded("2027-02-05", warned(0.72)), kept("2027-02-07", warned(0.5)), revised("2027-02-08", warned(0.5), "20270310")},
		"a new caution, and less sure":      {first, reworded("2027-02-07", warned(0.5)), revised("2027-02-08", warned(0.5), "20270310")},
		"another scale of words passed":     {first, kept("2027-02-05", chance(0.8))}, // "very likely" begins there
		"a tenth less sure, soon":           {first, kept("2027-02-24", chance(0.62))},
		"more than a tenth less sure, soon": {first, revised("2027-02-24", chance(0.61), "20270310")},
		"the advice is other":               {toldFirst(fact("advice", "wait")), revised("2027-02-05", told(fact("advice", "tap-now")), "20270310")},
		"the advice has gone":               {toldFirst(fact("advice", "wait")), revised("2027-02-05", told(), "20270310")},
		"an advice has come":                {first, revised("2027-02-05", told(fact("advice", "wait")), "20270310")},
		"a day of the essence, one off": {toldFirst(fact("visit", tap.Best)), kept("2027-02-05", told(fact("visit", tap.Best+1))),
			revised("2027-02-24", told(fact("visit", tap.Best+1)), "20270310")},
		"a day of the essence, two off": {toldFirst(fact("visit", tap.Best)), revised("2027-02-05", told(fact("visit", tap.Best+2)), "20270310")},
		"a chance of the essence, far ahead": {toldFirst(fact("keys", calendar.Chance(0.5))), kept("2027-02-05", told(fact("keys", calendar.Chance(0.6)))),
			revised("2027-02-06", told(fact("keys", calendar.Chance(0.61))), "20270310")},
		"a chance of the essence, soon": {toldFirst(fact("keys", calendar.Chance(0.5))), kept("2027-02-24", told(fact("keys", calendar.Chance(0.55)))),
			revised("2027-02-25", told(fact("keys", calendar.Chance(0.56))), "20270310")},
		"a chance that is told no more": {toldFirst(fact("keys", calendar.Chance(0.29))), kept("2027-02-05", told())},
		"a chance that ought to be told": {first, kept("2027-02-05", told(fact("keys", calendar.Chance(0.29)))),
			revised("2027-02-06", told(fact("keys", calendar.Chance(0.3))), "20270310")},
		"half a unit, and more": {toldFirst(fact("expect", calendar.Amount(2))), kept("2027-02-05", told(fact("expect", calendar.Amount(2.5)))),
			revised("2027-02-06", told(fact("expect", calendar.Amount(2.6))), "20270310")},
		"yes and no":                       {toldFirst(fact("ice", false)), revised("2027-02-05", told(fact("ice", true)), "20270310")},
		"booked":                           {first, {asOf: "2027-02-05", entries: list(with(tap, func(e *calendar.Entry) { e.State = calendar.Booked })), status: "CONFIRMED", sequence: "1", start: "20270310", stamp: "20270205T000000Z", changes: ical.Changes{Revised: 1}}},
		"hours of the best day":            {first, revised("2027-02-05", with(tap, func(e *calendar.Entry) { e.Hours = calendar.Hours{Start: 540, End: 690} }), "20270310")},
		"a reminder moves":                 {first, revised("2027-02-05", with(tap, func(e *calendar.Entry) { e.Reminders = []calendar.Reminder{e.Reminders[1], e.Reminders[0]} }), "20270310")},
		"a reminder goes":                  {first, revised("2027-02-05", with(tap, func(e *calendar.Entry) { e.Reminders = e.Reminders[:1] }), "20270310")},
		"the site has another name":        {first, revised("2027-02-05", with(tap, func(e *calendar.Entry) { s := *e.Site; s.Name = "Ridge"; e.Site = &s }), "20270310")},
		"the summary is other":             {first, reworded("2027-02-05", saying(tap, func(t *words.Text) { t.Summary = "Tap red maple" }))},
		"it follows from something":        {first, revised("2027-02-05", with(tap, func(e *calendar.Entry) { e.After = []string{calendartest.FeedID.String()} }), "20270310")},
		"twice on one day":                 {first, {asOf: "2027-02-01", entries: list(moved(11)), status: "TENTATIVE", sequence: "1", start: "20270321", stamp: "20270201T000001Z", changes: ical.Changes{Revised: 1}}},
		"today is taken as an earlier day": {first, {asOf: "2027-01-15", entries: list(moved(15)), status: "TENTATIVE", sequence: "1", start: "20270325", stamp: "20270201T000001Z", changes: ical.Changes{Revised: 1}}},
		"settled": {first, {asOf: "2027-03-11", status: "CONFIRMED", sequence: "1", start: "20270310", stamp: "20270311T000000Z", changes: ical.Changes{Revised: 1},
			entries: list(with(tap, func(e *calendar.Entry) { e.Settled, e.Rests.Basis = true, phenology.BasisReached }))}},
		"cancelled, then dropped": {first, cancelled,
			{asOf: "2027-02-06", same: true, changes: ical.Changes{Kept: 1}},
			{asOf: "2027-02-19", same: true, changes: ical.Changes{Kept: 1}},
			{asOf: "2027-02-20", gone: true, changes: ical.Changes{Dropped: 1}},
			{asOf: "2027-02-21", same: true, gone: true}},
		"cancelled and expected again": {first, cancelled,
			{asOf: "2027-02-07", entries: list(tap), status: "TENTATIVE", sequence: "2", start: "20270310", stamp: "20270207T000000Z", changes: ical.Changes{Revised: 1}}},
		"over and no longer scheduled": {first,
			{asOf: "2027-03-21", same: true, changes: ical.Changes{Kept: 1}},
			{asOf: "2028-03-20", same: true, changes: ical.Changes{Kept: 1}},
			{asOf: "2028-03-21", gone: true, changes: ical.Changes{Dropped: 1}}},
		"the last day is not over":  {first, {asOf: "2027-03-20", status: "CANCELLED", sequence: "1", start: "20270310", stamp: "20270320T000000Z", changes: ical.Changes{Cancelled: 1}}},
		"over, with other words":    {first, {asOf: "2027-03-21", same: true, entries: list(saying(moved(-3), func(t *words.Text) { t.Basis = "you saw it" })), changes: ical.Changes{Kept: 1}}},
		"over, but it comes late":   {first, revised("2027-03-21", moved(14), "20270324")},
		"the feed has another name": {first, {asOf: "2027-02-05", entries: list(tap), head: func(f *ical.Feed) { f.Name = "Ridge" }, kept: true, changes: ical.Changes{Kept: 1}}},
		"another event joins":       {first, {asOf: "2027-02-05", entries: list(tap, icaltest.GatherEntry("2027-03-12", "2027-04-20")), kept: true, changes: ical.Changes{Added: 1, Kept: 1}}},
	} {
		t.Run(name, func(t *testing.T) {
			var last []byte
			for i, r := range runs {
				f := icaltest.Feed(r.asOf, r.entries...)
				if r.head != nil {
					r.head(&f)
				}
				if last != nil {
					f.Previous = previous(t, last)
				}
				data, changes, err := ical.RenderICS(f)
				if err != nil {
					t.Fatal(err)
				}
				icaltest.LintClean(t, data)
				if changes != r.changes {
					t.Errorf("run %d: found %+v, want %+v", i, changes, r.changes)
				}
				if same := bytes.Equal(data, last); same != r.same {
					t.Errorf("run %d: found the same file: %v, want %v\n%s", i, same, r.same, data)
				}
				raw, ok := rawEvents(t, data)[tap.UID]
				switch {
				case ok == r.gone:
					t.Fatalf("run %d: found the event: %v, want %v", i, ok, !r.gone)
				case r.kept || r.same:
					if !bytes.Equal(raw, rawEvents(t, last)[tap.UID]) {
						t.Errorf("run %d: found the event rewritten, want every byte kept", i)
					}
				case !r.gone:
					e := icaltest.EventIn(t, data, tap.UID)
					for prop, want := range map[string]string{"STATUS": r.status, "SEQUENCE": r.sequence, "DTSTART": r.start, "DTSTAMP": r.stamp, "LAST-MODIFIED": r.stamp} {
						if got := e.Props.Get(prop).Value; got != want {
							t.Errorf("run %d: found %s %s, want %s", i, prop, got, want)
						}
					}
				}
				before, after := feedStamp(t, last), feedStamp(t, data)
				if last != nil && (r.same != (before == after) || after < before) {
					t.Errorf("run %d: found LAST-MODIFIED %s of the feed after %s", i, after, before)
				}
				last = data
			}
		})
	}
}

// An event that moves tells from where and when, in its text and to the next feed, for as long as it does not move again;
// whoever asks is told of every revision as what it was and what it is.
func TestWhatMovedIsRemembered(t *testing.T) {
	f := icaltest.Feed("2027-02-01", icaltest.TapEntry("2027-03-10", "2027-03-20"))
	uid := f.Entries[0].UID
	var told []ical.Revision
	f.Revised = func(r ical.Revision) { told = append(told, r) }
	publish := func(asOf, first, last string) calendar.Memory {
		f.AsOf, f.Entries = calendartest.Day(asOf), []*calendar.Entry{icaltest.TapEntry(first, last)}
		data := icaltest.Render(t, f)
		f.Previous = previous(t, data)
		m := f.Previous.Memory()[uid]
		said := text(t, icaltest.EventIn(t, data, uid).Props, "DESCRIPTION")
		if want := m.Moved != nil; strings.Contains(said, "\nMoved on ") != want {
			t.Errorf("%s: found %q, want a line of what moved: %v", asOf, said, want)
		}
		return m
	}
	if m := publish("2027-02-01", "2027-03-10", "2027-03-20"); m.Moved != nil || len(told) > 0 {
		t.Fatalf("found %+v of an event that never moved", m.Moved)
	}
	m := publish("2027-02-20", "2027-03-20", "2027-03-30")
	want := calendar.Moved{On: calendartest.Day("2027-02-20"), Was: calendartest.Span("2027-03-10", "2027-03-20"),
		WasBest: civil.Some(calendartest.Day("2027-03-12"))}
	if m.Moved == nil || *m.Moved != want {
		t.Errorf("found %+v, want %+v", m.Moved, want)
	}
	if len(told) != 1 || told[0].Was.Window != want.Was || told[0].Is.Window != calendartest.Span("2027-03-20", "2027-03-30") ||
		words.Revision(told[0].Title, told[0].Was, told[0].Is, phrase.Speech{}) !=
			"Tap sugar maple: was 10 to 20 Mar (best 12 Mar), is 20 to 30 Mar (best 22 Mar)" {
		t.Errorf("found %+v", told)
	}
	if m := publish("2027-02-22", "2027-03-21", "2027-03-31"); m.Moved == nil || *m.Moved != want || len(told) != 1 {
		t.Errorf("found %+v a day off, want %+v still", m.Moved, want)
	}
	f.AsOf, f.Entries = calendartest.Day("2027-02-23"), nil
	icaltest.Render(t, f)
	if got := words.Revision(told[1].Title, told[1].Was, told[1].Is, phrase.Speech{}); got != "Tap sugar maple: no longer expected, was 20 to 30 Mar (best 22 Mar)" {
		t.Errorf("found %q", got)
	}
	f.Previous = previous(t, icaltest.Render(t, f))
	publish("2027-02-24", "2027-03-20", "2027-03-30")
	back := told[len(told)-1]
	if got := words.Revision(back.Title, back.Was, back.Is, phrase.Speech{}); got != "Tap sugar maple: expected again, 20 to 30 Mar (best 22 Mar)" {
		t.Errorf("found %q", got)
	}
}

func TestCancelledEventSaysSoAndIsSilent(t *testing.T) {
	f := icaltest.Feed("2027-02-01", icaltest.TapEntry("2027-03-10", "2027-03-20"))
	f.Previous = previous(t, icaltest.Render(t, f))
	f.AsOf, f.Entries = calendartest.Day("2027-02-05"), nil
	e := icaltest.EventIn(t, icaltest.Render(t, f), icaltest.TapEntry("2027-03-10", "2027-03-20").UID)
	if got, want := text(t, e.Props, "SUMMARY"), "Cancelled: Tap sugar maple"; got != want {
		t.Errorf("found %q, want %q", got, want)
	}
	if got, want := text(t, e.Props, "DESCRIPTION"), "No longer expected, as of 5 February 2027. What stood here:\nTap as the forecast has it.\n72 % chance "; !strings.HasPrefix(got, want) {
		t.Errorf("found %q, want it to begin with %q", got, want)
	}
	if len(e.Children) != 0 {
		t.Errorf("found %d alarms, want none", len(e.Children))
	}
	for prop, want := range map[string]string{"DTSTART": "20270310", "DTEND": "20270321", "GEO": "44.62;-89.61", "CATEGORIES": "Tapping", "LOCATION": "Fallow Creek sugarbush"} {
		if got := e.Props.Get(prop).Value; got != want {
			t.Errorf("%s: found %s, want %s", prop, got, want)
		}
	}
}

func TestLaterRevisionsLeaveOtherEventsAlone(t *testing.T) {
	entries := manyEntries(20)
	data := icaltest.Render(t, icaltest.Feed("2027-02-01", entries...))
	before := rawEvents(t, data)
	f := icaltest.Feed("2027-02-03", entries...)
	f.Previous = previous(t, data)
	f.Entries[7] = with(entries[7], func(e *calendar.Entry) { e.Window.Last += 30 })
	for uid, raw := range rawEvents(t, icaltest.Render(t, f)) {
		if same := bytes.Equal(raw, before[uid]); same == (uid == entries[7].UID) {
			t.Errorf("event %s: found it the same: %v", uid, same)
		}
	}
}

// rawEvents returns the bytes of each event by its UID, with those of its short events that ring, found by a search for
// lines rather than by our own reader.
func rawEvents(t testing.TB, data []byte) map[string][]byte {
	events := map[string][]byte{}
	for _, part := range strings.Split(string(data), "BEGIN:VEVENT\r\n")[1:] {
		part, _, ok := strings.Cut(part, "END:VEVENT\r\n")
		uid, ok2 := strings.CutPrefix(part, "UID:")
		if !ok || !ok2 {
			t.Fatalf("found %q, want an event that begins with its UID", part)
		}
		uid, _, _ = strings.Cut(uid, "\r\n")
		if _, rest, ok := strings.Cut(strings.ReplaceAll(part, "\r\n ", ""), "|rings-for="); ok {
			uid, _, _ = strings.Cut(rest, "\r\n")
			if strings.Contains(part, "STATUS:CANCELLED") {
				continue // it is dropped when it has been so for long enough
			}
		}
		events[uid] = append(events[uid], part...)
	}
	return events
}

func feedStamp(t testing.TB, data []byte) string {
	if data == nil {
		return ""
	}
	return icaltest.Read(t, data).Props.Get("LAST-MODIFIED").Value
}

// TestRevisionsProperty publishes a feed again and again under random edits and holds it to what subscribers rely on.
func TestRevisionsProperty(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		today := calendartest.Day("2027-02-01")
		revisedOn := map[string]civil.Date{} // the day on which an event was last published with other facts
		offsets := []civil.Date{10, 40, 100, 200}
		entries := make([]*calendar.Entry, len(offsets))
		var last []byte
		was := map[string]goical.Event{}
		fail := func(format string, args ...any) {
			t.Fatalf("as of %v: %s\n%s", today, fmt.Sprintf(format, args...), last)
		}
		for range rapid.IntRange(2, 8).Draw(t, "runs") {
			later := rapid.SampledFrom([]int{0, 1, 1, 2, 7, 15, 60, 370, -3}).Draw(t, "days later")
			today += civil.Date(later)
			f := icaltest.Feed(today.String())
			if edition := rapid.SampledFrom([]string{"", "", "", " (2nd)", " (3rd)"}).Draw(t, "words"); edition != "" {
				f.Say = func(e *calendar.Entry) words.Text {
					t := words.Say(e)
					t.Summary, t.Care = t.Summary+edition, t.Care+edition
					return t
				}
			}
			for i := range entries {
				e := entries[i]
				if e == nil || rapid.IntRange(0, 3).Draw(t, "edit") == 0 {
					w := civil.Span{First: calendartest.Day("2027-02-01") + offsets[i] + civil.Date(rapid.IntRange(-3, 3).Draw(t, "move"))}
					w.Last = w.First + civil.Date(rapid.IntRange(0, 9).Draw(t, "length"))
					e = icaltest.TapEntry(w.First.String(), w.Last.String())
					e.UID = calendar.UID(calendartest.FeedID, sugarbush.ID, calendar.Tapping, nil, "tap", 2027, fmt.Sprint(i))
					e.Probability = rapid.Float64Range(0, 1).Draw(t, "probability")
					e.Settled = rapid.Bool().Draw(t, "settled")
					basis := rapid.String().Draw(t, "basis")
					icaltest.Said(e, func(t *words.Text) { t.Basis = basis })
					if rapid.Bool().Draw(t, "silent") {
						e.Reminders = nil
					}
					if w.Days() == 1 && rapid.Bool().Draw(t, "hours") {
						e.Hours = calendar.Hours{Start: 540, End: 690}
					}
					e.State = rapid.SampledFrom([]calendar.State{calendar.Open, calendar.Open, calendar.Booked, calendar.Done}).Draw(t, "state")
					var facts []calendar.Fact
					for _, f := range []struct {
						name  string
						value *rapid.Generator[any]
					}{
						{"advice", rapid.SampledFrom([]any{"wait", "tap-now", "flowers+fruit", "flowers+leaves", ""})},
						{"keys", rapid.Map(rapid.Float64Range(0, 1), func(p float64) any { return calendar.Chance(p) })},
						{"expect", rapid.Map(rapid.Float64Range(0, 4), func(x float64) any { return calendar.Amount(x) })},
						{"visit", rapid.Map(rapid.IntRange(0, 5), func(n int) any { return w.First + civil.Date(n) })},
						{"ice", rapid.Map(rapid.Bool(), func(b bool) any { return b })},
					} {
						if rapid.Bool().Draw(t, f.name) {
							facts = append(facts, fact(f.name, f.value.Draw(t, f.name)))
						}
					}
					tells(e, facts...)
					entries[i] = e
				}
				if rapid.IntRange(0, 3).Draw(t, "expected") > 0 {
					f.Entries = append(f.Entries, e)
				}
			}
			if last != nil {
				p, err := ical.ReadPrevious(bytes.NewReader(last))
				if err != nil {
					fail("our own feed was refused: %v", err)
				}
				f.Previous = p
			}
			data, changes, err := ical.RenderICS(f)
			if err != nil {
				fail("%v", err)
			}
			before, beforeRaw := last, rawEventsOf(last)
			last = data
			if found := icslint.Check(data); len(found) > 0 {
				fail("%v", found)
			}
			c, err := goical.NewDecoder(bytes.NewReader(data)).Decode()
			if err != nil {
				fail("another parser: %v", err)
			}
			now := map[string]goical.Event{}
			for _, e := range c.Events() {
				if icaltest.RingsFor(e) != "" {
					continue // it is compared with the event that it rings for
				}
				uid := e.Props.Get("UID").Value
				now[uid] = e
				old, had := was[uid]
				if !had {
					revisedOn[uid] = today
					if seq := e.Props.Get("SEQUENCE").Value; seq != "0" {
						fail("%s: found a new event of SEQUENCE %s", uid, seq)
					}
					continue
				}
				same := bytes.Equal(rawEventsOf(data)[uid], beforeRaw[uid])
				seq, _ := e.Props.Get("SEQUENCE").Int()
				oldSeq, _ := old.Props.Get("SEQUENCE").Int()
				stamp, oldStamp := e.Props.Get("DTSTAMP").Value, old.Props.Get("DTSTAMP").Value
				if seq != oldSeq {
					revisedOn[uid] = today
				}
				if seq != oldSeq && seq != oldSeq+1 || same && seq != oldSeq || !same && stamp <= oldStamp {
					fail("%s: found SEQUENCE %d after %d, DTSTAMP %s after %s, the same: %v", uid, seq, oldSeq, stamp, oldStamp, same)
				}
			}
			reworded := 0
			for uid, raw := range beforeRaw {
				if got := rawEventsOf(data)[uid]; got != nil && !bytes.Equal(got, raw) {
					stays := []string{"SEQUENCE", "STATUS", "DTSTART", "DTEND", "TRIGGER", "UID"}
					before, after := linesOf(raw, stays...), linesOf(got, stays...)
					if after[1] == before[1] { // SEQUENCE
						reworded++
						end, _ := now[uid].Props.Get("DTEND").DateTime(time.UTC)
						// What is over may lose its alarms, which have rung, and a clock that went back changes which have.
						over := civil.FromTime(end.Add(-time.Second)) < today
						if !over && later >= 0 && !slices.Equal(before, after) {
							fail("%s: found %v, want %v where the words alone are other", uid, after, before)
						}
					}
				}
			}
			if reworded != changes.Reworded {
				fail("found %d reworded, want %d", changes.Reworded, reworded)
			}
			for uid, old := range was {
				if _, still := now[uid]; !still {
					end, _ := old.Props.Get("DTEND").DateTime(time.UTC)
					cancelled := old.Props.Get("STATUS").Value == "CANCELLED"
					if !cancelled && civil.FromTime(end) > today-364 {
						fail("%s vanished without being cancelled", uid)
					}
				}
			}
			for _, e := range f.Entries {
				got, ok := now[e.UID]
				if !ok {
					fail("%s is expected, but not there", e.UID)
				}
				start, _ := got.Props.Get("DTSTART").DateTime(time.UTC)
				end, _ := got.Props.Get("DTEND").DateTime(time.UTC)
				shown := civil.Span{First: civil.FromTime(start), Last: civil.FromTime(end) - 1}
				if start.Hour() > 0 {
					shown.Last++
				}
				if over := e.Window.Last < today; over {
					continue
				}
				// What is published is near what is known, and says so in its facts as in its text.
				text, _ := got.Props.Text("DESCRIPTION")
				told := got.Props.Get("X-TREEWHEN-FACTS").Value
				var chance int
				if m := regexp.MustCompile(`\|chance=(\d+)%\|`).FindStringSubmatch(told); m != nil {
					chance, _ = strconv.Atoi(m[1])
				}
				most := 10
				if soon := min(shown.First, e.Window.First)-today <= 14; soon && start.Hour() > 0 {
					most = 5
				}
				fresh := today-revisedOn[e.UID] < 7
				if fresh {
					most = 100
				}
				if is := phrase.WholePercent(e.Probability); e.State != calendar.Done &&
					(max(chance, is)-min(chance, is) > most || !strings.Contains(text, fmt.Sprintf("\n%d %% chance", chance))) {
					fail("%s: found %q and %s, want %d %%", e.UID, text, told, is)
				}
				bears := func(a, b civil.Date) civil.Date {
					if max(a, b) <= today {
						return 7
					}
					n := max(int(min(a, b)-today)/7, shown.Days()/6)
					if fresh {
						n *= 2
					}
					return civil.Date(max(1, n))
				}
				off := func(a, b civil.Date) bool { return max(a, b)-min(a, b) > bears(a, b) }
				if off(shown.First, e.Window.First) || off(shown.Last, e.Window.Last) || got.Props.Get("STATUS").Value == "CANCELLED" {
					fail("%s: found %v, want %v", e.UID, shown, e.Window)
				}
			}
			if before != nil {
				idle := changes.Added == 0 && changes.Revised == 0 && changes.Reworded == 0 && changes.Cancelled == 0 && changes.Dropped == 0
				if idle != bytes.Equal(before, data) {
					fail("found %+v and the same file: %v", changes, bytes.Equal(before, data))
				}
				if a, b := feedStamp(nopTB{}, before), feedStamp(nopTB{}, data); b < a || !idle && a == b {
					fail("found LAST-MODIFIED %s of the feed after %s", b, a)
				}
			}
			again := f
			again.Previous, err = ical.ReadPrevious(bytes.NewReader(data))
			if err != nil {
				fail("our own feed was refused: %v", err)
			}
			if twice, _, err := ical.RenderICS(again); err != nil || !bytes.Equal(twice, data) {
				fail("found another file for the same day and entries: %v\n%s", err, twice)
			}
			was = now
		}
	})
}

// nopTB lets helpers for testing.TB serve where failures are told by other means.
type nopTB struct{ testing.TB }

func (nopTB) Helper() {}

func rawEventsOf(data []byte) map[string][]byte { return rawEvents(nopTB{}, data) }

func TestReadPreviousRefuses(t *testing.T) {
	whole := string(icaltest.Render(t, icaltest.Feed("2027-02-01", icaltest.TapEntry("2027-03-10", "2027-03-20"), icaltest.GatherEntry("2027-03-12", "2027-04-20"))))
	swap := func(old, new string) string {
		if !strings.Contains(whole, old) {
			t.Fatalf("%q is not in the feed", old)
		}
		return strings.Replace(whole, old, new, 1)
	}
	lineOf := func(s string) int { return 1 + strings.Count(whole[:strings.Index(whole, s)], "\n") }
	for name, row := range map[string]struct {
		data string
		line int
		want string
	}{
		"empty":               {"", 0, "empty file"},
		"text":                {"date,tmin,tmax\r\n", 1, "damaged"},
		"half a line":         {whole[:len(whole)/2], 0, ""},
		"cut at a line":       {whole[:strings.Index(whole, "END:VEVENT")], lineOf("BEGIN:VEVENT"), "cut short"},
		"only the end is off": {strings.TrimSuffix(whole, "END:VCALENDAR\r\n"), 1, "cut short"},
		"another program's":   {swap("PRODID:-//treewhen//NONSGML treewhen//EN", "PRODID:-//Example//Calendar 1.0//EN"), 1, `PRODID "-//Example//Calendar 1.0//EN", want a feed that treewhen wrote`},
		"no PRODID":           {swap("PRODID:-//treewhen//NONSGML treewhen//EN\r\n", ""), 1, "want a feed that treewhen wrote"},
		"bare LF":             {strings.ReplaceAll(whole, "\r\n", "\n"), 1, "bare LF"},
		"two feeds":           {whole + whole, strings.Count(whole, "\n") + 1, "one calendar"},
		"METHOD":              {swap("VERSION:2.0\r\n", "VERSION:2.0\r\nMETHOD:PUBLISH\r\n"), 0, "METHOD"},
		"to-do":               {swap("END:VCALENDAR", "BEGIN:VTODO\r\nEND:VTODO\r\nEND:VCALENDAR"), strings.Count(whole, "\n"), "want a VEVENT"},
		"UID of another":      {swap("UID:"+icaltest.TapEntry("2027-03-10", "2027-03-20").UID, "UID:tap-1"), lineOf("BEGIN:VEVENT"), `UID: found "tap-1"`},
		"time of day":         {strings.Replace(swap("DTSTART;VALUE=DATE:20270310", "DTSTART:20270310T070000Z"), "DTEND;VALUE=DATE:20270321", "DTEND:20270321T070000Z", 1), lineOf("BEGIN:VEVENT"), "want a time of the same day"},
		"recurrence":          {swap("TRANSP:TRANSPARENT", "TRANSP:TRANSPARENT\r\nRRULE:FREQ=YEARLY"), lineOf("BEGIN:VEVENT"), "recurs"},
		"no sequence":         {swap("SEQUENCE:0\r\n", ""), lineOf("BEGIN:VEVENT"), "SEQUENCE"},
		"no status":           {swap("STATUS:TENTATIVE\r\n", ""), lineOf("BEGIN:VEVENT"), "STATUS"},
		"no room for time":    {strings.ReplaceAll(whole, "20270201T000000Z", "99991231T235959Z"), 1, "LAST-MODIFIED"},
	} {
		t.Run(name, func(t *testing.T) {
			p, err := ical.ReadPrevious(strings.NewReader(row.data))
			var found problem.Problem
			if !errors.As(err, &found) || p != nil {
				t.Fatalf("found %v, want a problem", err)
			}
			if !strings.Contains(found.Text, row.want) || row.line > 0 && found.Line != row.line || !strings.Contains(found.Hint, "move the file away") {
				t.Errorf("found %v (%s), want line %d: %s", found, found.Hint, row.line, row.want)
			}
		})
	}
	if _, err := ical.ReadPrevious(failingReader{}); err == nil || !strings.Contains(err.Error(), "bad sector") {
		t.Errorf("found %v, want the reader's error", err)
	}
}

type failingReader struct{}

func (failingReader) Read([]byte) (int, error) { return 0, errors.New("bad sector") }

// TestUnknownPropertiesAreKept: an event that a later version of this program wrote keeps what this one does not know.
func TestUnknownPropertiesAreKept(t *testing.T) {
	tap := icaltest.TapEntry("2027-03-10", "2027-03-20")
	later := bytes.Replace(icaltest.Render(t, icaltest.Feed("2027-02-01", tap)), []byte("TRANSP:TRANSPARENT\r\n"), []byte("TRANSP:TRANSPARENT\r\nX-NEW:1\r\n"), 1)
	f := icaltest.Feed("2027-03-25") // it is over
	f.Previous = previous(t, later)
	if got := icaltest.Render(t, f); !bytes.Equal(got, later) {
		t.Errorf("found\n%s\nwant\n%s", got, later)
	}
}

func FuzzReadPrevious(f *testing.F) {
	flag.Set("test.fuzzminimizetime", "10x") // by default, a minute goes into each find and stops all else
	tap, gather := icaltest.TapEntry("2027-03-10", "2027-03-20"), icaltest.GatherEntry("2027-03-12", "2027-04-20")
	whole := icaltest.Render(f, icaltest.Feed("2027-02-01", tap, gather))
	f.Add(whole)
	f.Add(icaltest.Render(f, icaltest.Feed("2027-02-01")))
	gone := icaltest.Feed("2027-02-05", tap)
	gone.Previous = previous(f, whole)
	f.Add(icaltest.Render(f, gone))
	f.Add(bytes.ReplaceAll(whole, []byte("\r\n"), []byte("\n")))
	f.Add(whole[:len(whole)/2])
	f.Add(bytes.Replace(whole, []byte("SEQUENCE:0"), []byte("SEQUENCE:1073741824"), 1))
	// At the top of SEQUENCE, with a text that must be revised.
	f.Add(bytes.Replace(bytes.Replace(whole, []byte("SEQUENCE:0"), []byte("SEQUENCE:1073741824"), 1), []byte("children away from"), []byte("children away fro!"), 1))
	f.Add(bytes.Replace(whole, []byte("LOCATION:"), []byte("LOCATION;TZID=A:"), 1))
	f.Add([]byte{})
	f.Fuzz(func(t *testing.T, data []byte) { builtUpon(t, data) })
}

// builtUpon reads any bytes as a feed. Whatever is accepted can be built upon: the next feed is right, and is accepted
// in its turn; whatever is not gives a problem in one line with a way out. It reports whether data was accepted.
func builtUpon(t interface{ Fatalf(string, ...any) }, data []byte) bool {
	p, err := ical.ReadPrevious(bytes.NewReader(data))
	if err != nil {
		var found problem.Problem
		if !errors.As(err, &found) || found.Hint == "" || strings.ContainsAny(found.Text, "\r\n") {
			t.Fatalf("found %q, want a problem in one line with a way out", err)
		}
		return false
	}
	for _, asOf := range []string{"2027-02-01", "2027-03-15", "2029-01-01"} {
		next := icaltest.Feed(asOf, icaltest.TapEntry("2027-03-10", "2027-03-20"))
		next.Previous = p
		out, _, err := ical.RenderICS(next)
		if err != nil {
			t.Fatalf("%v", err)
		}
		if found := icslint.Check(out); len(found) > 0 {
			t.Fatalf("%v\n%s", found, out)
		}
		if next.Previous, err = ical.ReadPrevious(bytes.NewReader(out)); err != nil {
			t.Fatalf("our own feed was refused: %v\n%s", err, out)
		}
		if again, _, err := ical.RenderICS(next); err != nil || !bytes.Equal(again, out) {
			t.Fatalf("found another file for the same day and entries: %v\n%s\n%s", err, out, again)
		}
	}
	return true
}

// TestEditedFeeds edits a feed line by line, which the fuzzer's edits of single bytes seldom get past the line ends.
func TestEditedFeeds(t *testing.T) {
	whole := icaltest.Render(t, icaltest.Feed("2027-02-01", icaltest.TapEntry("2027-03-10", "2027-03-20"), icaltest.GatherEntry("2027-03-12", "2027-04-20")))
	lines := strings.SplitAfter(string(whole), "\r\n")
	lines = lines[:len(lines)-1]
	odd := []string{
		"X-A:b\r\n", "X-A;B=c:d\r\n", "LOCATION;LANGUAGE=en:x\r\n", "BEGIN:VALARM\r\n", "END:VALARM\r\n", "BEGIN:VEVENT\r\n", "END:VEVENT\r\n",
		"BEGIN:X-A\r\n", "END:X-A\r\n", "RECURRENCE-ID;VALUE=DATE:20270310\r\n", "DTSTART;VALUE=DATE:00010101\r\n", "DTEND;VALUE=DATE:99990101\r\n",
		"STATUS:CONFIRMED\r\n", "status:cancelled\r\n", "SEQUENCE:7\r\n", "SEQUENCE:+7\r\n", "DTSTAMP:20300101T000000Z\r\n", "TRIGGER;RELATED=END:PT0S\r\n",
		" folded\r\n", "\tfolded\r\n", "SUMMARY:(a, b %)\r\n", "UID:00000000-0000-0000-0000-000000000000\r\n", "COLOR:RED\r\n", "DESCRIPTION:\r\n",
	}
	accepted := 0
	rapid.Check(t, func(t *rapid.T) {
		edited := append([]string(nil), lines...)
		for range rapid.IntRange(1, 4).Draw(t, "edits") {
			i, j := rapid.IntRange(0, len(edited)-1).Draw(t, "line"), rapid.IntRange(0, len(edited)-1).Draw(t, "other line")
			switch rapid.SampledFrom([]string{"delete", "repeat", "swap", "put", "put instead", "value"}).Draw(t, "edit") {
			case "delete":
				edited = append(edited[:i:i], edited[i+1:]...)
			case "repeat":
				edited = append(edited[:i+1:i+1], edited[i:]...)
			case "swap":
				edited[i], edited[j] = edited[j], edited[i]
			case "put":
				edited = append(edited[:i:i], append([]string{rapid.SampledFrom(odd).Draw(t, "odd")}, edited[i:]...)...)
			case "put instead":
				edited[i] = rapid.SampledFrom(odd).Draw(t, "odd")
			case "value":
				name, _, ok := strings.Cut(edited[i], ":")
				_, value, ok2 := strings.Cut(edited[j], ":")
				if ok && ok2 {
					edited[i] = name + ":" + value
				}
			}
		}
		if builtUpon(t, []byte(strings.Join(edited, ""))) {
			accepted++
		}
	})
	if accepted == 0 {
		t.Error("no edited feed was accepted, so that nothing was built upon")
	}
}

// FuzzTexts writes any text into every place that takes one and reads it back with another parser.
func FuzzTexts(f *testing.F) {
	flag.Set("test.fuzzminimizetime", "10x") // by default, a minute goes into each find and stops all else
	f.Add("Tap sugar maple", "Fallow Creek")
	f.Add("a,b;c\\n\r\nEND:VEVENT", "\xff\x00\u2028\ufeff")
	f.Add("x (likely, 72 %)", "Look for:\n- y")
	f.Add(strings.Repeat("糖", 100), strings.Repeat(`\,;`, 50))
	f.Fuzz(func(t *testing.T, a, b string) {
		e := icaltest.TapEntry("2027-03-10", "2027-03-20")
		site := *sugarbush
		site.Name = b
		e.Site = &site
		icaltest.Said(e, func(t *words.Text) {
			t.Summary, t.Verdict, t.Basis, t.ChanceOf, t.Care, t.Reminders[0] = a, a+b, b, b, b, b
			t.Doubts, t.Headline = []string{b, a}, ""
		})
		x := icaltest.Feed("2027-02-01", e)
		x.Name, x.Description = a, b
		data, _, err := ical.RenderICS(x)
		if err != nil {
			return // no name or summary is left
		}
		if found := icslint.Check(data); len(found) > 0 {
			t.Fatalf("%v\n%s", found, data)
		}
		event := icaltest.EventIn(t, data, e.UID)
		name := text(t, icaltest.Read(t, data).Props, "NAME")
		if got := text(t, event.Props, "SUMMARY"); got != name {
			t.Errorf("found summary %q and name %q of the same text", got, name)
		}
		x.Previous = previous(t, data)
		if again, _, err := ical.RenderICS(x); err != nil || !bytes.Equal(again, data) {
			t.Fatalf("found another file for the same day and entries: %v\n%s\n%s", err, data, again)
		}
		// A cancelled event is built from what was read back.
		x.Previous, x.Entries = previous(t, data), nil
		if found := icslint.Check(icaltest.Render(t, x)); len(found) > 0 {
			t.Fatalf("%v", found)
		}
	})
}

// tells makes an entry of [icaltest.Own] tell some facts and no other, and returns it.
func tells(e *calendar.Entry, facts ...calendar.Fact) *calendar.Entry {
	own := e.Facts.(icaltest.Own)
	own.Tells = facts
	e.Facts = own
	return e
}

// entriesOf returns the events of a feed that stand for entries.
func entriesOf(t testing.TB, data []byte) (list []goical.Event) {
	t.Helper()
	for _, e := range icaltest.Read(t, data).Events() {
		if icaltest.RingsFor(e) == "" {
			list = append(list, e)
		}
	}
	return list
}
