package build_test

import (
	"bytes"
	"testing"
	"time"

	"treewhen/calendar"
	"treewhen/calendar/build/buildtest"
	"treewhen/calendar/ical"
	"treewhen/phenology"
	"treewhen/phenology/civil"
	"treewhen/profiles"
)

// A nursery's summer is lived through: each morning every best day that is still to come, as worked out and as published,
// is one on which the crew works, and none that was published goes to and fro over a weekend.
func TestBestDaysAreWorkingDays(t *testing.T) {
	record := openRecord(t, "montreal/en_climate_daily_QC_7025250_*.csv")
	days := civil.Span{First: civil.Of(2010, time.March, 1), Last: civil.Of(2010, time.June, 10)}
	f := newForecaster(3, 7, days)
	var previous *ical.Previous
	told := map[string][]civil.Date{} // the best days of an event, as they were published
	works := func(d civil.Date) bool { return d.Weekday() != time.Saturday && d.Weekday() != time.Sunday }
	looked, moved := 0, 0
	for asOf := days.First; asOf <= days.Last; asOf++ {
		site := phenology.Site{ID: "beds", Name: "Beds", Latitude: 45.47, Longitude: -73.75, Elevation: 36, Zone: time.UTC}
		pl := &calendar.Place{
			Outlook:    &phenology.Outlook{Site: site, Temps: phenology.NewTemperatures(site, f.on(record, asOf))},
			Activities: []calendar.Activity{calendar.SeedCollection}, Options: calendar.DefaultOptions(), Chosen: true,
		}
		for _, name := range []string{"red maple", "silver maple", "sugar maple", "black cherry", "white ash", "paper birch"} {
			sp, err := profiles.Builtin().Find(name)
			if err != nil {
				t.Fatal(err)
			}
			pl.Species = append(pl.Species, sp)
		}
		if previous != nil {
			pl.Memory = previous.Memory()
		}
		p := &calendar.Plan{AsOf: asOf, Span: civil.Span{First: asOf - 14, Last: asOf + 365}, Places: []*calendar.Place{pl}}
		s := buildtest.Schedule(p)
		data, _, err := ical.RenderICS(ical.Feed{UID: calendar.CalendarUID(p.FeedID, site.ID, ""), Name: site.Name,
			Entries: s.Entries, AsOf: asOf, Previous: previous})
		if err != nil {
			t.Fatal(err)
		}
		if previous, err = ical.ReadPrevious(bytes.NewReader(data)); err != nil {
			t.Fatal(err)
		}
		published := previous.Memory()
		for _, e := range s.Entries {
			looked++
			if !works(e.Best) {
				t.Errorf("%s: %s of %s, %v, is best on a %s", asOf, e.Task, e.Species[0].ID, e.Window, e.Best.Weekday())
			}
			best := published[e.UID].Best.Or(e.Best)
			if !works(best) {
				t.Errorf("%s: %s of %s is told to be best on a %s", asOf, e.Task, e.Species[0].ID, best.Weekday())
			}
			was := told[e.UID]
			if n := len(was); n == 0 || was[n-1] != best {
				moved++
				told[e.UID] = append(was, best)
				if n > 1 && was[n-2] == best && civil.Apart(best, was[n-1]) <= 3 {
					t.Errorf("%s: %s of %s goes to and fro: %v, %s", asOf, e.Task, e.Species[0].ID, was, best)
				}
			}
		}
	}
	t.Logf("%d best days looked at, of %d events, published %d times", looked, len(told), moved)
}
