package build_test

import (
	"bytes"
	"io"
	"math"
	"math/rand/v2"
	"testing"
	"time"

	"treewhen/calendar"
	"treewhen/calendar/build/buildtest"
	"treewhen/calendar/calendartest"
	"treewhen/calendar/ical"
	"treewhen/calendar/page"
	"treewhen/calendar/text"
	"treewhen/phenology"
	"treewhen/phenology/civil"
	"treewhen/phenology/weather"
	"treewhen/profiles"
)

// wholeLibrary is a plan for one invented site with every species of the library, thirty invented years of record and a
// spring under way.
func wholeLibrary(activities ...calendar.Activity) *calendar.Plan {
	site := phenology.Site{ID: "here", Name: "Here", Latitude: 43.5, Longitude: -72.5, Elevation: 300,
		Zone: calendartest.Zone("America/New_York")}
	asOf := calendartest.Day("2027-03-12")
	r := rand.New(rand.NewPCG(3, 0))
	s := weather.Series{First: calendartest.Day("1997-01-01")}
	spell := 0.0
	for d := s.First; d <= asOf; d++ {
		spell = 0.7*spell + 3*r.NormFloat64()
		mean := 8 - 14*math.Cos(2*math.Pi*float64(d.YearDay()-20)/365.25) + spell
		s.Put(d, weather.Day{Min: mean - 5, Max: mean + 5})
	}
	place := &calendar.Place{
		Outlook:    &phenology.Outlook{Site: site, Temps: phenology.NewTemperatures(site, s)},
		Activities: activities, Species: profiles.Builtin().All(), Options: calendar.DefaultOptions(),
	}
	return &calendar.Plan{
		Title: "Everything", FeedID: calendartest.FeedID, AsOf: asOf,
		Span: civil.Span{First: asOf, Last: asOf + 365}, Places: []*calendar.Place{place},
	}
}

// What each activity takes at one site with the whole library, once the record's running sums are made. For field trips
// that is the default's days and rain dates of every school year that the plan's year touches, for twig surveys the
// winters that it touches: dating every species in each season, the choice of days, and of each of these a sheet with
// every pair of species told apart. A year of either is to take less than 50 ms.
func BenchmarkActivity(b *testing.B) {
	for _, a := range calendar.Activities() {
		b.Run(string(a), func(b *testing.B) {
			plan := wholeLibrary(a)
			if len(buildtest.Schedule(plan).Entries) == 0 {
				b.Fatal("no entries")
			}
			b.ReportAllocs()
			for b.Loop() {
				buildtest.Schedule(plan)
			}
		})
	}
}

// What each format takes of one site's year with the whole library.
func BenchmarkWrite(b *testing.B) {
	plan := wholeLibrary(calendar.Activities()...)
	s := buildtest.Schedule(plan)
	feed := ical.Feed{UID: calendar.CalendarUID(calendartest.FeedID, "here", ""), Name: "Here", Entries: s.Entries,
		AsOf: s.AsOf}
	for _, c := range []struct {
		format string
		write  func(io.Writer) error
	}{
		{"text", func(w io.Writer) error { return text.WriteText(w, s, text.TextOptions{}) }},
		{"details", func(w io.Writer) error { return text.WriteText(w, s, text.TextOptions{Details: true}) }},
		{"csv", func(w io.Writer) error { return text.WriteCSV(w, s) }},
		{"json", func(w io.Writer) error { return text.WriteJSON(w, s) }},
		{"ics", func(w io.Writer) error { return ical.WriteICS(w, feed) }},
		{"html", func(w io.Writer) error { return page.WritePage(w, page.Page{Plan: plan, Schedule: s}) }},
		{"chart", func(w io.Writer) error {
			year := text.DrawYear(plan.Places[0], s.Entries, plan.AsOf, text.ChartOptions{})
			return text.WriteYears(w, []text.YearChart{year}, text.ChartOptions{})
		}},
	} {
		b.Run(c.format, func(b *testing.B) {
			var size counter
			b.ReportAllocs()
			for b.Loop() {
				size = 0
				if err := c.write(&size); err != nil {
					b.Fatal(err)
				}
			}
			b.SetBytes(int64(size))
		})
	}
}

// counter counts what is written to it.
type counter int

func (c *counter) Write(p []byte) (int, error) {
	*c += counter(len(p))
	return len(p), nil
}

// A season of tapping from a record of thirty years that is not yet summed, feeds and all: a thousand sites are to take
// less than 10 s on two cores.
func BenchmarkTappingFeed(b *testing.B) {
	series := calendartest.MadeSeries(civil.Of(2027, time.March, 1), 30, 0)
	b.ReportAllocs()
	for b.Loop() {
		p := calendartest.MadePlan(civil.Of(2027, time.March, 1), 1, 0, "sugar maple", "red maple")
		site := p.Places[0].Outlook.Site
		p.Places[0].Outlook = &phenology.Outlook{Site: site, Temps: phenology.NewTemperatures(site, series)}
		s := buildtest.Schedule(p)
		var buf bytes.Buffer
		uid := calendar.CalendarUID(p.FeedID, "made", "")
		feed := ical.Feed{UID: uid, Name: "made", Entries: s.Entries, AsOf: s.AsOf}
		if err := ical.WriteICS(&buf, feed); err != nil {
			b.Fatal(err)
		}
	}
}
