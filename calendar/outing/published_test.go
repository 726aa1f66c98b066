package outing_test

import (
	"bytes"
	"slices"
	"strings"
	"testing"
	"time"

	"treewhen/calendar"
	"treewhen/calendar/build/buildtest"
	"treewhen/calendar/busy"
	"treewhen/calendar/calendartest"
	"treewhen/calendar/ical"
	"treewhen/calendar/ical/icaltest"
	"treewhen/phenology"
	"treewhen/phenology/civil"
)

// A feed that is made anew each Monday, and every morning about a trip, keeps a trip on the day on which the class made
// it, and moves none on to the next day; the others are chosen around it, the rain date stays, and no identifier is
// used twice.
func TestTripsWhoseDayHasCome(t *testing.T) {
	first := buildtest.Schedule(calendartest.School(nil))
	trips := pick(first, calendar.TaskTrip)
	rain := pick(first, calendar.TaskRainDate)
	f := icaltest.Feed("2027-03-12", first.Entries...)
	data := icaltest.Render(t, f)
	var plan *calendar.Plan
	last := trips[len(trips)-1].Best + 15
	outings := slices.Concat(trips, rain)
	for d := calendartest.Day("2027-03-13"); d <= last; d++ {
		about := func(e *calendar.Entry) bool { return e.Best-2 <= d && d <= e.Best+2 }
		if d.Weekday() != time.Monday && !slices.ContainsFunc(outings, about) {
			continue
		}
		old, err := ical.ReadPrevious(bytes.NewReader(data))
		if err != nil {
			t.Fatal(err)
		}
		plan = calendartest.School(func(p *calendar.Place) { p.Memory = old.Memory() })
		plan.AsOf, plan.Span = d, civil.Span{First: d - 14, Last: d + 365}
		s := buildtest.Schedule(plan)
		for _, e := range s.Entries {
			planned := slices.ContainsFunc(trips, func(x *calendar.Entry) bool { return x.UID == e.UID && x.Best == d })
			if e.Task == calendar.TaskTrip && e.Best == d && !planned {
				t.Errorf("%v: found a trip that day that was not planned for it", d)
			}
		}
		f = icaltest.Feed(d.String(), s.Entries...)
		f.Previous = old
		data = icaltest.Render(t, f)
	}
	end, err := ical.ReadPrevious(bytes.NewReader(data))
	if err != nil {
		t.Fatal(err)
	}
	for i, e := range trips {
		if got := end.Memory()[e.UID].Window.First; got != e.Best {
			t.Errorf("trip %d: found on %v at the end, want %v, its day", i+1, got, e.Best)
		}
	}
	for i, e := range rain {
		if got := end.Memory()[e.UID].Window.First; got != e.Best {
			t.Errorf("rain date %d: found on %v at the end, want %v", i+1, got, e.Best)
		}
	}

	// The plan knows better: what it closes was not made, and what it books in place of a trip is that trip.
	published := map[string]calendar.Memory{trips[0].UID: {Window: trips[0].Window}}
	for name, change := range map[string]func(*calendar.TripOptions){
		"closed": func(o *calendar.TripOptions) {
			o.Closed = []civil.Span{{First: trips[0].Best, Last: trips[0].Best}}
		},
		"booked": func(o *calendar.TripOptions) { o.Booked = []civil.Date{trips[0].Best + 1} },
	} {
		plan := calendartest.School(func(p *calendar.Place) {
			p.Memory = published
			change(&p.Options.Trip)
		})
		plan.AsOf = trips[0].Best + 2
		plan.Span = civil.Span{First: plan.AsOf - 14, Last: plan.AsOf + 365}
		list := pick(buildtest.Schedule(plan), calendar.TaskTrip)
		first := func(e *calendar.Entry) bool { return e.Best == trips[0].Best }
		if len(list) != 4 || slices.ContainsFunc(list, first) {
			t.Errorf("%s: found %d trips, want 4 and none on the day itself", name, len(list))
		}
	}
}

// A trip keeps its identifier when its day moves; a feed that finds its way into the school's own calendar blocks
// nothing.
func TestTripsAndTheirOwnFeed(t *testing.T) {
	before := calendartest.School(nil)
	trips := pick(buildtest.Schedule(before), calendar.TaskTrip)
	after := calendartest.School(func(p *calendar.Place) {
		p.Options.Trip.Closed = []civil.Span{{First: trips[0].Best, Last: trips[0].Best}}
	})
	moved := pick(buildtest.Schedule(after), calendar.TaskTrip)
	for i := range trips {
		if trips[i].UID != moved[i].UID {
			t.Errorf("trip %d: found another identifier", i+1)
		}
	}
	if moved[0].Best == trips[0].Best {
		t.Error("want the first trip moved")
	}
	s := buildtest.Schedule(before)
	data := string(icaltest.Render(t, icaltest.Feed("2027-03-12", s.Entries...)))
	data = strings.ReplaceAll(data, "TRANSP:TRANSPARENT", "TRANSP:OPAQUE")
	diary, err := busy.Words{}.Read(strings.NewReader(data), "copy.ics",
		calendartest.Span("2027-01-01", "2028-12-31"))
	if err != nil {
		t.Fatal(err)
	}
	again := calendartest.School(func(p *calendar.Place) { p.Options.Trip.Busy = []*busy.Diary{diary} })
	for i, e := range pick(buildtest.Schedule(again), calendar.TaskTrip) {
		if e.Best != trips[i].Best {
			t.Errorf("trip %d: found %v, want %v: its own feed blocks it", i+1, e.Best, trips[i].Best)
		}
	}
}

// A trip is the first, the second, the third of its school year and stays that in people's calendars, whatever it is to
// show and in whatever order the plan says so. Another plan's are others, and so are another school year's.
func TestTripIdentifiers(t *testing.T) {
	uids := func(change func(*calendar.Plan, *calendar.TripOptions)) (list []string) {
		plan := calendartest.School(func(p *calendar.Place) {
			p.Options.Trip.YearStarts = civil.MonthDay{Month: 8, Day: 1}
		})
		change(plan, &plan.Places[0].Options.Trip)
		for _, task := range []calendar.Task{calendar.TaskTrip, calendar.TaskRainDate} {
			for _, e := range pick(buildtest.Schedule(plan), task) {
				list = append(list, e.UID)
			}
		}
		return list
	}
	see := func(phases ...phenology.Phase) (list []calendar.Wish) {
		for _, p := range phases {
			list = append(list, calendar.Wish{See: calendar.Sight{Phase: p}, Weight: 1})
		}
		return list
	}
	before := uids(func(*calendar.Plan, *calendar.TripOptions) {})
	if len(before) != 16 || len(slices.Compact(slices.Sorted(slices.Values(before)))) != 16 {
		t.Fatalf("found %d identifiers, want 16, no two the same", len(before))
	}
	for name, change := range map[string]func(*calendar.Plan, *calendar.TripOptions){
		"wishes in another order": func(_ *calendar.Plan, o *calendar.TripOptions) {
			o.Wishes = see(phenology.LeafColor, phenology.FruitRipe, phenology.BudBreak, phenology.Flowering)
		},
		"other wishes": func(_ *calendar.Plan, o *calendar.TripOptions) {
			o.Wishes = see(phenology.LeafOut, phenology.SeedFall, phenology.BudSwell, phenology.LeafFall)
		},
		"another title":          func(p *calendar.Plan, _ *calendar.TripOptions) { p.Title = "Renamed" },
		"a day's change of term": func(_ *calendar.Plan, o *calendar.TripOptions) { o.Terms[0].First++ },
		"other start of year": func(_ *calendar.Plan, o *calendar.TripOptions) {
			o.YearStarts = civil.MonthDay{Month: 8, Day: 20}
		},
	} {
		if after := uids(change); !slices.Equal(before, after) {
			t.Errorf("%s: found other identifiers", name)
		}
	}
	// Over New Year, in one school year.
	winter := func(first, last string) string {
		return uids(func(p *calendar.Plan, o *calendar.TripOptions) {
			o.Trips, o.Terms, o.Wishes = 1, []civil.Span{calendartest.Span(first, last)}, see(phenology.LeafFall)
			p.AsOf, p.Span = calendartest.Day("2026-11-20"), calendartest.Span("2026-11-20", "2027-07-01")
		})[0]
	}
	if winter("2026-12-01", "2026-12-20") != winter("2027-01-10", "2027-01-30") {
		t.Error("a trip that moves from December to January: found another identifier")
	}
	other := uids(func(p *calendar.Plan, _ *calendar.TripOptions) { p.FeedID[0]++ })
	for _, uid := range other {
		if slices.Contains(before, uid) {
			t.Error("two plans: found the same identifier")
		}
	}
}

// What is published stays while another choice of days would show little more, and then only what must go goes. A trip
// keeps its number on its published day, whatever comes before it in the year.
func TestPublishedDaysStay(t *testing.T) {
	base := pick(buildtest.Schedule(calendartest.School(nil)), calendar.TaskTrip)
	rain := pick(buildtest.Schedule(calendartest.School(nil)), calendar.TaskRainDate)
	if len(base) != 4 || len(rain) != 4 {
		t.Fatalf("found %d trips and %d rain dates", len(base), len(rain))
	}
	published := func(change func(days map[string]civil.Date)) map[string]civil.Date {
		days := map[string]civil.Date{}
		for i := range base {
			days[base[i].UID], days[rain[i].UID] = base[i].Best, rain[i].Best
		}
		change(days)
		return days
	}
	monday := func(d civil.Date) civil.Date { // a school day
		for d.Weekday() == time.Saturday || d.Weekday() == time.Sunday {
			d++
		}
		return d
	}
	for _, row := range []struct {
		name      string
		published map[string]civil.Date
		change    func(*calendar.TripOptions)
		moves     []int // which of the four do not stand where they were published
	}{
		{"as it is", published(func(map[string]civil.Date) {}), nil, nil},
		{"a day off", published(func(d map[string]civil.Date) {
			d[base[1].UID] = monday(base[1].Best + 1)
			d[rain[1].UID] += 7
		}), nil, nil},
		{"far too early", published(func(d map[string]civil.Date) {
			d[base[0].UID] = calendartest.Day("2027-03-15")
			delete(d, rain[0].UID)
		}), nil, []int{0}},
		{"closed since", published(func(map[string]civil.Date) {}), func(o *calendar.TripOptions) {
			o.Closed = []civil.Span{{First: base[2].Best, Last: base[2].Best}}
		}, []int{2}},
		{"in another order", published(func(d map[string]civil.Date) {
			d[base[0].UID], d[base[1].UID] = base[1].Best, base[0].Best
			delete(d, rain[0].UID)
			delete(d, rain[1].UID)
		}), nil, nil},
	} {
		t.Run(row.name, func(t *testing.T) {
			plan := calendartest.School(func(p *calendar.Place) {
				p.Memory = map[string]calendar.Memory{}
				for uid, d := range row.published {
					p.Memory[uid] = calendar.Memory{Window: civil.Span{First: d, Last: d}}
				}
				if row.change != nil {
					row.change(&p.Options.Trip)
				}
			})
			trips := pick(buildtest.Schedule(plan), calendar.TaskTrip)
			if len(trips) != 4 {
				t.Fatalf("found %d trips", len(trips))
			}
			for i, b := range base {
				k := slices.IndexFunc(trips, func(e *calendar.Entry) bool { return e.UID == b.UID })
				if k < 0 {
					t.Errorf("trip %d: found no trip of its identifier", i+1)
					continue
				}
				if moved := trips[k].Best != row.published[b.UID]; moved != slices.Contains(row.moves, i) {
					t.Errorf("trip %d: published for %v, found on %v", i+1, row.published[b.UID], trips[k].Best)
				}
			}
			// It shows what the best choice shows, but for a hundredth of the wish list's twenty.
			if best := tripOf(base[0]).Shows; row.change == nil && tripOf(trips[0]).Shows < best-0.2 {
				t.Errorf("found %v shown, want %v or little less", tripOf(trips[0]).Shows, best)
			}
		})
	}
}

// The rain date of a booked trip stays when it is past, with its feed and without, and does not go on by a day every day.
func TestARainDateDoesNotMoveOn(t *testing.T) {
	day := pick(buildtest.Schedule(calendartest.School(nil)), calendar.TaskTrip)[0].Best
	rainOn := func(asOf civil.Date, memory map[string]calendar.Memory) *calendar.Entry {
		plan := calendartest.School(func(p *calendar.Place) {
			p.Options.Trip.Booked, p.Memory = []civil.Date{day}, memory
		})
		plan.AsOf, plan.Span = asOf, civil.Span{First: day - 14, Last: day + 300}
		return pick(buildtest.Schedule(plan), calendar.TaskRainDate)[0]
	}
	first := rainOn(day-1, nil)
	memory := map[string]calendar.Memory{first.UID: {Window: first.Window}, first.After[0]: {Window: civil.Span{First: day, Last: day}}}
	for asOf := day; asOf <= day+9; asOf++ {
		for _, of := range []map[string]calendar.Memory{nil, memory} {
			if e := rainOn(asOf, of); e.Best != first.Best {
				t.Errorf("%v, with a feed %v: found the rain date on %v, want %v", asOf, of != nil, e.Best, first.Best)
			}
		}
	}
}

// Of two sights of which a trip shows nearly as much, the one that was published stays; one that shows much less goes.
func TestAThemeStays(t *testing.T) {
	day := pick(buildtest.Schedule(calendartest.School(nil)), calendar.TaskTrip)[0].Best
	trip := func(see calendar.Sight, times float64, memory map[string]calendar.Memory) *calendar.Entry {
		return pick(buildtest.Schedule(calendartest.School(func(p *calendar.Place) {
			p.Options.Trip.Booked, p.Options.Trip.Trips, p.Memory = []civil.Date{day}, 1, memory
			p.Options.Trip.Wishes = slices.Clone(calendar.DefaultWishes)
			for i, w := range p.Options.Trip.Wishes {
				if w.See == see {
					p.Options.Trip.Wishes[i].Weight *= times
				}
			}
		})), calendar.TaskTrip)[0]
	}
	e := trip(calendar.Sight{}, 1, nil)
	top, other := tripOf(e).Adds[0], tripOf(e).Adds[1]
	for _, row := range []struct {
		share calendar.Amount // of what the best adds, that the other one is made to add by its weight
		want  calendar.Sight
	}{{0.9, other.See}, {0.6, top.See}} {
		memory := map[string]calendar.Memory{e.UID: {Window: e.Window, Told: map[string]string{"for": other.See.String() + "+other"}}}
		got := tripOf(trip(other.See, float64(row.share*top.By/other.By), memory))
		if got.Theme != row.want {
			t.Errorf("%v of %v: found %v of %v, want %v", row.share, top, got.Theme, got.Adds, row.want)
		}
	}
}
