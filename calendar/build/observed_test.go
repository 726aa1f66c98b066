package build_test

import (
	"strings"
	"testing"
	"time"

	"treewhen/calendar"
	"treewhen/calendar/build/buildtest"
	"treewhen/calendar/calendartest"
	"treewhen/calendar/ical"
	"treewhen/calendar/ical/icaltest"
	"treewhen/phenology/civil"
)

// What is over reads as observed, and likelihoods are said of days to come alone.
func TestObservedRunsReadAsObserved(t *testing.T) {
	tapped := civil.Of(2027, time.March, 1)
	p := calendartest.MadePlan(civil.Of(2027, time.March, 20), 20, 0, "sugar maple")
	p.Places[0].Options.Tapping.Tapped = &tapped
	calendartest.WithForecast(p, 3)
	p.Span.First = tapped
	s := buildtest.Schedule(p)
	data := icaltest.Render(t, ical.Feed{UID: calendar.CalendarUID(p.FeedID, "made", ""), Name: "made", Entries: s.Entries, AsOf: p.AsOf})
	over, coming := 0, 0
	for _, e := range s.Entries {
		if e.Task != calendar.TaskRun {
			continue
		}
		event := icaltest.EventIn(t, data, e.UID)
		summary, _ := event.Props.Text("SUMMARY")
		text, err := event.Props.Text("DESCRIPTION")
		if err != nil {
			t.Fatal(err)
		}
		if e.Window.Last > p.AsOf {
			coming++
			if e.State.Over() || e.Settled || e.Best <= p.AsOf || !strings.Contains(text, " % chance that sap runs on ") {
				t.Errorf("a run to come, of %s:\n%s", e.Window, text)
			}
			continue
		}
		over++
		if !e.Settled || !strings.HasSuffix(summary, " (measured)") || strings.Contains(text, "%") || strings.Contains(text, "chance") || strings.Contains(text, "ikel") {
			t.Errorf("%s, observed, reads\n%s", summary, text)
		}
	}
	if over == 0 || coming == 0 {
		t.Errorf("%d runs over, %d to come: nothing is tested", over, coming)
	}
}
