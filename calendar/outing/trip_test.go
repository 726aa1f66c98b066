package outing_test

import (
	"fmt"
	"math"
	"slices"
	"testing"
	"time"

	"treewhen/calendar"
	"treewhen/calendar/build/buildtest"
	"treewhen/calendar/busy"
	"treewhen/calendar/calendartest"
	"treewhen/calendar/ical/icaltest"
	"treewhen/calendar/outing"
	"treewhen/phenology"
	"treewhen/phenology/civil"
)

func TestTripsKeepToThePlan(t *testing.T) {
	plan := calendartest.School(func(p *calendar.Place) {
		p.Options.Trip.Busy = []*busy.Diary{diaryOf(t, termDays)}
		p.Options.Trip.Closed = []civil.Span{calendartest.Span("2027-05-12", "2027-05-14")}
	})
	s := buildtest.Schedule(plan)
	trips, rain := pick(s, calendar.TaskTrip), pick(s, calendar.TaskRainDate)
	if len(trips) != 4 || len(rain) != 4 {
		t.Fatalf("found %d trips and %d rain dates, want 4 of each", len(trips), len(rain))
	}
	taken := func(d civil.Date) string {
		switch {
		case d.Weekday() == time.Saturday || d.Weekday() == time.Sunday:
			return "weekend"
		case d.Weekday() == time.Tuesday:
			return "assembly"
		case d.Weekday() == time.Thursday && int(d-calendartest.Day("2027-01-07"))%14 == 0:
			return "bus"
		case calendartest.Span("2027-04-24", "2027-05-02").Contains(d),
			calendartest.Span("2027-05-12", "2027-05-14").Contains(d):
			return "closed"
		case !calendartest.Span("2027-03-15", "2027-06-15").Contains(d) &&
			!calendartest.Span("2027-08-30", "2027-12-17").Contains(d):
			return "out of term"
		}
		return ""
	}
	days := map[civil.Date]bool{}
	months := map[string]int{}
	for i, e := range trips {
		if why := taken(e.Best); why != "" {
			t.Errorf("trip on %v: %s", e.Best, why)
		}
		if e.Window.First != e.Best || e.Window.Last != e.Best || e.Hours != plan.Places[0].Options.Trip.Hours {
			t.Errorf("found %v, %v, want one day and its hours", e.Window, e.Hours)
		}
		if i > 0 && e.Best-trips[i-1].Best < 10 {
			t.Errorf("found %v after %v, want ten days between", e.Best, trips[i-1].Best)
		}
		months[e.Best.Format("2006-01")]++
		days[e.Best] = true
		r := outing.RainDate(e)
		if r == nil || *r <= e.Best || *r > e.Best+7 || taken(*r) != "" {
			t.Errorf("trip on %v: found rain date %v", e.Best, r)
			continue
		}
		k := slices.IndexFunc(rain, func(x *calendar.Entry) bool { return x.Best == *r })
		if k < 0 || rain[k].After[0] != e.UID {
			t.Errorf("trip on %v: its rain date is no entry that follows from it", e.Best)
		}
		trip := tripOf(e)
		if trip.Order != i+1 || trip.Of != 4 || trip.Wished != 20 || trip.Shows <= 0 || trip.Shows > 20 ||
			trip.OneLess > trip.Shows || e.Probability <= 0 || e.Probability > 1 {
			t.Errorf("found %+v", trip)
		}
		for _, move := range []*outing.Move{trip.Earlier, trip.Later, trip.Rain} {
			if move != nil && (taken(move.To) != "" || days[move.To] ||
				(move.Worth == outing.Less) != (move.Loss >= 0.05)) {
				t.Errorf("trip on %v: found it moved to %+v", e.Best, move)
			}
		}
	}
	for m, n := range months {
		if n > 2 {
			t.Errorf("found %d trips in %s", n, m)
		}
	}
	for _, e := range rain {
		if days[e.Best] {
			t.Errorf("rain date %v is another trip's day", e.Best)
		}
		days[e.Best] = true
	}
}

// Nothing but the days can be better: the choice of the whole is not beaten by moving one trip to any allowed day. What
// a trip shows is worked out here from the estimates alone, by counting outcomes one by one.
func TestNoDayIsBetter(t *testing.T) {
	plan := calendartest.School(func(p *calendar.Place) {
		p.Options.Trip.Spacing, p.Options.Trip.MostMonth, p.Options.Trip.RainWithin = 1, 0, 0
		p.Options.Trip.Trips = 2
		p.Options.Trip.Wishes = []calendar.Wish{{See: calendar.Sight{Phase: phenology.Flowering}, Weight: 1}}
	})
	place := plan.Places[0]
	// outcome k of 500 is a season as early or late as all but k of 500 are.
	const outcomes = 500
	type spell struct{ from, to [outcomes]civil.Date }
	var spells []spell
	for _, sp := range place.Species {
		est := place.Outlook.Estimate(sp, 2027)
		var s spell
		for k := range outcomes {
			p := (float64(k) + 0.5) / outcomes
			s.from[k], s.to[k] = est.Get(phenology.Flowering).Quantile(p), est.Get(phenology.FloweringEnd).Quantile(p)
		}
		spells = append(spells, s)
	}
	value := func(days ...civil.Date) float64 {
		n := 0
		for _, s := range spells {
			for k := range outcomes {
				if slices.ContainsFunc(days, func(d civil.Date) bool { return s.from[k] <= d && d < s.to[k] }) {
					n++
				}
			}
		}
		return float64(n) / outcomes
	}
	trips := pick(buildtest.Schedule(plan), calendar.TaskTrip)
	if len(trips) != 2 {
		t.Fatalf("found %d trips, want 2", len(trips))
	}
	chosen := value(trips[0].Best, trips[1].Best)
	best := 0.0
	var where [2]civil.Date
	var open []civil.Date
	for d := calendartest.Day("2027-03-15"); d <= calendartest.Day("2027-06-15"); d++ {
		if wd := d.Weekday(); wd != time.Saturday && wd != time.Sunday {
			open = append(open, d)
		}
	}
	for i, a := range open {
		for _, b := range open[i+1:] {
			if v := value(a, b); v > best {
				best, where = v, [2]civil.Date{a, b}
			}
		}
	}
	// Five species, each to a five-hundredth of its outcomes.
	if chosen < best-5./outcomes {
		t.Errorf("found %v and %v worth %.3f, every pair tried: %v worth %.3f", trips[0].Best, trips[1].Best, chosen,
			where, best)
	}
	// The trips say that value.
	if trip := tripOf(trips[0]); math.Abs(float64(trip.Shows)-chosen) > 5./outcomes || trip.Wished != 5 {
		t.Errorf("found %.3f of %v shown, want %.3f of 5", trip.Shows, trip.Wished, chosen)
	}
}

func TestBookedTrips(t *testing.T) {
	free := pick(buildtest.Schedule(calendartest.School(nil)), calendar.TaskTrip)
	// A Tuesday on which there is assembly, and today a month further on.
	booked := calendartest.Day("2027-05-11")
	plan := calendartest.School(func(p *calendar.Place) {
		p.Options.Trip.Booked = []civil.Date{booked}
		p.Options.Trip.Busy = []*busy.Diary{diaryOf(t, termDays)}
	})
	plan.AsOf = calendartest.Day("2027-04-12")
	plan.Span = calendartest.Span("2027-04-12", "2028-04-11")
	trips := pick(buildtest.Schedule(plan), calendar.TaskTrip)
	if len(trips) != 4 {
		t.Fatalf("found %d trips, want 4, the booked one among them", len(trips))
	}
	k := slices.IndexFunc(trips, func(e *calendar.Entry) bool { return e.Best == booked })
	if k < 0 || tripOf(trips[k]).Clash != "Assembly" {
		t.Fatalf("found no trip on %v that says what it is booked over", booked)
	}
	// In a calendar it is confirmed; the others may still move.
	data := icaltest.Render(t, icaltest.Feed("2027-04-12", buildtest.Schedule(plan).Entries...))
	for i, e := range trips {
		status, state := "TENTATIVE", calendar.Open
		if i == k {
			status, state = "CONFIRMED", calendar.Booked
		}
		got := icaltest.EventIn(t, data, e.UID).Props.Get("STATUS").Value
		if got != status || e.State != state {
			t.Errorf("trip on %v: found %s and %v, want %s and %v", e.Best, got, e.State, status, state)
		}
	}
	for _, e := range trips {
		if e.Best < plan.AsOf || e.Best != booked && e.Best > booked-10 && e.Best < booked+10 {
			t.Errorf("found a trip on %v", e.Best)
		}
	}
	if len(free) != 4 {
		t.Errorf("found %d trips, want 4", len(free))
	}
	// In autumn, the trips of spring stand under booked and are over: they count, and are no work ahead.
	plan.Places[0].Options.Trip.Booked = []civil.Date{calendartest.Day("2027-04-21"), calendartest.Day("2027-05-06"),
		calendartest.Day("2027-05-20")}
	plan.AsOf, plan.Span = calendartest.Day("2027-08-01"), calendartest.Span("2027-08-01", "2028-07-31")
	if trips := pick(buildtest.Schedule(plan), calendar.TaskTrip); len(trips) != 1 {
		t.Errorf("found %d trips, want the one that is left", len(trips))
	}
}

func TestTripsThatCannotBe(t *testing.T) {
	year := calendartest.Day("2027-01-01")
	for _, row := range []struct {
		name   string
		change func(*calendar.Place)
		trips  int
		note   any // nil: none
	}{
		{"no day is left", func(p *calendar.Place) {
			p.Options.Trip.Closed = []civil.Span{calendartest.Span("2027-01-01", "2027-12-31")}
		}, 0, outing.NoDayLeft{}},
		{"nothing to see", func(p *calendar.Place) {
			p.Options.Trip.Wishes = []calendar.Wish{{See: calendar.Sight{Organ: "fruit", Name: "taste"}, Weight: 1}}
		}, 0, outing.NothingToSee{YearFrom: year}},
		{"more would add nothing", func(p *calendar.Place) {
			p.Options.Trip.Trips = 12
			p.Options.Trip.MostMonth = 0
			p.Options.Trip.Spacing = 1
			p.Options.Trip.Wishes = []calendar.Wish{{See: calendar.Sight{Organ: "bark", Name: "pattern"}, Weight: 1}}
		}, 1, outing.FewerTrips{Trips: 1, Wanted: 12, YearFrom: year, Why: outing.AddNothing}},
		{"no room for more", func(p *calendar.Place) { p.Options.Trip.Spacing = 150 }, 2,
			outing.FewerTrips{Trips: 2, Wanted: 4, YearFrom: year, Why: outing.NoRoom}},
		{"none wanted", func(p *calendar.Place) { p.Options.Trip.Trips = 0 }, 0, nil},
	} {
		t.Run(row.name, func(t *testing.T) {
			s := buildtest.Schedule(calendartest.School(row.change))
			if n := len(pick(s, calendar.TaskTrip)); n != row.trips {
				t.Errorf("found %d trips, want %d", n, row.trips)
			}
			var notes []any
			for _, n := range s.Notes {
				says := n.Says
				left, ok := says.(outing.NoDayLeft)
				if ok && left.Taken.Closed == left.Taken.Suit-left.Taken.OutOfTerm {
					says = outing.NoDayLeft{}
				}
				notes = append(notes, says)
			}
			if row.note == nil && len(notes) > 0 || row.note != nil && !slices.Contains(notes, row.note) {
				t.Errorf("found notes %+v, want %+v", notes, row.note)
			}
		})
	}
}

// A school year begins in August, and south of the equator in January, unless the plan says when.
func TestSchoolYears(t *testing.T) {
	for _, own := range []civil.MonthDay{{}, {Month: 8, Day: 1}} {
		plan := calendartest.School(func(p *calendar.Place) {
			p.Options.Trip.YearStarts = own
			p.Options.Trip.Terms, p.Options.Trip.Trips = nil, 3
		})
		years := map[bool]int{}
		for _, e := range pick(buildtest.Schedule(plan), calendar.TaskTrip) {
			years[e.Best >= calendartest.Day("2027-08-01")]++
		}
		// Three until July 2027; of the three of the next year, those up to March 2028.
		if years[false] != 3 || years[true] == 0 || years[true] > 3 {
			t.Errorf("begins %v: found %v", own, years)
		}
	}
	south := calendartest.School(func(p *calendar.Place) {
		p.Outlook.Site.Latitude, p.Outlook.Site.Longitude = -43.2, 171.5
		p.Outlook.Site.Zone = calendartest.Zone("Pacific/Auckland")
		p.Options.Trip.Terms, p.Options.Trip.YearStarts = nil, civil.MonthDay{}
	})
	trips := pick(buildtest.Schedule(south), calendar.TaskTrip)
	if len(trips) < 4 || trips[3].Best > calendartest.Day("2027-12-31") {
		t.Errorf("found %d trips, want four until December, when a southern school year ends", len(trips))
	}
	flowers := 0
	for _, e := range pick(buildtest.Schedule(south), calendar.TaskTrip) {
		trip, flowering := tripOf(e), calendar.Sight{Phase: phenology.Flowering}
		if trip.Theme == flowering || slices.Contains(trip.Also, flowering) {
			if m := e.Best.Month(); m < time.September || m > time.December {
				t.Errorf("found flowers on %v", e.Best)
			}
			flowers++
		}
	}
	if flowers == 0 {
		t.Error("found no trip to see flowers")
	}
}

// BenchmarkTrips is what a plan with a bound asks for: four trips from 180 days, twenty species, sixty wishes,
// estimates and entries included.
func BenchmarkTrips(b *testing.B) {
	plan := calendartest.School(func(p *calendar.Place) {
		five := p.Species
		p.Species = nil
		for i := range 20 {
			sp := *five[i%5]
			sp.ID = fmt.Sprintf("%s-%02d", sp.ID, i)
			p.Species = append(p.Species, &sp)
		}
		o := &p.Options.Trip
		o.Terms, o.RainWithin = []civil.Span{calendartest.Span("2027-03-15", "2027-11-19")}, 7 // 180 weekdays
		o.Wishes = nil
		for _, phase := range []phenology.Phase{phenology.Flowering, phenology.BudBreak, phenology.LeafColor} {
			o.Wishes = append(o.Wishes, calendar.Wish{See: calendar.Sight{Phase: phase}, Weight: 1})
		}
		p.Outlook.Temps = temperatures(p.Outlook.Site, 8, 13)
	})
	b.ReportAllocs()
	for b.Loop() {
		if n := len(pick(buildtest.Schedule(plan), calendar.TaskTrip)); n != 4 {
			b.Fatalf("found %d trips", n)
		}
	}
}
