package words_test

import (
	"strings"
	"testing"

	"treewhen/calendar"
	"treewhen/calendar/build/buildtest"
	"treewhen/calendar/calendartest"
	"treewhen/calendar/words"
)

// A red maple and a Norway maple need care in winter, and the survey says what settles it.
func TestSurveyNamesWhatNeedsCare(t *testing.T) {
	plan := calendartest.School(func(p *calendar.Place) { p.Activities = []calendar.Activity{calendar.TwigSurvey} })
	plan.AsOf, plan.Span = calendartest.Day("2026-10-01"), calendartest.Span("2026-10-01", "2027-09-30")
	said := words.Say(buildtest.Schedule(plan).Entries[0])
	text := strings.Join(said.LookFor, "\n")
	for _, want := range []string{
		"Red maple and Norway maple: take care, twig color", "; twig stoutness (under 3 mm thick against over 5 mm thick) settles it",
		"Red maple and silver maple: twig smell", "where they stand is a hint and no proof",
		"Of 10 pairs, 3 can be told apart at a glance, 5 by other characters than color, 2 only with care.",
		"All of them: twigs and buds opposite, in pairs; three buds at the tip",
	} {
		if !strings.Contains(text, want) {
			t.Errorf("found no %q in\n%s", want, text)
		}
	}
}
