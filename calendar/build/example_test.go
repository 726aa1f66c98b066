package build_test

import (
	"bytes"
	"fmt"
	"time"

	"treewhen/calendar"
	"treewhen/calendar/build"
	"treewhen/calendar/ical"
	"treewhen/calendar/phrase"
	"treewhen/calendar/words"
	"treewhen/phenology"
	"treewhen/phenology/civil"
	"treewhen/profiles"
)

// From a plan to what is said of its work and to a feed of it, with no file and no command. The place is invented, and
// has no thermometer.
func Example() {
	maple, err := profiles.Builtin().Find("sugar maple")
	if err != nil {
		fmt.Println(err)
		return
	}
	asOf := civil.Of(2027, time.March, 1)
	plan := &calendar.Plan{
		Title: "Made Hill", FeedID: calendar.NameUUID(calendar.UUID{}, "made-hill"), AsOf: asOf,
		Span: civil.Span{First: asOf, Last: asOf + 120},
	}
	site := phenology.Site{ID: "hill", Name: "Made Hill", Latitude: 44, Longitude: -73, Elevation: 300, Zone: time.UTC}
	work := build.At(plan, &calendar.Place{
		Outlook: &phenology.Outlook{Site: site}, Species: []*phenology.Species{maple},
		Activities: []calendar.Activity{calendar.Tapping}, Options: calendar.DefaultOptions(),
	})
	for _, e := range work.Entries {
		said := words.Brief(e)
		fmt.Printf("%s: %s (%s; %s)\n", phrase.Span(e.Window), said.Summary, said.Sure(), said.Basis)
	}
	var feed bytes.Buffer
	err = ical.WriteICS(&feed, ical.Feed{
		UID: calendar.CalendarUID(plan.FeedID, site.ID, ""), Name: site.Name, AsOf: asOf, Entries: work.Entries,
	})
	fmt.Println(bytes.Count(feed.Bytes(), []byte("BEGIN:VEVENT")), "events", err)
	// Output:
	// 18 Feb to 5 Mar: Tap sugar maple (likely, 75 % chance; the place alone)
	// 5 Mar to 19 Apr: Gather and boil sugar maple sap (almost certain, 99 % chance; the place alone)
	// 2 to 19 Apr: Last runs of sugar maple sap (about even, 50 % chance; the place alone)
	// 19 Apr to 10 May: Pull the taps and clean, sugar maple (very likely, 91 % chance; the place alone)
	// 4 events <nil>
}
