package busy

import (
	"errors"
	"fmt"
	"strconv"
	"strings"
	"time"

	"treewhen/calendar/contentline"
	"treewhen/phenology/civil"
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

var durationForm = form(`^([+-]?)P(?:(\d{1,5})W|(?:(\d{1,5})D)?(?:T(?:(\d{1,6})H)?(?:(\d{1,7})M)?(?:(\d{1,8})S)?)?)$`)

// length is a value of type DURATION, RFC 5545 section 3.3.6: days are days of the calendar, the rest is exact.
type length struct {
	days  int
	exact time.Duration
}

func parseLength(text string) (length, error) {
	m := durationForm().FindStringSubmatch(strings.ToUpper(strings.TrimSpace(text)))
	if m == nil || strings.HasSuffix(m[0], "P") || strings.HasSuffix(m[0], "T") {
		return length{}, fmt.Errorf("found %s, want a duration such as PT90M or P1D", clip(text))
	}
	if m[1] == "-" {
		return length{}, fmt.Errorf("found %s, want a duration that is not negative", clip(text))
	}
	n := func(i int) int {
		v, _ := strconv.Atoi(m[i]) // digits alone, few enough
		return v
	}
	return length{
		days:  7*n(2) + n(3),
		exact: time.Duration(n(4))*time.Hour + time.Duration(n(5))*time.Minute + time.Duration(n(6))*time.Second,
	}, nil
}

// period is the beginning and the length of a value of type PERIOD, RFC 5545 section 3.3.9.
type period struct {
	start moment
	exact time.Duration
}

func (f *file) period(p contentline.Line, text string) (period, error) {
	first, second, ok := strings.Cut(text, "/")
	if !ok {
		return period{}, fmt.Errorf("found %s, want a period such as 20270503T090000Z/PT2H", clip(text))
	}
	start, err := f.moment(p, first)
	if err != nil {
		return period{}, err
	}
	if start.date {
		return period{}, fmt.Errorf("found %s, want a period that begins at a time", clip(text))
	}
	if strings.HasPrefix(strings.ToUpper(strings.TrimSpace(second)), "P") {
		l, err := parseLength(second)
		if err != nil {
			return period{}, err
		}
		return period{start, start.at(start.wall.AddDate(0, 0, l.days)).instant().Sub(start.instant()) + l.exact}, nil
	}
	end, err := f.moment(p, second)
	if err != nil {
		return period{}, err
	}
	if end.instant().Before(start.instant()) {
		return period{}, errors.New("found a period that ends before it begins")
	}
	return period{start, end.instant().Sub(start.instant())}, nil
}

// dayOf returns the day that a moment's own calendar shows.
func dayOf(wall time.Time) civil.Date { return civil.FromTime(wall) }
