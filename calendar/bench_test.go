package calendar_test

import (
	"io"
	"math"
	"math/rand/v2"
	"testing"

	"treewhen/calendar"
	"treewhen/phenology"
	"treewhen/phenology/civil"
	"treewhen/phenology/weather"
	"treewhen/profiles"
)

// wholeLibrary is a plan for one invented site with every species of the library, thirty invented years of record and a
// spring under way.
func wholeLibrary(activities ...calendar.Activity) *calendar.Plan {
	site := phenology.Site{ID: "here", Name: "Here", Latitude: 43.5, Longitude: -72.5, Elevation: 300, Zone: zone("America/New_York")}
	asOf := day("2027-03-12")
	r := rand.New(rand.NewPCG(3, 0))
	s := weather.Series{First: day("1997-01-01")}
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
		Title: "Everything", FeedID: feedID, AsOf: asOf, Span: civil.Span{First: asOf, Last: asOf + 365}, Places: []*calendar.Place{place},
	}
}

// What each activity takes at one site with the whole library, once the record's running sums are made.
func BenchmarkActivity(b *testing.B) {
	for _, a := range calendar.Activities() {
		b.Run(string(a), func(b *testing.B) {
			plan := wholeLibrary(a)
			if len(calendar.Build(plan).Entries) == 0 {
				b.Fatal("no entries")
			}
			b.ReportAllocs()
			for b.Loop() {
				calendar.Build(plan)
			}
		})
	}
}

// What each format takes of one site's year with the whole library.
func BenchmarkWrite(b *testing.B) {
	plan := wholeLibrary(calendar.Activities()...)
	s := calendar.Build(plan)
	feed := calendar.Feed{UID: calendar.CalendarUID(feedID, "here", ""), Name: "Here", Entries: s.Entries, AsOf: s.AsOf}
	for _, c := range []struct {
		format string
		write  func(io.Writer) error
	}{
		{"text", func(w io.Writer) error { return calendar.WriteText(w, s, calendar.TextOptions{}) }},
		{"details", func(w io.Writer) error { return calendar.WriteText(w, s, calendar.TextOptions{Details: true}) }},
		{"csv", func(w io.Writer) error { return calendar.WriteCSV(w, s) }},
		{"json", func(w io.Writer) error { return calendar.WriteJSON(w, s) }},
		{"ics", func(w io.Writer) error { return calendar.WriteICS(w, feed) }},
		{"html", func(w io.Writer) error { return calendar.WritePage(w, calendar.Page{Plan: plan, Schedule: s}) }},
		{"chart", func(w io.Writer) error { return writeChart(w, plan, calendar.ChartOptions{}) }},
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
