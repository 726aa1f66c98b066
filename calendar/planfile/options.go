package planfile

import (
	"fmt"

	"treewhen/calendar"
	"treewhen/profiles/strictyaml"
)

// readOptions reads the options of activities over those there are, and returns the activities named.
func readOptions(m *strictyaml.Map, o *calendar.Options) []calendar.Activity {
	var named []calendar.Activity
	for _, a := range []struct {
		activity calendar.Activity
		read     func(*strictyaml.Map)
	}{
		{calendar.Tapping, func(m *strictyaml.Map) { readTapping(m, &o.Tapping) }},
		{calendar.SeedCollection, func(m *strictyaml.Map) { readSeed(m, &o.Seed) }},
		{calendar.TwigSurvey, func(m *strictyaml.Map) { readTwig(m, &o.Twig) }},
		{calendar.FieldTrip, func(m *strictyaml.Map) { readTrip(m, &o.Trip) }},
	} {
		am, ok := m.Map(string(a.activity))
		if !ok {
			continue
		}
		named = append(named, a.activity)
		a.read(am)
		am.Done()
	}
	return named
}

func readTapping(m *strictyaml.Map, o *calendar.TappingOptions) {
	set(&o.Collection)(strictyaml.GetOneOf(m, "collection", calendar.Gravity, calendar.Vacuum))
	set(&o.HoleLife)(wholeDays(m, "taphole_life", 7, 180))
	setNew(&o.DryingByWarmth)(m.FloatIn("drying_by_warmth", 0, 1))
	set(&o.Notice)(wholeDays(m, "notice", 0, 60))
	set(&o.Taps)(m.IntIn("taps", 1, 10_000_000))
	set(&o.DaysToTap)(wholeDays(m, "days_to_tap", 1, 60))
	if low, high, ok := m.FloatRange("sugar_percent"); ok {
		if low > high || low < 0.2 || high > 10 {
			found := fmt.Sprintf("%g", low)
			if low != high {
				found += fmt.Sprintf(" to %g", high)
			}
			m.ReportKey("sugar_percent", "found %s, want percent of sugar in fresh sap, from 0.2 to 10, the lower "+
				"figure first", found)
		}
		o.SugarLow, o.SugarHigh = low, high
	}
	setNew(&o.Tapped)(m.Date("tapped"))
	set(&o.TapsByDiameter)(strictyaml.GetOneOf(m, "taps_by_diameter", calendar.CarefulTaps, calendar.TraditionalTaps))
	set(&o.Reminder)(strictyaml.GetAs(m, "reminder", parseClock))
}

func readSeed(m *strictyaml.Map, o *calendar.SeedOptions) {
	readSowing(m, o)
	if d, ok := wholeDays(m, "scout", 7, 140); ok {
		o.ScoutWeeks = (d + 3) / 7
	}
	readWork(m, o)
	set(&o.Prohibited)(m.Texts("prohibited"))
	set(&o.Reminder)(strictyaml.GetAs(m, "reminder", parseClock))
}

func readTwig(m *strictyaml.Map, o *calendar.TwigOptions) {
	from, okFrom := m.MonthDay("from")
	to, okTo := m.MonthDay("to")
	switch {
	case okFrom && okTo:
		o.From, o.To = from, to
	case okFrom != okTo && (!m.Has("from") || !m.Has("to")):
		m.ReportKey("from", "found only one of from and to, want both or neither")
	}
	set(&o.MinDayLen)(m.FloatIn("daylight", 0, 24))
	set(&o.Coldest)(m.Quantity("coldest", strictyaml.Temperature))
	set(&o.Targets)(m.Texts("targets"))
	readOutings(m, &o.Outings)
}
