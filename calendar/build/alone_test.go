package build_test

import (
	"bytes"
	"testing"
	"time"

	"treewhen/calendar"
	"treewhen/calendar/build/buildtest"
	"treewhen/calendar/calendartest"
	"treewhen/calendar/text"
	"treewhen/profiles"
)

// What a place's other activities are changes nothing about one of them, also where many species are outside their
// ranges and their seed dates are widened for it.
func TestActivitiesLeaveEachOtherAlone(t *testing.T) {
	buildOf := func(activities ...calendar.Activity) map[calendar.Activity]string {
		p := calendartest.Nursery()
		p.Outlook.Site.Latitude, p.Outlook.Site.Longitude, p.Outlook.Site.Zone = 44.6, -89.6, time.FixedZone("", -6*60*60)
		p.Species, p.Activities = profiles.Builtin().All(), activities
		all := buildtest.Schedule(&calendar.Plan{Title: "x", AsOf: calendartest.Day("2027-03-01"), Span: calendartest.Span("2027-03-01", "2028-12-31"), Places: []*calendar.Place{p}})
		by := map[calendar.Activity]string{}
		for _, a := range activities {
			s := *all
			s.Notes, s.Accounts, s.Entries = nil, nil, nil
			for _, e := range all.Entries {
				if e.Activity == a {
					s.Entries = append(s.Entries, e)
				}
			}
			var b bytes.Buffer
			if err := text.WriteJSON(&b, &s); err != nil {
				t.Fatal(err)
			}
			if len(s.Entries) == 0 && a != calendar.Tapping { // which wants temperatures
				t.Errorf("%s: found no entries", a)
			}
			by[a] = b.String()
		}
		return by
	}
	all := buildOf(calendar.Activities()...)
	for _, a := range calendar.Activities() {
		if alone := buildOf(a)[a]; alone != all[a] {
			t.Errorf("%s: found other entries alone than among all activities", a)
		}
	}
}
