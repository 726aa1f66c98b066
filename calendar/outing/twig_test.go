package outing_test

import (
	"testing"

	"treewhen/calendar"
	"treewhen/calendar/build/buildtest"
	"treewhen/calendar/busy"
	"treewhen/calendar/calendartest"
	"treewhen/calendar/outing"
	"treewhen/phenology"
	"treewhen/phenology/civil"
	"treewhen/profiles"
)

func TestTwigSurvey(t *testing.T) {
	survey := func(change func(*calendar.Place)) (*calendar.Entry, *outing.Survey, []calendar.Note) {
		plan := calendartest.School(func(p *calendar.Place) {
			p.Activities = []calendar.Activity{calendar.TwigSurvey}
			if change != nil {
				change(p)
			}
		})
		plan.AsOf, plan.Span = calendartest.Day("2026-10-01"), calendartest.Span("2026-10-01", "2027-09-30")
		s := buildtest.Schedule(plan)
		list := pick(s, calendar.TaskSurvey)
		if len(list) == 0 {
			return nil, nil, s.Notes
		}
		return list[0], list[0].Facts.(*outing.Survey), s.Notes
	}
	e, found, _ := survey(nil)
	if e == nil || e.Window.First < calendartest.Day("2026-10-25") || e.Window.Last > calendartest.Day("2027-04-10") ||
		e.Probability < 0.95 {
		t.Fatalf("found %+v", e)
	}
	// Some of the ten pairs of five maples need care in winter, and some have colors that mislead.
	want := outing.Pairs{AtAGlance: 3, NotByColor: 5, WithCare: 2}
	if found.Pairs != want || len(found.Care) != 7 || found.CareMore != 0 {
		t.Errorf("found %+v, and %d of them named", found.Pairs, len(found.Care))
	}
	// The user's own season, the days that a calendar takes, and hours that must be light.
	e, found, _ = survey(func(p *calendar.Place) {
		p.Options.Twig.From, p.Options.Twig.To = civil.MonthDay{Month: 12, Day: 1}, civil.MonthDay{Month: 1, Day: 31}
		p.Options.Twig.Closed = []civil.Span{calendartest.Span("2026-12-19", "2027-01-31")}
		p.Options.Twig.MinDayLen = 8 // in the week before Christmas it is just below nine here
		taken := "BEGIN:VEVENT\nDTSTART;VALUE=DATE:20261201\nDTEND;VALUE=DATE:20261215\nEND:VEVENT"
		p.Options.Twig.Busy = []*busy.Diary{diaryOf(t, taken)}
	})
	if e.Window != calendartest.Span("2026-12-15", "2026-12-18") || found.LeftOut.Closed != 44 ||
		found.LeftOut.Busy != 14 {
		t.Errorf("found %v and %+v, want what the plan leaves", e.Window, found.LeftOut)
	}
	if e, _, _ := survey(func(p *calendar.Place) {
		p.Options.Twig.MinDayLen, p.Options.Twig.Hours = 0, calendar.Hours{Start: 7 * 60, End: 9 * 60}
	}); e.Window.Contains(calendartest.Day("2026-12-21")) && e.Best == calendartest.Day("2026-12-21") {
		t.Error("found the shortest day, whose sun is not up at seven")
	}
	// Cold, where the place has a record: January is out, and the best day is a mild one.
	e, found, notes := survey(func(p *calendar.Place) {
		p.Outlook.Temps = temperatures(p.Outlook.Site, 4, 14)
		p.Options.Twig.Coldest = -9
		p.Options.Twig.Hours = calendar.Hours{Start: 9 * 60, End: 11 * 60}
	})
	if e == nil {
		t.Fatalf("found no survey: %v", notes)
	}
	if c := found.Conditions; found.LeftOut.Cold == 0 || !c.Known || c.Low < -9 || c.Low > c.High || c.Night > c.Low {
		t.Errorf("found %+v", found)
	}
	if e.Best > calendartest.Day("2026-12-20") && e.Best < calendartest.Day("2027-02-10") {
		t.Errorf("found %v, want no day of deep winter", e.Best)
	}
	// Nothing is left.
	e, _, notes = survey(func(p *calendar.Place) { p.Options.Twig.MinDayLen = 14 })
	if e != nil || len(notes) == 0 {
		t.Fatalf("found %v and notes %v", e, notes)
	}
	if n, ok := notes[0].Says.(outing.NoSurvey); !ok || n.Season != 2026 || n.Term || n.MinDayLen != 14 || n.Dark == 0 {
		t.Errorf("found note %+v", notes[0].Says)
	}
	// Only the species that are to be told apart.
	e, found, _ = survey(func(p *calendar.Place) { p.Options.Twig.Targets = []string{"acer-rubrum", "acer-saccharum"} })
	if len(e.Species) != 2 || found.Pairs != (outing.Pairs{NotByColor: 1}) {
		t.Errorf("found %v and %+v", e.Species, found.Pairs)
	}
}

// A survey that stands on a day in people's calendars stays on it while no other is clearly better, moves from a day
// that is no longer free, and counts as made once its day has come. Where its whole window is published, as it was
// before, any day of that was as good.
func TestSurveyKeepsItsPublishedDay(t *testing.T) {
	survey := func(asOf civil.Date, memory *calendar.Memory, change func(*calendar.TwigOptions)) *calendar.Entry {
		plan := calendartest.School(func(p *calendar.Place) {
			p.Activities = []calendar.Activity{calendar.TwigSurvey}
			if change != nil {
				change(&p.Options.Twig)
			}
		})
		plan.AsOf, plan.Span = asOf, calendartest.Span("2026-10-01", "2027-05-30")
		if memory != nil {
			uid := pick(buildtest.Schedule(plan), calendar.TaskSurvey)[0].UID
			plan.Places[0].Memory = map[string]calendar.Memory{uid: *memory}
		}
		return pick(buildtest.Schedule(plan), calendar.TaskSurvey)[0]
	}
	october := calendartest.Day("2026-10-01")
	free := survey(october, nil, nil)
	on := func(d civil.Date) *calendar.Memory {
		return &calendar.Memory{Window: civil.Span{First: d, Last: d}, Best: civil.Some(d)}
	}
	other := free.Best + 7 // as good as any: weeks of winter are bare alike
	if e := survey(october, on(other), nil); e.Best != other || e.Window != free.Window {
		t.Errorf("found it moved from %s to %s", other, e.Best)
	}
	if e := survey(october, on(other), func(o *calendar.TwigOptions) {
		o.Closed = []civil.Span{{First: other, Last: other}}
	}); e.Best == other {
		t.Errorf("found it on %s, which is closed", other)
	}
	if e := survey(october, &calendar.Memory{Window: free.Window, Best: civil.Some(other)}, nil); e.Best != free.Best {
		t.Errorf("found %s held that was one of a window, want %s", e.Best, free.Best)
	}
	if e := survey(other+3, on(other), nil); e.Best != other {
		t.Errorf("found it on %s after it was made on %s", e.Best, other)
	}
	if e := survey(free.Best+3, nil, nil); e.Best < free.Best+3 {
		t.Errorf("found %s that is over and was never published, want a day to come", e.Best)
	}
}

// No winter is missed for being looked for in the second half of its growing year alone: nowhere does a species of the
// library drop its leaves sooner, even in the earliest year of a thousand.
func TestLeavesFallInTheSecondHalfOfTheYear(t *testing.T) {
	dated := 0
	for _, at := range [][3]float64{{30, -90, 5}, {36, -120, 900}, {45, -73, 50}, {49, -123, 40}, {58, -112, 250},
		{-39, -72, 300}} {
		o := &phenology.Outlook{Site: phenology.Site{ID: "at", Latitude: at[0], Longitude: at[1], Elevation: at[2]}}
		for _, sp := range profiles.Builtin().All() {
			fall := o.Estimate(sp, 2027).Get(phenology.LeafFall)
			if !fall.HasDate() {
				continue
			}
			dated++
			if day := fall.Season.Day(fall.Quantile(0.001)); day <= 182 {
				t.Errorf("%v: %s drops its leaves from day %d of its season", at, sp.ID, day)
			}
		}
	}
	if dated < 100 {
		t.Errorf("only %d dates: too few to tell", dated)
	}
}
