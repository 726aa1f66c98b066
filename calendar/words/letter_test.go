package words_test

import (
	"strings"
	"testing"

	"treewhen/calendar"
	"treewhen/calendar/build/buildtest"
	"treewhen/calendar/calendartest"
	"treewhen/calendar/outing"
	"treewhen/calendar/words"
)

// The letter has what parents ask, the ride and the rain date with it, and nothing of weights and characters.
func TestLetter(t *testing.T) {
	plan := calendartest.School(func(p *calendar.Place) {
		p.Activities = []calendar.Activity{calendar.FieldTrip}
		p.Options.Trip.Bus = calendar.Bus{Travel: 25, Margin: 10, Bells: calendar.Hours{Start: 8 * 60, End: 14 * 60}}
	})
	var sheet *outing.Sheet
	for _, e := range buildtest.Schedule(plan).Entries {
		if e.Task == calendar.TaskTrip {
			sheet = outing.SheetOf(e)
			break
		}
	}
	var b strings.Builder
	labels := map[string]string{}
	for _, l := range words.Letter(sheet) {
		labels[l.Label] = l.Text
		b.WriteString(l.Text + "\n")
	}
	for label, want := range map[string]string{
		"Where": "Weir Street school", "When": "09:00 to 11:30", "If it rains": "instead",
		"Bus":      "Leave at 08:35, back at 11:55, 25 minutes each way; the last minute to be back is 13:50.",
		"What for": "To see", "How sure": "% chance", "To bring": "water bottle", "Please tell": "Allergies",
	} {
		if !strings.Contains(labels[label], want) {
			t.Errorf("%s: found %q, want %q in it", label, labels[label], want)
		}
	}
	for _, not := range []string{"weight", "expect", "against", "scale", "bark"} {
		if strings.Contains(b.String(), not) {
			t.Errorf("found %q in\n%s", not, b.String())
		}
	}
}
