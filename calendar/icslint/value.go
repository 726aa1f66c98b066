package icslint

import (
	"regexp"
	"slices"
	"strconv"
	"strings"
	"sync"
	"time"

	"treewhen/calendar/contentline"
)

// The kinds of value of RFC 5545 section 3.3. Expressions bound the size of numbers, so that they convert.
var (
	durationForm = pattern(`^[+-]?P(\d{1,6}W|\d{1,6}D(T(\d{1,6}H(\d{1,6}M(\d{1,6}S)?)?|\d{1,6}M(\d{1,6}S)?|\d{1,6}S))?|T(\d{1,6}H(\d{1,6}M(\d{1,6}S)?)?|\d{1,6}M(\d{1,6}S)?|\d{1,6}S))$`)
	geoForm      = pattern(`^([+-]?\d{1,3}(?:\.\d{1,6})?);([+-]?\d{1,3}(?:\.\d{1,6})?)$`)
	offsetForm   = pattern(`^[+-](?:[01]\d|2[0-3])[0-5]\d(?:[0-5]\d)?$`)
	uriForm      = pattern(`^[A-Za-z][A-Za-z0-9+.-]*:[A-Za-z0-9\-._~:/?#\[\]@!$&'()*+,;=%]+$`)
	uidForm      = pattern(`^[A-Za-z0-9-]{1,254}$`)
	integerForm  = pattern(`^[+-]?\d{1,10}$`)
	zeroDuration = pattern(`^[+-]?P[0WDTHMS]+$`)
)

// pattern compiles an expression when it is first used: all at once would be a millisecond of every run's start.
func pattern(text string) func() *regexp.Regexp {
	return sync.OnceValue(func() *regexp.Regexp { return regexp.MustCompile(text) })
}

// property checks one property by itself.
func (c *checker) property(comp *contentline.Component, l contentline.Line) {
	switch l.Name {
	case "DTSTART", "DTEND", "RECURRENCE-ID":
		c.dateOrTime(l, comp.Name == "STANDARD" || comp.Name == "DAYLIGHT")
	case "DTSTAMP":
		c.utc(l, "RFC 5545 3.8.7.2")
	case "LAST-MODIFIED":
		c.utc(l, "RFC 5545 3.8.7.3, RFC 7986 5.4")
	case "CREATED":
		c.utc(l, "RFC 5545 3.8.7.1")
	case "ACKNOWLEDGED":
		c.utc(l, "RFC 9074 6.1")
	case "UID":
		if !uidForm().MatchString(l.Value) {
			c.Add(l.Number, "RFC 7986 5.3", "found UID %s, want a UUID, or fewer than 255 letters, digits and hyphens",
				short(l.Value))
		}
	case "RELATED-TO":
		if !uidForm().MatchString(l.Value) {
			c.Add(l.Number, "RFC 5545 3.8.4.5, RFC 7986 5.3", "found RELATED-TO %s, want a UID", short(l.Value))
		}
	case "VERSION":
		c.oneOf(l, "RFC 5545 3.7.4", "2.0")
	case "CALSCALE":
		c.oneOf(l, "RFC 5545 3.7.1", "GREGORIAN")
	case "STATUS":
		if comp.Name == "VEVENT" {
			c.oneOf(l, "RFC 5545 3.8.1.11", "TENTATIVE", "CONFIRMED", "CANCELLED")
		}
	case "TRANSP":
		c.oneOf(l, "RFC 5545 3.8.2.7", "OPAQUE", "TRANSPARENT")
	case "CLASS":
		c.oneOf(l, "RFC 5545 3.8.1.3", "PUBLIC", "PRIVATE", "CONFIDENTIAL")
	case "ACTION":
		c.oneOf(l, "RFC 5545 3.8.6.1", "AUDIO", "DISPLAY", "EMAIL")
	case "SEQUENCE":
		c.integer(l, "RFC 5545 3.8.7.4", 0, 1<<31-1)
	case "PRIORITY":
		c.integer(l, "RFC 5545 3.8.1.9", 0, 9)
	case "REPEAT":
		c.integer(l, "RFC 5545 3.8.6.2", 0, 1<<31-1)
	case "GEO":
		c.geo(l)
	case "COLOR":
		if !IsColor(l.Value) {
			c.Add(l.Number, "RFC 7986 5.9", "found COLOR %s, want a color name of CSS3", short(l.Value))
		}
	case "URL":
		c.uri(l, "RFC 5545 3.8.4.6")
	case "SOURCE":
		c.valueParam(l, "RFC 7986 5.8", "URI")
		c.uri(l, "RFC 7986 5.8")
	case "IMAGE":
		if v := l.Keyword("VALUE"); v != "URI" && v != "BINARY" {
			c.Add(l.Number, "RFC 7986 5.10", "found IMAGE without its type, want VALUE=URI or VALUE=BINARY")
		}
	case "CONFERENCE":
		c.valueParam(l, "RFC 7986 5.11", "URI")
	case "REFRESH-INTERVAL":
		c.valueParam(l, "RFC 7986 5.7", "DURATION")
		if !durationForm().MatchString(l.Value) || strings.HasPrefix(l.Value, "-") ||
			zeroDuration().MatchString(l.Value) {
			c.Add(l.Number, "RFC 7986 5.7", "found REFRESH-INTERVAL %s, want a positive duration such as P1D",
				short(l.Value))
		}
	case "DURATION":
		if !durationForm().MatchString(l.Value) || strings.HasPrefix(l.Value, "-") {
			c.Add(l.Number, "RFC 5545 3.8.2.5", "found DURATION %s, want a positive one such as P1D", short(l.Value))
		}
	case "TRIGGER":
		c.trigger(l)
	case "RRULE":
		c.rule(l)
	case "TZOFFSETFROM", "TZOFFSETTO":
		if !offsetForm().MatchString(l.Value) || l.Value == "-0000" || l.Value == "-000000" {
			c.Add(l.Number, "RFC 5545 3.3.14", "found offset %s, want one such as -0600", short(l.Value))
		}
	case "SUMMARY", "DESCRIPTION", "LOCATION", "COMMENT", "CONTACT", "NAME", "X-WR-CALNAME", "X-WR-CALDESC", "PRODID",
		"TZID", "TZNAME",
		"X-TREEWHEN-FACTS": // of no other type than the default, RFC 5545 3.8.8.2
		c.text(l, "")
	case "CATEGORIES", "RESOURCES":
		c.text(l, ",")
	}
	if zone := l.Keyword("TZID"); zone != "" && !strings.HasPrefix(zone, "/") {
		if !c.zones[l.Param("TZID")] {
			c.Add(l.Number, "RFC 5545 3.2.19", "found TZID %s, want a VTIMEZONE that defines it", short(zone))
		}
	}
}

func (c *checker) oneOf(l contentline.Line, clause string, want ...string) {
	if !slices.Contains(want, strings.ToUpper(l.Value)) {
		c.Add(l.Number, clause, "found %s %s, want %s", l.Name, short(l.Value), strings.Join(want, " or "))
	}
}

func (c *checker) valueParam(l contentline.Line, clause, want string) {
	if got := l.Keyword("VALUE"); got != want {
		c.Add(l.Number, clause, "found %s with the type %q, want %s;VALUE=%s", l.Name, got, l.Name, want)
	}
}

func (c *checker) integer(l contentline.Line, clause string, low, high int) {
	n, err := strconv.Atoi(l.Value)
	if !integerForm().MatchString(l.Value) || err != nil || n < low || n > high {
		c.Add(l.Number, clause, "found %s %s, want a whole number from %d to %d", l.Name, short(l.Value), low, high)
	}
}

func (c *checker) uri(l contentline.Line, clause string) {
	if !uriForm().MatchString(l.Value) {
		c.Add(l.Number, clause, "found %s %s, want a URI", l.Name, short(l.Value))
	}
}

func (c *checker) geo(l contentline.Line) {
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

func (c *checker) utc(l contentline.Line, clause string) {
	if t := l.Keyword("VALUE"); t != "" && t != "DATE-TIME" || l.Keyword("TZID") != "" || !isUTC(l.Value) {
		c.Add(l.Number, clause, "found %s %s, want a moment in UTC such as 20270309T000000Z", l.Name, short(l.Value))
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

func (c *checker) dateOrTime(l contentline.Line, local bool) {
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

func (c *checker) trigger(l contentline.Line) {
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

// text checks the escapes of a TEXT value; separators are characters that may stand unescaped, between values.
func (c *checker) text(l contentline.Line, separators string) {
	for i := 0; i < len(l.Value); i++ {
		switch b := l.Value[i]; b {
		case '\\':
			i++
			if i == len(l.Value) || !strings.ContainsRune(`\;,nN`, rune(l.Value[i])) {
				c.Add(l.Number, "RFC 5545 3.3.11", `found a backslash in %s that begins none of \\ \; \, \n`, l.Name)
				return
			}
		case ',', ';':
			if !strings.ContainsRune(separators, rune(b)) {
				c.Add(l.Number, "RFC 5545 3.3.11", `found %q in %s, want \%c`, b, l.Name, b)
				return
			}
		}
	}
}

// ruleParts says what each part of a recurrence rule may be: RFC 5545 section 3.3.10.
var ruleParts = map[string]func(string) bool{
	"FREQ": func(v string) bool {
		return slices.Contains([]string{"SECONDLY", "MINUTELY", "HOURLY", "DAILY", "WEEKLY", "MONTHLY", "YEARLY"}, v)
	},
	"UNTIL":      isUntil,
	"COUNT":      isPositive,
	"INTERVAL":   isPositive,
	"BYSECOND":   listOf(0, 60, false),
	"BYMINUTE":   listOf(0, 59, false),
	"BYHOUR":     listOf(0, 23, false),
	"BYDAY":      regexp.MustCompile(`^([+-]?([1-9]|[1-4]\d|5[0-3]))?(SU|MO|TU|WE|TH|FR|SA)(,([+-]?([1-9]|[1-4]\d|5[0-3]))?(SU|MO|TU|WE|TH|FR|SA))*$`).MatchString,
	"BYMONTHDAY": listOf(1, 31, true),
	"BYYEARDAY":  listOf(1, 366, true),
	"BYWEEKNO":   listOf(1, 53, true),
	"BYMONTH":    listOf(1, 12, false),
	"BYSETPOS":   listOf(1, 366, true),
	"WKST": func(v string) bool {
		return slices.Contains([]string{"SU", "MO", "TU", "WE", "TH", "FR", "SA"}, v)
	},
}

// isUntil reports whether a rule may end at s: a date, or a time, local or in UTC.
func isUntil(s string) bool {
	return isDate(s) || isUTC(s) || len(s) == len("20060102T150405") && isUTC(s+"Z")
}

func isPositive(s string) bool {
	n, err := strconv.Atoi(s)
	return err == nil && n > 0 && integerForm().MatchString(s) && s[0] != '+'
}

// listOf reports whether s lists numbers from low to high, or, where back is set, counted from the end as well.
func listOf(low, high int, back bool) func(s string) bool {
	return func(s string) bool {
		for v := range strings.SplitSeq(s, ",") {
			n, err := strconv.Atoi(v)
			if back && n < 0 {
				n = -n
			}
			if err != nil || n < low || n > high || !back && v[0] == '+' {
				return false
			}
		}
		return true
	}
}

// rule checks the form of a recurrence rule.
func (c *checker) rule(l contentline.Line) {
	const clause = "RFC 5545 3.3.10"
	seen := map[string]bool{}
	for part := range strings.SplitSeq(strings.ToUpper(l.Value), ";") {
		name, value, _ := strings.Cut(part, "=")
		switch good, known := ruleParts[name]; {
		case !known:
			c.Add(l.Number, clause, "found %s in RRULE, want a part such as FREQ=YEARLY", short(part))
			return
		case !good(value):
			c.Add(l.Number, clause, "found %s=%s in RRULE, want a value that %s can have", name, short(value), name)
			return
		case seen[name]:
			c.Add(l.Number, clause, "found %s twice in RRULE, want it once", name)
		}
		seen[name] = true
	}
	if !seen["FREQ"] {
		c.Add(l.Number, clause, "found RRULE %s without FREQ, want how often it recurs", short(l.Value))
	}
	if seen["UNTIL"] && seen["COUNT"] {
		c.Add(l.Number, clause, "found both UNTIL and COUNT in RRULE, want one of them")
	}
}
