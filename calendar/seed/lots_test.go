package seed_test

import (
	"slices"
	"testing"
	"time"

	"treewhen/calendar"
	"treewhen/calendar/build/buildtest"
	"treewhen/calendar/calendartest"
	"treewhen/calendar/seed"
	"treewhen/phenology"
	"treewhen/phenology/civil"
)

// bookOn returns what a nursery's year asks for on a day, with what its book of lots says by then.
func bookOn(t *testing.T, day string, book ...calendar.LotNote) *calendar.Schedule {
	t.Helper()
	p := calendartest.Nursery()
	p.Stands = stands(t, "black cherry")
	p.Stands[0].SeedZone, p.Stands[1].SeedZone = "A", "B"
	p.Options.Seed.Sowing, p.Options.Seed.SowingSet = civil.MonthDay{Month: time.May, Day: 5}, true
	asOf := calendartest.Day(day)
	for _, n := range book {
		if n.Date <= asOf {
			p.Lots = append(p.Lots, n)
		}
	}
	return buildtest.Schedule(&calendar.Plan{
		AsOf: asOf, Span: civil.Span{First: asOf - 14, Last: asOf + 365}, Places: []*calendar.Place{p},
	})
}

func note(t *testing.T, lot, day string, what calendar.LotStep) calendar.LotNote {
	return calendar.LotNote{
		Lot: lot, Date: calendartest.Day(day), Species: find(t, "black cherry")[0], Stand: "flood-bank", What: what,
	}
}

// ofLot returns the open work on a lot, its tasks in the order of their days.
func ofLot(s *calendar.Schedule, lot string) (tasks []calendar.Task) {
	list := slices.Clone(s.Entries)
	slices.SortStableFunc(list, func(a, b *calendar.Entry) int { return int(a.Best - b.Best) })
	for _, e := range list {
		if e.Lot != nil && e.Lot.ID == lot && e.State == calendar.Open {
			tasks = append(tasks, e.Task)
		}
	}
	return tasks
}

// A lot is lived through from its collection to its seedlings: what was done is asked for no more, and what follows
// goes by the day on which it was done.
func TestALotLivedThrough(t *testing.T) {
	book := []calendar.LotNote{
		note(t, "BC-1", "2027-08-20", calendar.LotCollected),
		note(t, "BC-1", "2027-08-23", calendar.LotCleaned),
		note(t, "BC-1", "2027-08-30", calendar.LotStored),
		note(t, "BC-1", "2027-11-12", calendar.LotTested),
		note(t, "BC-1", "2027-12-20", calendar.LotStratified),
		note(t, "BC-1", "2028-05-06", calendar.LotSown),
		note(t, "BC-1", "2028-06-10", calendar.LotCameUp),
	}
	const (
		clean, store, test, cold   = calendar.TaskProcess, calendar.TaskStore, calendar.TaskTest, calendar.TaskStratify
		sprouting, sow, germinated = calendar.TaskSprouting, calendar.TaskSow, calendar.TaskGerminated
	)
	for _, row := range []struct {
		day  string
		want []calendar.Task
	}{
		{"2027-08-19", nil},
		{"2027-08-20", []calendar.Task{clean, store, test, cold, sow, germinated}},
		{"2027-08-23", []calendar.Task{store, test, cold, sow, germinated}},
		{"2027-08-30", []calendar.Task{test, cold, sow, germinated}},
		{"2027-11-12", []calendar.Task{cold, sow, germinated}},
		{"2027-12-20", []calendar.Task{sprouting, sow, germinated}},
		{"2028-05-06", []calendar.Task{germinated}},
		{"2028-06-10", nil},
	} {
		s := bookOn(t, row.day, book...)
		if got := ofLot(s, "BC-1"); !slices.Equal(got, row.want) {
			t.Errorf("on %s: found %v, want %v", row.day, got, row.want)
		}
		seen := map[string]bool{}
		for _, e := range s.Entries {
			if seen[e.UID] {
				t.Errorf("on %s: %s has the identifier of another entry", row.day, e.Task)
			}
			seen[e.UID] = true
			before := slices.Contains([]calendar.Task{calendar.TaskScout, calendar.TaskRipeness, calendar.TaskCollect}, e.Task)
			if e.Season == 2027 && before && e.Stand.ID == "flood-bank" && e.State == calendar.Open && row.day > "2027-08-19" {
				t.Errorf("on %s: %s is asked for, %s, though it was collected", row.day, e.Task, e.Window)
			}
		}
	}

	// Stratification, begun on 20 December, is of 120 days at least (AH-727, Prunus): ready by 18 April, sown on 5 May.
	s := bookOn(t, "2027-12-21", book...)
	for _, e := range s.Entries {
		if e.Lot != nil && e.Lot.ID == "BC-1" && e.Task == sow && e.Best != calendartest.Day("2028-05-05") {
			t.Errorf("found sowing on %s, want the plan's day", e.Best)
		}
	}
	// Begun on 1 March, it is not ready by then: 29 June.
	late := append(slices.Clone(book[:4]), note(t, "BC-1", "2028-03-01", calendar.LotStratified))
	for _, e := range bookOn(t, "2028-03-02", late...).Entries {
		if e.Lot != nil && e.Lot.ID == "BC-1" && e.Task == sow && e.Best != calendartest.Day("2028-06-29") {
			t.Errorf("found sowing on %s, want 29 June", e.Best)
		}
	}
}

// The collection of a lot is the event of the collection that was planned, done; the other stand's stays open.
func TestCollectedIsDone(t *testing.T) {
	before := bookOn(t, "2027-08-19")
	after := bookOn(t, "2027-08-21", note(t, "BC-1", "2027-08-20", calendar.LotCollected))
	find := func(s *calendar.Schedule, stand string) *calendar.Entry {
		for _, e := range s.Entries {
			if e.Task == calendar.TaskCollect && e.Season == 2027 && e.Stand.ID == stand {
				return e
			}
		}
		t.Fatalf("no collection at %s", stand)
		return nil
	}
	a, b := find(before, "flood-bank"), find(after, "flood-bank")
	if a.UID != b.UID || b.State != calendar.Done || b.Best != calendartest.Day("2027-08-20") {
		t.Errorf("found %s on %s, want the event done on 20 August", b.State, b.Best)
	}
	if e := find(after, "top-lot"); e.State != calendar.Open {
		t.Errorf("found the other stand's collection %s", e.State)
	}
}

// Once seed of all stands of an origin is in, the events that were planned for it go on as the lot's; other lots have
// events of their own, and keep them whatever comes after.
func TestLotsTakeOverWhatWasPlanned(t *testing.T) {
	uids := func(s *calendar.Schedule, lot string) (list []string) {
		for _, e := range s.Entries {
			if e.Task == calendar.TaskSow && e.Season == 2027 && (lot == "" && (e.Lot == nil || e.Lot.ID == "") || e.Lot != nil && e.Lot.ID == lot) {
				list = append(list, e.UID)
			}
		}
		return list
	}
	on := func(book ...calendar.LotNote) *calendar.Schedule {
		p := calendartest.Nursery()
		p.Stands, p.Lots = stands(t, "black cherry"), book
		p.Stands[0].SeedZone, p.Stands[1].SeedZone = "A", "A" // one origin
		asOf := calendartest.Day("2027-09-10")
		return buildtest.Schedule(&calendar.Plan{
			AsOf: asOf, Span: civil.Span{First: asOf, Last: asOf + 365}, Places: []*calendar.Place{p},
		})
	}
	one := note(t, "BC-1", "2027-08-20", calendar.LotCollected)
	two, three := one, one
	two.Lot, two.Stand, two.Date = "BC-2", "top-lot", one.Date+9
	three.Lot, three.Date = "BC-3", one.Date+12
	planned := uids(on(), "")
	first := on(one)
	if len(planned) != 1 || !slices.Equal(uids(first, ""), planned) || slices.Equal(uids(first, "BC-1"), planned) {
		t.Errorf("one stand is in: found %v planned and %v of the lot, want what was planned to stay", uids(first, ""), uids(first, "BC-1"))
	}
	for _, book := range [][]calendar.LotNote{{one, two}, {one, two, three}} {
		s := on(book...)
		if !slices.Equal(uids(s, "BC-2"), planned) || len(uids(s, "")) != 0 || !slices.Equal(uids(s, "BC-1"), uids(first, "BC-1")) {
			t.Errorf("%d lots: found %v, planned %v, of the first %v; want the second to have taken over, and the first to stay",
				len(book), uids(s, "BC-2"), planned, uids(s, "BC-1"))
		}
	}
}

// What came too late, or was discarded, asks for nothing more, and what sprouts is sown.
func TestEndsOfLots(t *testing.T) {
	collected := note(t, "BC-1", "2027-08-20", calendar.LotCollected)
	for _, row := range []struct {
		book []calendar.LotNote
		want []calendar.Task
	}{
		{[]calendar.LotNote{note(t, "BC-1", "2027-08-25", calendar.LotTooLate)}, nil},
		{[]calendar.LotNote{collected, note(t, "BC-1", "2027-09-01", calendar.LotDiscarded)}, nil},
		{
			[]calendar.LotNote{collected, note(t, "BC-1", "2027-09-10", calendar.LotSprouting)},
			[]calendar.Task{calendar.TaskSow, calendar.TaskGerminated},
		},
	} {
		s := bookOn(t, "2027-09-10", row.book...)
		if got := ofLot(s, "BC-1"); !slices.Equal(got, row.want) {
			t.Errorf("%s: found %v, want %v", row.book[len(row.book)-1].What, got, row.want)
		}
		for _, e := range s.Entries {
			if e.Season == 2027 && e.Task == calendar.TaskCollect && e.Stand.ID == "flood-bank" && e.State == calendar.Open {
				t.Errorf("%s: its collection is still asked for", row.book[0].What)
			}
		}
	}
}

// Seed of a lot that is kept past its spring is sown in a later one, and tested once a year.
func TestLotKeptOn(t *testing.T) {
	book := []calendar.LotNote{
		note(t, "BC-1", "2027-08-20", calendar.LotCollected), note(t, "BC-1", "2027-08-23", calendar.LotCleaned),
		note(t, "BC-1", "2027-08-30", calendar.LotStored), note(t, "BC-1", "2027-11-12", calendar.LotTested),
	}
	s := bookOn(t, "2029-06-01", book...)
	for _, e := range s.Entries {
		if e.Lot == nil || e.Lot.ID != "BC-1" || e.Task != calendar.TaskSow {
			continue
		}
		if e.Best != calendartest.Day("2030-05-06") { // 5 May is a Sunday
			t.Errorf("found sowing on %s, want the next spring's", e.Best)
		}
		if e.Facts.(*seed.Sow).Treatment.Steps[0].Kind != phenology.ColdStratify {
			t.Errorf("found %+v, want its cold first", e.Facts)
		}
	}
	if got := ofLot(s, "BC-1"); !slices.Contains(got, calendar.TaskTest) {
		t.Errorf("found %v, want a new test: the old one is two years old", got)
	}
}

// What lies in the cold: a lot of 1.9 kg, dry from the week of its storing on, moist from that of its treatment on,
// gone with its sowing. Counted by hand: stored on Monday 30 August, stratified on Monday 20 December, sown on 5 May.
func TestInTheCold(t *testing.T) {
	book := []calendar.LotNote{
		note(t, "BC-1", "2027-08-20", calendar.LotCollected), note(t, "BC-1", "2027-08-23", calendar.LotCleaned),
		note(t, "BC-1", "2027-08-30", calendar.LotStored), note(t, "BC-1", "2027-11-12", calendar.LotTested),
	}
	book[2].Quantity, book[2].Unit = 1900, "g"
	p := calendartest.Nursery()
	p.Stands = stands(t, "black cherry")[:1]
	p.Options.Seed.Sowing, p.Options.Seed.SowingSet = civil.MonthDay{Month: time.May, Day: 5}, true
	for _, row := range []struct {
		asOf, week string
		dry, moist int
	}{
		{"2027-12-01", "2027-11-29", 1, 0}, {"2027-12-01", "2028-01-03", 0, 1}, {"2027-12-01", "2028-05-01", 0, 1},
		{"2027-12-01", "2028-05-08", 0, 0},
		{"2028-02-01", "2028-01-31", 0, 1}, // the treatment has begun, as the book says
	} {
		p.Lots = book
		if row.asOf == "2028-02-01" {
			p.Lots = append(slices.Clone(book), note(t, "BC-1", "2027-12-20", calendar.LotStratified))
		}
		asOf := calendartest.Day(row.asOf)
		plan := &calendar.Plan{AsOf: asOf, Span: civil.Span{First: asOf, Last: asOf + 180}, Places: []*calendar.Place{p}}
		for _, w := range seed.NewWorkload(plan, buildtest.Schedule(plan)).Crews[0].Fridge {
			lies := w.Dry+w.Moist > 0
			if w.Monday == calendartest.Day(row.week) && (w.Dry != row.dry || w.Moist != row.moist || lies && w.KG != 1.9) {
				t.Errorf("as of %s, week of %s: found %+v, want %d dry and %d moist", row.asOf, row.week, w, row.dry, row.moist)
			}
		}
	}
}
