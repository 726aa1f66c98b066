// Package ical answers: how does work stand in a calendar that people subscribe to, and what becomes of what stands
// there when the season turns out otherwise?
//
// [WriteICS] and [RenderICS] write a feed, [ReadPrevious] reads one to be built upon. What is published is compared by
// its facts, never by its words: those are package words', or another's in another language, and whatever changes in
// them alone is no news to anybody.
package ical

import (
	"bytes"
	"cmp"
	"fmt"
	"io"
	"slices"
	"strings"
	"time"

	ics "github.com/arran4/golang-ical"

	"treewhen/calendar"
	"treewhen/calendar/phrase"
	"treewhen/calendar/words"
	"treewhen/phenology/civil"
)

// Feed is an iCalendar file that calendar programs subscribe to: RFC 5545 and 7986.
//
// An entry becomes one event, its window. The days are dates without a clock or a zone, so that they stay the same
// days wherever they are read. An outing of one day that has hours becomes an event at these hours of its site's zone,
// which the feed defines. Nothing in a feed but its events depends on AsOf: what was not revised is not rewritten.
//
// There is no METHOD, which would make the file a message that needs an organizer (RFC 5546 section 3.2.1). RFC 5545
// section 3.6 wants at least one component in a calendar. One in which nothing is due has the zone Etc/UTC and no
// event, the "only a VTIMEZONE" form of that section: programs show an empty calendar, where an event that says
// 'nothing to do' would stand among real ones, on a day that means nothing.
type Feed struct {
	UID         string // a UUID: see [CalendarUID]
	Name        string
	Description string            // what the feed holds; must not change from day to day. May be ""
	Color       string            // a color name of CSS3; may be ""
	URL         string            // a page for people that shows the same; may be ""
	Source      string            // where this feed can be fetched; may be ""
	Refresh     time.Duration     // how often to fetch it, whole seconds; 0 leaves that to the program
	Zone        string            // by whose clocks its readers live, an IANA name; "" where that is not one zone
	AsOf        civil.Date        // the day taken as today
	Entries     []*calendar.Entry // in any order
	Days        calendar.FeedDays // how work of many days stands in it; "" is FeedWindows
	Previous    *Previous         // the feed as last published; nil if it never was
	Looks       map[string]Look   // by the site's id: how its events are told from those of others; may be nil
	Page        string            // the address of a page on which each event's entry stands in full; may be ""
	Revised     func(Revision)    // is told of what is revised or cancelled; may be nil

	Say    func(*calendar.Entry) words.Text // says an entry; nil is [words.Say]
	Labels *words.Labels                    // the words around that; nil is [words.English]
}

// Look is how a site's events are told from those of other sites.
type Look struct {
	Short string // begins every title and alarm; "" for nothing
	Color string // a color name of CSS3; "" for that of the activity
}

// Changes counts what a feed does to the one published before it.
type Changes struct {
	Added     int // events that were not there
	Revised   int // events whose facts moved, those that came back from being cancelled among them: SEQUENCE is higher
	Reworded  int // events whose text alone was renewed
	Cancelled int // events no longer expected
	Dropped   int // events left out for good: past ones after a year, cancelled ones after two weeks
	Kept      int // events left as they were, byte for byte
}

// WriteICS writes the feed f: see [RenderICS]. It writes nothing if there is an error in f. A feed that was never
// published is written event by event, so that it takes no more memory than its entries.
func WriteICS(w io.Writer, f Feed) error {
	if f.Previous == nil {
		return f.write(w)
	}
	data, _, err := RenderICS(f)
	if err != nil {
		return err
	}
	_, err = w.Write(data)
	return err
}

// RenderICS returns the feed f as bytes, and how it differs from f.Previous. When nothing changed, the bytes are those
// of f.Previous. Its errors name what in f cannot stand in a feed.
func RenderICS(f Feed) ([]byte, Changes, error) {
	if err := f.check(); err != nil {
		return nil, Changes{}, err
	}
	events, changes, err := f.revise(stand(f.Days, f.Entries))
	if err != nil {
		return nil, Changes{}, err
	}
	slices.SortFunc(events, comparePublished)
	if f.Previous == nil {
		data, err := f.render(events, newest(f.AsOf.Time(), events))
		return data, changes, err
	}
	data, err := f.render(events, f.Previous.modified)
	if err != nil || bytes.Equal(data, f.Previous.data) {
		return data, changes, err
	}
	data, err = f.render(events, newest(later(f.AsOf, f.Previous.modified), events))
	return data, changes, err
}

// comparePublished puts events in the order in which they stand in a feed.
func comparePublished(a, b publishedEvent) int {
	return cmp.Or(
		cmp.Compare(a.window.First, b.window.First),
		cmp.Compare(a.window.Last, b.window.Last),
		strings.Compare(a.uid, b.uid),
	)
}

// newest returns the time of the newest event, t if that is newer.
func newest(t time.Time, events []publishedEvent) time.Time {
	for _, e := range events {
		if e.stamp.After(t) {
			t = e.stamp
		}
	}
	return t
}

// productID marks our own feeds, RFC 5545 section 3.7.3. It names no version: a new program is no new feed.
const productID = "-//treewhen//NONSGML treewhen//EN"

// render returns the calendar with its events.
func (f Feed) render(events []publishedEvent, modified time.Time) ([]byte, error) {
	components := make([]ics.Component, len(events))
	for i, e := range events {
		components[i] = ready(e.raw)
	}
	var b bytes.Buffer // never fails, which the library would not always notice
	err := f.serialize(&b, events, components, modified)
	return b.Bytes(), err
}

// serialize writes the calendar around its events, which are given by what is known of them and as what is written.
func (f Feed) serialize(w io.Writer, events []publishedEvent, components []ics.Component, modified time.Time) error {
	c := &ics.Calendar{}
	c.SetVersion("2.0")
	c.SetProductId(productID)
	c.SetCalscale("GREGORIAN")
	property := func(token, value string) {
		if value != "" {
			c.CalendarProperties = append(c.CalendarProperties,
				ics.CalendarProperty{BaseProperty: ics.BaseProperty{IANAToken: token, Value: value}})
		}
	}
	property("UID", f.UID)
	c.SetName(phrase.OneLine(f.Name)) // NAME and, for programs older than that, X-WR-CALNAME
	property("DESCRIPTION", phrase.CleanText(f.Description))
	property("COLOR", f.Color)
	c.SetLastModified(modified)
	property("URL", f.URL)
	property("SOURCE;VALUE=URI", f.Source)
	if f.Refresh > 0 {
		// Beside the standard's property, the one that programs go by which are older than RFC 7986.
		c.SetRefreshInterval(formatDuration(f.Refresh))
		c.SetXPublishedTTL(formatDuration(f.Refresh))
	}
	property("X-WR-TIMEZONE", f.Zone)
	zones, err := zonesOf(events)
	if err != nil {
		return fmt.Errorf("calendar: %w", err)
	}
	c.Components = slices.Concat(c.Components, zones, components)
	if len(events) == 0 {
		utc := c.AddTimezone("Etc/UTC").AddStandard()
		utc.SetProperty(ics.ComponentPropertyDtStart, "19700101T000000")
		utc.SetProperty("TZOFFSETFROM", "+0000")
		utc.SetProperty("TZOFFSETTO", "+0000")
	}
	if err := c.SerializeTo(w, ics.WithNewLineWindows); err != nil {
		return fmt.Errorf("calendar: %w", err)
	}
	return nil
}
