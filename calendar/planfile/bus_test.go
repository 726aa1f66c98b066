package planfile

import (
	"strings"
	"testing"

	"treewhen/calendar"
)

// The ride takes its minutes off both ends of the school's day.
func TestBus(t *testing.T) {
	plan := func(trip string) (*calendar.TripOptions, error) {
		p, err := Read(strings.NewReader("title: School\nactivities:\n  field-trip: {"+trip+"}\nsites:\n"+
			"  - {id: a, latitude: 44, longitude: -72, elevation: 100 m, timezone: America/New_York}\n"), "school.yaml")
		if err != nil {
			return nil, err
		}
		return &p.Sites[0].Options.Trip, nil
	}
	o, err := plan(`hours: "09:00/11:30", travel_minutes: 25, margin_minutes: 10, bells: "08:15/12:05"`)
	if err != nil {
		t.Fatal(err)
	}
	if away := o.Away(); away != (calendar.Hours{Start: 8*60 + 35, End: 11*60 + 55}) {
		t.Errorf("found %+v away", away)
	}
	_, err = plan(`hours: "09:00/11:30", travel_minutes: 25, margin_minutes: 10, bells: "08:15/12:00"`)
	const want = `school.yaml:3: activities.field-trip.bells: found 08:15 to 12:00, want a school day that holds the ` +
		`outing with both rides and the margin, 08:35 to 12:05`
	if err == nil || err.Error() != want {
		t.Errorf("found %v, want %s", err, want)
	}
}
