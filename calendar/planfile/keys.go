package planfile

import (
	"fmt"
	"math"
	"slices"
	"strings"
	"time"

	"treewhen/calendar"
	"treewhen/phenology"
	"treewhen/phenology/civil"
	"treewhen/profiles/strictyaml"
)

// set puts what a key says in its place. Where the plan does not have the key, or wrongly, what is there stays:
//
//	set(&o.Taps)(m.IntIn("taps", 1, 10_000_000))
func set[T any](to *T) func(value T, ok bool) {
	return func(value T, ok bool) {
		if ok {
			*to = value
		}
	}
}

// setNew is set for what is nil where the plan does not say it.
func setNew[T any](to **T) func(value T, ok bool) {
	return func(value T, ok bool) {
		if ok {
			*to = &value
		}
	}
}

// listOf returns the items of a list that can be read. None is what is wrong with an empty list, "" if nothing is.
func listOf[T any](
	m *strictyaml.Map, key, none string, read func(strictyaml.Value) (T, bool),
) (list []T, ok bool) {
	values, ok := m.List(key)
	if ok && len(values) == 0 && none != "" {
		m.ReportKey(key, "%s", none)
	}
	for _, v := range values {
		if item, ok := read(v); ok {
			list = append(list, item)
		}
	}
	return list, ok
}

// unique returns each item of a list once, where it stands first.
func unique[T comparable](list []T) (once []T) {
	for _, item := range list {
		if !slices.Contains(once, item) {
			once = append(once, item)
		}
	}
	return once
}

// readWord reads what is resolved later.
func readWord(v strictyaml.Value) (Word, bool) {
	text, ok := v.Text()
	return Word{text, v.Line()}, ok
}

// readPath reads a key that names a file; nil if there is none.
func readPath(m *strictyaml.Map, key string) *Path {
	if v, ok := m.Get(key); ok {
		if text, ok := v.Text(); ok {
			return &Path{text, v.Line()}
		}
	}
	return nil
}

// readID reads the identifier of a site or a stand.
func readID(m *strictyaml.Map, example string) string {
	id, ok := m.Text("id")
	if ok && (len(id) > 60 || !siteID.MatchString(id)) {
		m.ReportKey("id", "found %q, want a-z, 0-9 and single hyphens between them, such as %s", id, example)
	}
	return id
}

// readElevation reads a height in metres where trees may grow.
func readElevation(m *strictyaml.Map) (metres float64, ok bool) {
	metres, ok = m.Quantity("elevation", strictyaml.Length)
	if err := (phenology.Site{Elevation: metres}).Check(); ok && err != nil {
		m.ReportKey("elevation", "%v", err)
	}
	return metres, ok
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

// readSpan reads a day, or two with a slash between them as ISO 8601 writes an interval.
func readSpan(v strictyaml.Value) (civil.Span, bool) { return strictyaml.As(v, parseSpan) }

func parseSpan(text string) (civil.Span, error) {
	first, last, isSpan := strings.Cut(text, "/")
	a, err := civil.Parse(first)
	if err != nil || !isSpan {
		return civil.Span{First: a, Last: a}, err
	}
	b, err := civil.Parse(last)
	if err == nil && b < a {
		err = fmt.Errorf("found %q, whose last day is before its first", text)
	}
	return civil.Span{First: a, Last: b}, err
}

// parseHours reads two times of a day with a slash between them.
func parseHours(text string) (calendar.Hours, error) {
	h, ok := parseClocks(text)
	if !ok || h.End <= h.Start {
		return h, fmt.Errorf("found %q, want two times of a day such as \"09:00/11:30\"", text)
	}
	return h, nil
}

// parseClocks reads two times of a day with a slash between them, in any order.
func parseClocks(text string) (h calendar.Hours, ok bool) {
	first, last, ok := strings.Cut(text, "/")
	start, err1 := parseClock(first)
	end, err2 := parseClock(last)
	return calendar.Hours{Start: start, End: end}, ok && err1 == nil && err2 == nil
}

// parseClock reads a civil time as minutes after midnight.
func parseClock(text string) (int, error) {
	t, err := time.Parse("15:04", text)
	if err != nil || len(text) != 5 {
		return 0, fmt.Errorf("found %q, want a time of day such as \"07:00\"", text)
	}
	return t.Hour()*60 + t.Minute(), nil
}

// parseWeekday reads a day of the week in English, whole or by its first three letters.
func parseWeekday(text string) (time.Weekday, error) {
	for d := time.Sunday; d <= time.Saturday; d++ {
		if strings.EqualFold(text, d.String()) || strings.EqualFold(text, d.String()[:3]) {
			return d, nil
		}
	}
	return 0, fmt.Errorf("found %q, want a day of the week such as Tue", text)
}

// loadZone loads a time zone by its IANA name. "Local" and "" would make a plan mean something else on each machine.
func loadZone(name string) (*time.Location, error) {
	if name != "" && name != "Local" {
		if zone, err := time.LoadLocation(name); err == nil {
			return zone, nil
		}
	}
	return nil, fmt.Errorf("found %q, want an IANA time zone such as America/Toronto", name)
}
