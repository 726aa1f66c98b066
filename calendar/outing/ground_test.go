package outing_test

import (
	"testing"

	"treewhen/calendar"
	"treewhen/calendar/calendartest"
	"treewhen/calendar/outing"
)

// Leaves on the ground are told while the tree is bare, and not while it is in leaf or its litter is gone: box elder's
// and silver maple's by New Year, the others' in spring (from memory). A sheet says nothing of what is not there.
func TestLeavesOnTheGround(t *testing.T) {
	plan := calendartest.School(nil)
	for day, want := range map[string]bool{"2027-01-20": true, "2027-07-10": false, "2027-05-25": false} {
		s := outing.NewSheet(plan.Places[0], calendartest.Day(day), calendar.FieldTrip)
		for _, x := range s.Species {
			want := want && x.Species.ID != "acer-negundo" && x.Species.ID != "acer-saccharinum"
			if got := len(x.Ground) > 0; got != want {
				t.Errorf("%s, %s: found %v on the ground", day, x.Species.ID, x.Ground)
			}
			for _, c := range x.Traits {
				none := len(c.States) == 1 && c.States[0] == "none" && c.Name != "smell" && c.Name != "coat"
				if c.Name == "litter" || none {
					t.Errorf("%s, %s: found %s %v on the sheet", day, x.Species.ID, c.Name, c.States)
				}
			}
		}
	}
}

// What to bring follows the warmth of the hours and the season, not the leaves: ticks look for a host on a mild day
// before any leaf is out.
func TestKitFollowsWarmth(t *testing.T) {
	plan := calendartest.School(nil)
	plan.Places[0].Species = plan.Places[0].Species[:1]
	for day, want := range map[string]outing.Kit{
		"2027-01-20": {Layers: true}, "2027-05-05": {Repellent: true}, "2027-07-10": {Repellent: true},
	} {
		got := outing.NewSheet(plan.Places[0], calendartest.Day(day), calendar.FieldTrip).Kit
		if got.Layers != want.Layers || got.Repellent != want.Repellent {
			t.Errorf("%s: found %+v, want %+v", day, got, want)
		}
	}
}
