package planfile

import (
	"fmt"
	"math"
	"strings"

	"treewhen/calendar"
	"treewhen/phenology/civil"
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
	if c, ok := strictyaml.GetOneOf(m, "collection", calendar.Gravity, calendar.Vacuum); ok {
		o.Collection = c
	}
	if d, ok := wholeDays(m, "taphole_life", 7, 180); ok {
		o.HoleLife = d
	}
	if share, ok := m.FloatIn("drying_by_warmth", 0, 1); ok {
		o.DryingByWarmth = &share
	}
	if d, ok := wholeDays(m, "notice", 0, 60); ok {
		o.Notice = d
	}
	if n, ok := m.IntIn("taps", 1, 10_000_000); ok {
		o.Taps = n
	}
	if d, ok := wholeDays(m, "days_to_tap", 1, 60); ok {
		o.DaysToTap = d
	}
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
	if d, ok := m.Date("tapped"); ok {
		o.Tapped = &d
	}
	if r, ok := strictyaml.GetOneOf(m, "taps_by_diameter", calendar.CarefulTaps, calendar.TraditionalTaps); ok {
		o.TapsByDiameter = r
	}
	readReminder(m, &o.Reminder)
}

func readSeed(m *strictyaml.Map, o *calendar.SeedOptions) {
	readSowing(m, o)
	if d, ok := wholeDays(m, "scout", 7, 140); ok {
		o.ScoutWeeks = (d + 3) / 7
	}
	readWork(m, o)
	if list, ok := m.Texts("prohibited"); ok {
		o.Prohibited = list
	}
	readReminder(m, &o.Reminder)
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
	if h, ok := m.FloatIn("daylight", 0, 24); ok {
		o.MinDayLen = h
	}
	if c, ok := m.Quantity("coldest", strictyaml.Temperature); ok {
		o.Coldest = c
	}
	if list, ok := m.Texts("targets"); ok {
		o.Targets = list
	}
	readOutings(m, &o.Outings)
}

// readClosed reads days and spans on which nobody goes out, beside those there are.
func readClosed(m *strictyaml.Map, closed []civil.Span) []civil.Span {
	list, _ := m.List("closed")
	closed = closed[:len(closed):len(closed)] // a site's own must not grow into another's
	for _, v := range list {
		if s, ok := strictyaml.As(v, parseSpan); ok {
			closed = append(closed, s)
		}
	}
	return closed
}

// parseSpan reads a day, or two with a slash between them as ISO 8601 writes an interval.
func parseSpan(text string) (civil.Span, error) {
	first, last, isSpan := strings.Cut(text, "/")
	a, err := civil.Parse(first)
	if err != nil {
		return civil.Span{}, err
	}
	if !isSpan {
		return civil.Span{First: a, Last: a}, nil
	}
	b, err := civil.Parse(last)
	if err != nil {
		return civil.Span{}, err
	}
	if b < a {
		return civil.Span{}, fmt.Errorf("found %q, whose last day is before its first", text)
	}
	return civil.Span{First: a, Last: b}, nil
}

// wholeDays reads a quantity of days.
func wholeDays(m *strictyaml.Map, key string, low, high int) (int, bool) {
	d, ok := m.Quantity(key, strictyaml.Days)
	if !ok {
		return 0, false
	}
	if d != math.Trunc(d) || d < float64(low) || d > float64(high) {
		m.ReportKey(key, "found %g days, want a whole number of days from %d to %d", d, low, high)
		return 0, false
	}
	return int(d), true
}

// readReminder reads a civil time as minutes after midnight.
func readReminder(m *strictyaml.Map, minutes *int) {
	if n, ok := strictyaml.GetAs(m, "reminder", parseClock); ok {
		*minutes = n
	}
}
