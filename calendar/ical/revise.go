package ical

import (
	"bytes"
	"errors"
	"fmt"
	"io"
	"slices"
	"strconv"
	"strings"
	"time"

	ics "github.com/arran4/golang-ical"

	"treewhen/calendar"
	"treewhen/calendar/icslint"
	"treewhen/phenology/civil"
	"treewhen/phenology/problem"
)

// How long a feed keeps what is over.
const (
	// cancelledDays is for how many days after it was cancelled an event is published as cancelled. A program that has
	// not fetched the feed in that time finds the event gone, which most understand as well. After that the feed knows
	// the event no more: should it come back, SEQUENCE begins at 0 again, and a later DTSTAMP must tell that it is newer.
	cancelledDays = 14
	// pastYears is for how many years after its last day an event stays, as a record of the season.
	pastYears = 1
)

// wobbles says how far a published window and its best day may be off before the event is revised: an early estimate
// goes to and fro by a day with every night's temperatures, and nobody plans by that day yet. Both the published and the
// new window must be that far ahead. The difference is taken from what is published, so it cannot add up unseen.
var wobbles = [...]struct{ daysAhead, days int }{
	{daysAhead: 14, days: 1}, // more than two weeks ahead: a day
	{daysAhead: -1 << 30, days: 0},
}

// wobble returns by how many days a window may be off that begins some days ahead.
func wobble(daysAhead int) int {
	for _, w := range wobbles {
		if daysAhead > w.daysAhead {
			return w.days
		}
	}
	return 0
}

// MaxFeed is how large a feed may be that is built upon, in bytes: some ten thousand events.
const MaxFeed = 32 << 20

// Previous is a feed as it was last published.
type Previous struct {
	data     []byte
	modified time.Time
	events   []publishedEvent
}

// publishedEvent is an event of a feed: its bytes, and what the next revision must know of it.
type publishedEvent struct {
	raw []byte
	event
	best    civil.Date
	hasBest bool // best is the day that the description names
}

func (p publishedEvent) cancelled() bool { return p.status == ics.ObjectStatusCancelled }

// wayOut is what to do about a file that cannot be built upon.
const wayOut = "move the file away to begin the feed afresh; programs then see its events as new, and those no longer " +
	"expected vanish without being cancelled first"

// ReadPrevious reads a feed that [WriteICS] has written, of [MaxFeed] bytes at most. Its events are carried over byte for byte, so that the file must
// be whole, ours and right. Its error is a [problem.Problem] whose File is "previous feed": put the file's name there.
func ReadPrevious(r io.Reader) (*Previous, error) {
	wrong := func(line int, format string, args ...any) (*Previous, error) {
		return nil, problem.Problem{File: "previous feed", Line: line, Text: fmt.Sprintf(format, args...), Hint: wayOut}
	}
	data, err := io.ReadAll(io.LimitReader(r, MaxFeed+1))
	if err != nil {
		return nil, fmt.Errorf("previous feed: %w", err)
	}
	if len(data) == 0 {
		return wrong(0, "found an empty file, want a feed that treewhen wrote")
	}
	if len(data) > MaxFeed {
		return wrong(0, "found more than %d MiB, want a feed that treewhen wrote", MaxFeed>>20)
	}
	calendar, found := icslint.Parse(data)
	if calendar != nil && calendar.Value("PRODID") != productID {
		return wrong(calendar.Line, "found a calendar of PRODID %q, want a feed that treewhen wrote (%s)",
			calendar.Value("PRODID"), productID)
	}
	found = append(found, icslint.Validate(calendar)...)
	if len(found) > 0 {
		slices.SortStableFunc(found, func(a, b icslint.Finding) int { return a.Line - b.Line })
		return wrong(found[0].Line, "%s (%s): damaged, or changed by another program", found[0].Text, found[0].Clause)
	}
	p := &Previous{data: data}
	if calendar.Value("METHOD") != "" {
		return wrong(calendar.Line, "found METHOD:%s, want none: changed by another program", calendar.Value("METHOD"))
	}
	if p.modified, err = stamp(calendar.Value("LAST-MODIFIED")); err != nil {
		return wrong(calendar.Line, "LAST-MODIFIED of the calendar: %v", err)
	}
	for _, c := range calendar.Children {
		if c.Name == "VTIMEZONE" {
			continue
		}
		e, err := readEvent(c, data)
		if err != nil {
			return wrong(c.Line, "%v", err)
		}
		p.events = append(p.events, e)
	}
	return p, nil
}

// Days returns the first days of the events that stand in the feed, by UID. Cancelled events are left out.
func (p *Previous) Days() map[string]civil.Date {
	days := make(map[string]civil.Date, len(p.events))
	for _, e := range p.events {
		if !e.cancelled() {
			days[e.uid] = e.window.First
		}
	}
	return days
}

// readEvent reads what [event.render] writes. Properties of another version of this program stay in the bytes alone.
func readEvent(c *icslint.Component, data []byte) (publishedEvent, error) {
	if c.Name != "VEVENT" {
		return publishedEvent{}, fmt.Errorf("found a %s, want a VEVENT", c.Name)
	}
	e := publishedEvent{raw: data[c.Start:c.End]}
	for _, l := range c.Lines {
		// What leans on another component could be left without it. Zones are defined anew from their names.
		if l.Name == "RECURRENCE-ID" || l.Name == "RRULE" || l.Param("TZID") != "" && l.Name != "DTSTART" && l.Name != "DTEND" {
			return e, fmt.Errorf("found %s that recurs or has a time zone, want single days", l.Name)
		}
	}
	e.uid = c.Value("UID")
	if u, err := calendar.ParseUUID(e.uid); err != nil || u.String() != e.uid {
		return e, fmt.Errorf("UID: found %q, want a UUID in lower case", e.uid)
	}
	var err error
	if err = e.readWindow(c); err != nil {
		return e, err
	}
	if e.stamp, err = stamp(c.Value("DTSTAMP")); err != nil {
		return e, fmt.Errorf("DTSTAMP: %w", err)
	}
	if e.sequence, err = strconv.Atoi(c.Value("SEQUENCE")); err != nil || e.sequence < 0 || e.sequence > mostRevisions {
		return e, fmt.Errorf("SEQUENCE: found %q, want a whole number to %d", c.Value("SEQUENCE"), mostRevisions)
	}
	e.status = ics.ObjectStatus(strings.ToUpper(c.Value("STATUS")))
	if e.status == "" {
		return e, errors.New("found no STATUS, want one")
	}
	e.summary = ics.FromText(c.Value("SUMMARY"))
	e.description = ics.FromText(c.Value("DESCRIPTION"))
	e.location = ics.FromText(c.Value("LOCATION"))
	e.geo = c.Value("GEO")
	e.color = c.Value("COLOR")
	for _, l := range c.All("CATEGORIES") {
		e.categories = append(e.categories, ics.FromText(l.Value))
	}
	for _, l := range c.All("RELATED-TO") {
		e.after = append(e.after, l.Value)
	}
	for _, a := range c.Children {
		if a.Name != "VALARM" || slices.ContainsFunc(a.Lines, func(l icslint.Line) bool { return l.Param("TZID") != "" }) || len(a.Children) > 0 {
			return e, fmt.Errorf("found a %s in an event, want a VALARM without a time zone", a.Name)
		}
		e.alarms = append(e.alarms, alarm{a.Value("UID"), a.Value("TRIGGER"), ics.FromText(a.Value("DESCRIPTION"))})
	}
	e.best, e.hasBest = bestDay(e.description)
	return e, nil
}

// readWindow reads the days of an event, or its hours, from DTSTART and DTEND.
func (e *publishedEvent) readWindow(c *icslint.Component) error {
	hours := c.Value("DTSTART") != "" && len(c.Value("DTSTART")) > len("20060102")
	for i, name := range []string{"DTSTART", "DTEND"} {
		text, layout, want := c.Value(name), "20060102", "a date such as 20270309"
		if hours {
			layout, want = "20060102T150405", "a time such as 20270309T090000"
		}
		zone := zoneParameter(c, name)
		if hours && zone == "" {
			layout += "Z"
		}
		t, err := time.Parse(layout, text)
		if err != nil {
			return fmt.Errorf("%s: found %q, want %s", name, text, want)
		}
		d := civil.FromTime(t)
		switch {
		case hours && i == 0:
			e.window, e.zone, e.hours.Start = civil.Span{First: d, Last: d}, zone, t.Hour()*60+t.Minute()
		case hours:
			e.hours.End = int(t.Sub(e.window.First.Time()) / time.Minute)
			if zone != e.zone || e.hours.End <= e.hours.Start || e.hours.End > 2*24*60 {
				return fmt.Errorf("DTEND: found %s, want a time of the same day in the zone of DTSTART", text)
			}
		case i == 0:
			e.window.First = d
		default:
			e.window.Last = d - 1 // DTEND is the day after
		}
	}
	if e.zone != "" {
		if _, err := time.LoadLocation(e.zone); err != nil || e.zone == "Local" {
			return fmt.Errorf("found time zone %q, want an IANA time zone", e.zone)
		}
	}
	if !writable(e.window.First) || !writable(e.window.Last) {
		return fmt.Errorf("found window %v, want the years 1 to 9998", e.window)
	}
	return nil
}

// zoneParameter returns the zone that a property names, as it is written.
func zoneParameter(c *icslint.Component, name string) string {
	for _, l := range c.All(name) {
		for _, p := range l.Params {
			if p.Name == "TZID" && len(p.Values) > 0 {
				return p.Values[0]
			}
		}
	}
	return ""
}

// stamp reads a moment in UTC that leaves room for later ones.
func stamp(s string) (time.Time, error) {
	t, err := time.Parse("20060102T150405Z", s)
	if err != nil || !writable(civil.FromTime(t)) {
		return time.Time{}, fmt.Errorf("found %q, want a moment such as 20270309T000000Z", s)
	}
	return t, nil
}

// bestDay reads the best day back from a description.
func bestDay(description string) (civil.Date, bool) {
	line, _, _ := strings.Cut(description, "\n")
	text, ok := strings.CutPrefix(line, bestDayLabel)
	if !ok {
		return 0, false
	}
	t, err := time.Parse(bestDayLayout, strings.TrimSuffix(text, "."))
	return civil.FromTime(t), err == nil
}

// later returns the time of a revision made on a day: its beginning, or a second after the revision before it, so that
// time never stands still or goes backward in a feed, whatever day is taken as today.
func later(asOf civil.Date, before time.Time) time.Time {
	t := midnight(asOf)
	if !t.After(before) {
		t = before.Add(time.Second)
	}
	return t
}

// revise returns the events to publish, given those published before.
//
// An event that did not change keeps its bytes. One that did keeps its UID, and SEQUENCE rises by one. One no longer
// expected is cancelled, unless it is over. What is over stays as it was; what was cancelled comes back when it is
// expected again.
func (f Feed) revise() ([]publishedEvent, Changes, error) {
	var changes Changes
	var before []publishedEvent
	if f.Previous != nil {
		before = f.Previous.events
	}
	published := make(map[string]publishedEvent, len(before))
	for _, p := range before {
		published[p.uid] = p
	}

	events := make([]publishedEvent, 0, len(f.Entries)+len(before))
	expected := make(map[string]bool, len(f.Entries))
	for _, entry := range f.Entries {
		e, err := eventOf(entry)
		if err != nil {
			return nil, Changes{}, err
		}
		expected[e.uid] = true
		old, was := published[e.uid]
		if was {
			keep := old.window.Last < f.AsOf && e.window.Last < f.AsOf
			if !keep {
				if keep, err = sameContent(old, e); err != nil {
					return nil, Changes{}, err
				}
			}
			if !keep {
				if keep, err = f.holds(old, entry); err != nil {
					return nil, Changes{}, err
				}
			}
			if keep {
				events = append(events, old)
				changes.Kept++
				continue
			}
			e.sequence, e.stamp = min(old.sequence+1, mostRevisions), later(f.AsOf, old.stamp)
			changes.Revised++
		} else {
			e.stamp = midnight(f.AsOf)
			changes.Added++
		}
		raw, err := e.render()
		if err != nil {
			return nil, Changes{}, err
		}
		events = append(events, publishedEvent{raw: raw, event: e})
	}

	for _, old := range before {
		switch {
		case expected[old.uid]:
			continue
		case old.cancelled():
			if f.AsOf > civil.FromTime(old.stamp)+cancelledDays {
				changes.Dropped++
				continue
			}
		case old.window.Last < f.AsOf:
			if f.AsOf > old.window.Last.AddYears(pastYears) {
				changes.Dropped++
				continue
			}
		default:
			e := f.cancel(old)
			raw, err := e.render()
			if err != nil {
				return nil, Changes{}, err
			}
			events = append(events, publishedEvent{raw: raw, event: e})
			changes.Cancelled++
			continue
		}
		events = append(events, old)
		changes.Kept++
	}
	return events, changes, nil
}

// cancel returns what is published of an event that is no longer expected. It says so in words as well, for programs
// that show STATUS:CANCELLED like any other event, and it rings no more.
func (f Feed) cancel(old publishedEvent) event {
	e := old.event
	e.status = ics.ObjectStatusCancelled
	e.sequence, e.stamp = min(old.sequence+1, mostRevisions), later(f.AsOf, old.stamp)
	stem, _ := splitSummary(old.summary)
	e.summary = "Cancelled: " + stem
	e.description = strings.TrimSpace("No longer expected, as of " + f.AsOf.Format("2 January 2006") + ". What stood here:\n\n" + old.description)
	e.alarms = nil
	return e
}

// sameContent reports whether an event says what is published already, revision apart.
func sameContent(old publishedEvent, e event) (bool, error) {
	e.sequence, e.stamp = old.sequence, old.stamp
	raw, err := e.render()
	if err != nil {
		return false, err
	}
	return bytes.Equal(raw, old.raw) || slices.Equal(content(raw), content(old.raw)), nil
}

// content returns the content lines of an event but those that count revisions. Two versions of a library may fold the
// same line differently.
func content(raw []byte) []string {
	unfolded := strings.ReplaceAll(strings.ReplaceAll(string(raw), "\r\n ", ""), "\r\n\t", "")
	return slices.DeleteFunc(strings.Split(unfolded, "\r\n"), func(l string) bool {
		return strings.HasPrefix(l, "DTSTAMP:") || strings.HasPrefix(l, "LAST-MODIFIED:") || strings.HasPrefix(l, "SEQUENCE:")
	})
}

// holds reports whether an entry is so far ahead and so little different that what is published stays: see [wobbles].
// Its dates may be off by that little, and the percentage, the reasons and the words of reminders, which follow the
// dates, may differ. All else must be the same: the confidence in words, what to look for, cautions, sources, the site,
// when reminders ring.
func (f Feed) holds(old publishedEvent, entry *calendar.Entry) (bool, error) {
	ahead := int(min(old.window.First, entry.Window.First) - f.AsOf)
	if old.hours != (calendar.Hours{}) && timed(entry) {
		return f.holdsHours(old, entry)
	}
	limit := wobble(ahead)
	off := max(civil.Apart(old.window.First, entry.Window.First), civil.Apart(old.window.Last, entry.Window.Last), civil.Apart(old.best, entry.Best))
	// A day with hours is an appointment: it never stands where the plan no longer has it.
	if limit == 0 || !old.hasBest || off > limit || old.hours != (calendar.Hours{}) || timed(entry) {
		return false, nil
	}
	asPublished, err := eventOf(on(entry, old.window, old.best))
	if err != nil {
		return false, err
	}
	stem, word := splitSummary(asPublished.summary)
	oldStem, oldWord := splitSummary(old.summary)
	if stem != oldStem || word != oldWord || lasting(asPublished.description) != lasting(old.description) ||
		len(asPublished.alarms) != len(old.alarms) {
		return false, nil
	}
	asPublished.summary, asPublished.description = old.summary, old.description
	for i := range asPublished.alarms {
		asPublished.alarms[i].text = old.alarms[i].text
	}
	return sameContent(old, asPublished)
}

// on returns a copy of e that has another window and best day. Its reminders move along with the day they belong to.
func on(e *calendar.Entry, window civil.Span, best civil.Date) *calendar.Entry {
	moved := *e
	moved.Window, moved.Best = window, window.Clamp(best)
	moved.Reminders = slices.Clone(e.Reminders)
	for i, r := range moved.Reminders {
		switch r.On {
		case e.Window.First:
			r.On = window.First
		case e.Best:
			r.On = moved.Best
		case e.Window.Last:
			r.On = window.Last
		default:
			r.On = window.Clamp(r.On)
		}
		moved.Reminders[i] = r
	}
	return &moved
}

// splitSummary takes off what [confidenceSuffix] put behind a summary, and returns the words of that.
func splitSummary(summary string) (stem, word string) {
	i := strings.LastIndex(summary, " (")
	if i < 0 || !strings.HasSuffix(summary, " %)") {
		return summary, ""
	}
	word, _, _ = strings.Cut(summary[i+2:], ", ")
	return summary[:i], word
}

// lasting returns the part of a description that does not follow the season: see [lastingHeadings].
func lasting(description string) string {
	lines := strings.Split(description, "\n")
	i := slices.IndexFunc(lines, func(l string) bool { return slices.Contains(lastingHeadings, l) })
	if i < 0 {
		return ""
	}
	return strings.Join(lines[i:], "\n")
}

// mostRevisions is the highest SEQUENCE that is read or written; RFC 5545 section 3.3.8 allows up to 2147483647. An event
// revised every minute gets there in two thousand years.
const mostRevisions = 1 << 30
