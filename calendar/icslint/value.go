package icslint

import (
	"regexp"
	"strconv"
	"strings"
	"sync"
	"time"

	"treewhen/calendar/contentline"
)

// The kinds of value of RFC 5545 section 3.3. Expressions bound the size of numbers, so that they convert.
var (
	durationForm = pattern(`^[+-]?P(\d{1,6}W|\d{1,6}D(` + timeForm + `)?|` + timeForm + `)$`)
	geoForm      = pattern(`^([+-]?\d{1,3}(?:\.\d{1,6})?);([+-]?\d{1,3}(?:\.\d{1,6})?)$`)
	offsetForm   = pattern(`^[+-](?:[01]\d|2[0-3])[0-5]\d(?:[0-5]\d)?$`)
	uriForm      = pattern(`^[A-Za-z][A-Za-z0-9+.-]*:[A-Za-z0-9\-._~:/?#\[\]@!$&'()*+,;=%]+$`)
	uidForm      = pattern(`^[A-Za-z0-9-]{1,254}$`)
	integerForm  = pattern(`^[+-]?\d{1,10}$`)
	weekdayForm  = pattern(`^([+-]?([1-9]|[1-4]\d|5[0-3]))?(SU|MO|TU|WE|TH|FR|SA)$`)
	zeroDuration = pattern(`^[+-]?P[0WDTHMS]+$`)
)

// timeForm is the part of a duration from its T on.
const timeForm = `T(\d{1,6}H(\d{1,6}M(\d{1,6}S)?)?|\d{1,6}M(\d{1,6}S)?|\d{1,6}S)`

// pattern compiles an expression when it is first used: all at once would be a millisecond of every run's start.
func pattern(text string) func() *regexp.Regexp {
	return sync.OnceValue(func() *regexp.Regexp { return regexp.MustCompile(text) })
}

func isUID(s string) bool { return uidForm().MatchString(s) }

func isDuration(s string) bool { return durationForm().MatchString(s) && !strings.HasPrefix(s, "-") }

func offset(c *checker, _ *contentline.Component, l contentline.Line) {
	if v := l.Value; !offsetForm().MatchString(v) || v == "-0000" || v == "-000000" {
		c.Add(l.Number, "RFC 5545 3.3.14", "found offset %s, want one such as -0600", short(v))
	}
}

func geo(c *checker, _ *contentline.Component, l contentline.Line) {
	m := geoForm().FindStringSubmatch(l.Value)
	if m == nil {
		c.Add(l.Number, "RFC 5545 3.8.1.6", "found GEO %s, want latitude;longitude with at most six decimals",
			short(l.Value))
		return
	}
	lat, _ := strconv.ParseFloat(m[1], 64)
	lon, _ := strconv.ParseFloat(m[2], 64)
	if lat < -90 || lat > 90 || lon < -180 || lon > 180 {
		c.Add(l.Number, "RFC 5545 3.8.1.6", "found GEO %s, want latitudes to 90 and longitudes to 180 degrees",
			short(l.Value))
	}
}

// isUTC and isDate: RFC 5545 sections 3.3.5 and 3.3.4. [time.Parse] alone would let fractions of a second pass.
func isUTC(s string) bool {
	_, err := time.Parse("20060102T150405Z", s)
	return err == nil && len(s) == len("20060102T150405Z")
}

func isDate(s string) bool {
	_, err := time.Parse("20060102", s)
	return err == nil && len(s) == len("20060102")
}

func dateOrTime(c *checker, comp *contentline.Component, l contentline.Line) {
	local := comp.Name == "STANDARD" || comp.Name == "DAYLIGHT" // whose times are local, RFC 5545 3.6.5
	switch l.Keyword("VALUE") {
	case "DATE":
		if !isDate(l.Value) || l.Keyword("TZID") != "" {
			c.Add(l.Number, "RFC 5545 3.3.4", "found %s %s, want a date such as 20270309, without TZID", l.Name,
				short(l.Value))
		}
	case "", "DATE-TIME":
		floating := strings.TrimSuffix(l.Value, "Z")
		utc := floating != l.Value
		_, err := time.Parse("20060102T150405", floating)
		if err != nil || len(floating) != len("20060102T150405") || utc && (local || l.Keyword("TZID") != "") {
			c.Add(l.Number, "RFC 5545 3.3.5", "found %s %s, want a time such as 20270309T070000, or VALUE=DATE for a "+
				"day", l.Name, short(l.Value))
		}
	default:
		c.Add(l.Number, "RFC 5545 3.8.2.4", "found %s of type %s, want DATE or DATE-TIME", l.Name, l.Keyword("VALUE"))
	}
}

func trigger(c *checker, _ *contentline.Component, l contentline.Line) {
	switch l.Keyword("VALUE") {
	case "DATE-TIME":
		if !isUTC(l.Value) || l.Keyword("RELATED") != "" {
			c.Add(l.Number, "RFC 5545 3.8.6.3", "found TRIGGER %s, want a moment in UTC, without RELATED",
				short(l.Value))
		}
	case "", "DURATION":
		if !durationForm().MatchString(l.Value) {
			c.Add(l.Number, "RFC 5545 3.8.6.3", "found TRIGGER %s, want a duration such as -PT17H", short(l.Value))
		}
		if r := l.Keyword("RELATED"); r != "" && r != "START" && r != "END" {
			c.Add(l.Number, "RFC 5545 3.2.14", "found RELATED=%s, want START or END", r)
		}
	default:
		c.Add(l.Number, "RFC 5545 3.8.6.3", "found TRIGGER of type %s, want DURATION or DATE-TIME", l.Keyword("VALUE"))
	}
}
