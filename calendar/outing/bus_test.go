package outing_test

import (
	"testing"

	"treewhen/calendar"
	"treewhen/calendar/build/buildtest"
	"treewhen/calendar/busy"
	"treewhen/calendar/calendartest"
)

// What begins before the bus is back takes the day: a meeting at 11:45 takes none of a trip to 11:30 on foot, and every
// day of one with half an hour's ride.
func TestRideTakesItsTime(t *testing.T) {
	trips := func(bus calendar.Bus) int {
		plan := calendartest.School(func(p *calendar.Place) {
			p.Options.Trip.Bus = bus
			p.Options.Trip.Busy = []*busy.Diary{diaryOf(t, "BEGIN:VEVENT\nUID:m\nSUMMARY:Meeting\n"+
				"DTSTART:20260803T114500\nDTEND:20260803T121500\nRRULE:FREQ=DAILY\nEND:VEVENT")}
		})
		return len(pick(buildtest.Schedule(plan), calendar.TaskTrip))
	}
	if n := trips(calendar.Bus{}); n == 0 {
		t.Error("found no trip on foot")
	}
	if n := trips(calendar.Bus{Travel: 30}); n != 0 {
		t.Errorf("found %d trips by bus, want none", n)
	}
	if n := trips(calendar.Bus{Travel: 10, Margin: 10}); n != 0 {
		t.Errorf("found %d trips with a margin, want none", n)
	}
}
