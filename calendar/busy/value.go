package busy

import (
	"errors"
	"fmt"
	"strings"
	"time"

	"treewhen/calendar/contentline"
)

// moment is a value of type DATE or DATE-TIME: what the calendar shows, written as UTC, and the zone it is meant in.
type moment struct {
	wall  time.Time
	date  bool // a whole day
	zone  zone // nil: floating, or a whole day
	isUTC bool
}

// instant returns the moment on the time line; a floating one stays as it is written.
func (m moment) instant() time.Time {
	if m.zone == nil {
		return m.wall
	}
	return m.zone.instant(m.wall)
}

// at returns the moment at which the same calendar shows another time.
func (m moment) at(wall time.Time) moment {
	m.wall = wall
	return m
}

// moment reads a value of type DATE or DATE-TIME: RFC 5545 sections 3.3.4 and 3.3.5.
func (f *file) moment(p contentline.Line, text string) (moment, error) {
	text = strings.TrimSpace(text)
	switch kind := p.Keyword("VALUE"); {
	case len(text) == 8 && (kind == "" || kind == "DATE" || kind == "PERIOD"):
		// Some programs leave VALUE=DATE away; a date is told by its length.
		t, err := time.Parse("20060102", text)
		if err != nil || !writable(t) {
			return moment{}, fmt.Errorf("found %s, want a day of the calendar such as 20270503", clip(text))
		}
		return moment{wall: t, date: true}, nil
	case kind == "DATE":
		return moment{}, fmt.Errorf("found %s, want a day such as 20270503", clip(text))
	}
	local := strings.TrimSuffix(strings.ToUpper(text), "Z")
	t, err := time.Parse("20060102T150405", local)
	if err != nil || len(local) != len("20060102T150405") || !writable(t) {
		return moment{}, fmt.Errorf("found %s, want a time such as 20270503T090000, or a day such as 20270503",
			clip(text))
	}
	m := moment{wall: t}
	if len(local) < len(text) {
		m.zone, m.isUTC = ianaZone{time.UTC}, true
		return m, nil
	}
	if id := p.Param("TZID"); id != "" {
		m.zone = f.lookUp(id, p.Number)
	}
	return m, nil
}

// writable keeps clear of years in which sums could leave the calendar.
func writable(t time.Time) bool { return t.Year() >= 1601 && t.Year() <= 9000 }

// length is a value of type DURATION, RFC 5545 section 3.3.6: days are days of the calendar, the rest is exact.
type length struct {
	days  int
	exact time.Duration
}

func parseLength(text string) (length, error) {
	days, exact, ok := contentline.Duration(text)
	switch {
	case !ok:
		return length{}, fmt.Errorf("found %s, want a duration such as PT90M or P1D", clip(text))
	case strings.HasPrefix(strings.TrimSpace(text), "-"):
		return length{}, fmt.Errorf("found %s, want a duration that is not negative", clip(text))
	}
	return length{days, exact}, nil
}

// from returns the exact length from a moment on.
func (l length) from(start moment) time.Duration {
	return start.at(start.wall.AddDate(0, 0, l.days)).instant().Sub(start.instant()) + l.exact
}

// period reads a value of type PERIOD, RFC 5545 section 3.3.9: a beginning and a length.
func (f *file) period(p contentline.Line, text string) (single, error) {
	first, second, ok := strings.Cut(text, "/")
	if !ok {
		return single{}, fmt.Errorf("found %s, want a period such as 20270503T090000Z/PT2H", clip(text))
	}
	start, err := f.moment(p, first)
	if err != nil {
		return single{}, err
	}
	if start.date {
		return single{}, fmt.Errorf("found %s, want a period that begins at a time", clip(text))
	}
	if strings.HasPrefix(strings.ToUpper(strings.TrimSpace(second)), "P") {
		l, err := parseLength(second)
		return single{start: start, exact: l.from(start)}, err
	}
	end, err := f.moment(p, second)
	if err != nil {
		return single{}, err
	}
	if end.instant().Before(start.instant()) {
		return single{}, errors.New("found a period that ends before it begins")
	}
	return single{start: start, exact: end.instant().Sub(start.instant())}, nil
}
