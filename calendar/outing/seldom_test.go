package outing_test

import (
	"bytes"
	"fmt"
	"math"
	"math/rand/v2"
	"strings"
	"testing"

	"treewhen/calendar"
	"treewhen/calendar/build/buildtest"
	"treewhen/calendar/calendartest"
	"treewhen/calendar/ical"
	"treewhen/calendar/ical/icaltest"
	"treewhen/phenology"
	"treewhen/phenology/civil"
	"treewhen/phenology/weather"
)

// Published day by day through a school year of real changes in the weather, a trip is revised when its day moves or
// when what is said of it has become wrong by more than it may, and not for a point more or less: what stands in the
// feed is at all times near what is known that day.
func TestTripsAreRevisedSeldom(t *testing.T) {
	site := calendartest.School(nil).Places[0].Outlook.Site
	// An invented record whose springs and days differ: day-to-day departures that last a while, from a seeded
	// generator.
	record := weather.Series{First: calendartest.Day("2015-01-01")}
	random := rand.New(rand.NewPCG(3, 1))
	slow, fast := 0.0, 0.0
	for d := record.First; d <= calendartest.Day("2027-07-31"); d++ {
		slow, fast = 0.97*slow+0.6*random.NormFloat64(), 0.6*fast+2.4*random.NormFloat64()
		x := 8 - 13.5*math.Cos(2*math.Pi*float64(d.YearDay()-15)/365.25) + slow + fast
		record.Days = append(record.Days, weather.Day{Min: x - 6, Max: x + 6})
	}
	outlook := func(asOf civil.Date) *phenology.Outlook {
		known := record
		known.Days = record.Days[:asOf-record.First]
		return &phenology.Outlook{Site: site, Temps: phenology.NewTemperatures(site, known)}
	}
	var data []byte
	moved, reworded, trips, naive := 0, 0, map[string]bool{}, 0
	before := map[string]*calendar.Entry{}
	for d := calendartest.Day("2027-01-04"); d <= calendartest.Day("2027-06-30"); d += 3 {
		var old *ical.Previous
		if data != nil {
			var err error
			if old, err = ical.ReadPrevious(bytes.NewReader(data)); err != nil {
				t.Fatal(err)
			}
		}
		plan := calendartest.School(func(p *calendar.Place) {
			p.Outlook = outlook(d)
			p.Options.Trip.YearStarts = civil.MonthDay{}
			if old != nil {
				p.Memory = old.Memory()
			}
		})
		plan.AsOf, plan.Span = d, civil.Span{First: d - 14, Last: d + 200}
		entries := buildtest.Schedule(plan).Entries
		f := icaltest.Feed(d.String(), entries...)
		f.Previous = old
		published, changes, err := ical.RenderICS(f)
		if err != nil {
			t.Fatal(err)
		}
		data = published
		now := map[string]*calendar.Entry{}
		sameDay := 0
		for _, e := range entries {
			trips[e.UID], now[e.UID] = true, e
			if b := before[e.UID]; b != nil && b.Best == e.Best {
				sameDay++
				if b.Probability != e.Probability {
					naive++
				}
			} else if b != nil {
				moved++
			}
			// What stands there is near what is known today, and names the very day.
			event := icaltest.EventIn(t, data, e.UID)
			if e.Best < d {
				continue
			}
			if got := event.Props.Get("DTSTART").Value; got != e.Best.Format("20060102")+"T090000" {
				t.Fatalf("%v: found %s, want %v", d, got, e.Best)
			}
			var shown int
			description, err := event.Props.Text("DESCRIPTION")
			if err != nil {
				t.Fatal(err)
			}
			before, _, _ := strings.Cut(description, " % chance")
			if _, err := fmt.Sscanf(before[strings.LastIndex(before, "\n")+1:], "%d", &shown); err != nil {
				t.Fatalf("%s: %v", description, err)
			}
			if off := math.Abs(float64(shown)/100 - e.Probability); off > 0.105 || e.Best <= d+14 && off > 0.055 {
				t.Errorf("%v, trip of %v: found %d %% published, %.3f known", d, e.Best, shown, e.Probability)
			}
		}
		reworded += changes.Revised
		before = now
	}
	reworded -= moved
	t.Logf("%d trips and rain dates: %d moves, %d revisions without one; %d times a chance was another",
		len(trips), moved, reworded, naive)
	if reworded > 4*len(trips) || naive < 3*reworded {
		t.Errorf("%d trips and rain dates: %d revisions that moved no day, of %d changes of chance",
			len(trips), reworded, naive)
	}
}
