package planfile

import (
	"strings"
	"testing"
	"time"

	"github.com/google/go-cmp/cmp"

	"treewhen/calendar"
	"treewhen/calendar/busy"
	"treewhen/phenology"
	"treewhen/phenology/civil"
)

func TestTripOptions(t *testing.T) {
	p, err := Read(strings.NewReader(`title: School
activities:
  field-trip:
    trips: 4
    year_starts: 08-01
    hours: "09:00/11:30"
    weekdays: [Tue, thursday]
    terms: [2027-03-15/2027-06-18]
    busy: [term.ics, {file: staff.ics, taken: [Pretzel Day], half: [Chapel], free: [No School LHS only]}]
    spacing: 2 weeks
    most_a_month: 2
    rain_within: 0 days
    booked: [2027-05-04]
    wishes:
      - {see: flowering, weight: 2}
      - see: fruit angle
        species: [Norway maple]
  twig-survey: {hours: "10:00/12:00", busy: term.ics, coldest: 14 F, targets: [red maple]}
sites:
  - {id: a, latitude: 44, longitude: -72, elevation: 100 m, timezone: America/New_York}
  - {id: b, latitude: 44, longitude: -72, elevation: 100 m, timezone: America/New_York, activities: {field-trip: {trips: 1, weekends: true, busy: own.ics}}}
`), "school.yaml")
	if err != nil {
		t.Fatal(err)
	}
	may := civil.Of(2027, 5, 4)
	want := calendar.TripOptions{
		Trips: 4, YearStarts: civil.MonthDay{Month: 8, Day: 1}, Spacing: 14, MostMonth: 2, RainWithin: 0, Booked: []civil.Date{may},
		Wishes: []calendar.Wish{
			{See: calendar.Sight{Phase: phenology.Flowering}, Weight: 2, Line: 15},
			{See: calendar.Sight{Organ: "fruit", Name: "angle"}, Species: []string{"Norway maple"}, Weight: 1, Line: 16},
		},
		Outings: calendar.Outings{
			Hours: calendar.Hours{Start: 540, End: 690}, Weekdays: []time.Weekday{time.Tuesday, time.Thursday},
			Terms:  []civil.Span{{First: civil.Of(2027, 3, 15), Last: civil.Of(2027, 6, 18)}},
			Closed: []civil.Span{},
			Calendar: []calendar.CalendarFile{{Path: "term.ics", Line: 9}, {Path: "staff.ics", Line: 9, Words: busy.Words{
				Taken: []string{"Pretzel Day"}, Half: []string{"Chapel"}, Free: []string{"No School LHS only"},
			}}},
			Reminder: 7 * 60,
		},
	}
	got := p.Sites[0].Options.Trip
	if len(got.Closed) == 0 {
		got.Closed = []civil.Span{}
	}
	if diff := cmp.Diff(want, got); diff != "" {
		t.Errorf("(-want +got):\n%s", diff)
	}
	twig := p.Sites[0].Options.Twig
	if twig.Coldest < -10.001 || twig.Coldest > -9.999 || twig.Targets[0] != "red maple" || twig.Calendar[0].Path != "term.ics" || twig.Hours.Start != 600 {
		t.Errorf("found %+v", twig)
	}
	// A site's own stand over the plan's and do not reach the other.
	if b := p.Sites[1].Options.Trip; b.Trips != 1 || len(b.Weekdays) != 7 || len(b.Calendar) != 1 || b.Spacing != 14 {
		t.Errorf("found %+v", b)
	}
}
