package icslint

import (
	"regexp"
	"slices"
	"strconv"
	"strings"
	"sync"
	"time"
)

// Check returns what is wrong with a feed, nil if nothing is.
func Check(data []byte) []Finding {
	calendar, found := Parse(data)
	return append(found, Validate(calendar)...)
}

// Validate returns what is wrong with a feed that [Parse] has taken apart, beyond what that has found already.
func Validate(calendar *Component) []Finding {
	if calendar == nil {
		return nil
	}
	c := checker{alarms: map[string]int{}, events: map[string]int{}, zones: map[string]bool{}}
	c.calendar(calendar)
	return c.findings
}

type checker struct {
	findings
	method string
	events map[string]int  // line of each event's UID
	alarms map[string]int  // line of each alarm's UID
	zones  map[string]bool // TZIDs that the calendar defines
}

// counts are the numbers of times that a component may have a property.
type counts struct {
	clause      string
	once        []string // must be there, once
	atMostOnce  []string
	subordinate []string // components that may stand within
}

var rules = map[string]counts{
	"VCALENDAR": {
		clause: "RFC 5545 3.6, RFC 7986 4",
		once:   []string{"PRODID", "VERSION"},
		atMostOnce: []string{"CALSCALE", "METHOD", "UID", "LAST-MODIFIED", "URL", "REFRESH-INTERVAL", "SOURCE", "COLOR",
			"X-WR-CALNAME"},
		subordinate: []string{"VEVENT", "VTODO", "VJOURNAL", "VFREEBUSY", "VTIMEZONE"},
	},
	"VEVENT": {
		clause: "RFC 5545 3.6.1, RFC 7986 5",
		once:   []string{"UID", "DTSTAMP"},
		atMostOnce: []string{"DTSTART", "CLASS", "CREATED", "DESCRIPTION", "GEO", "LAST-MODIFIED", "LOCATION", "ORGANIZER",
			"PRIORITY", "SEQUENCE", "STATUS", "SUMMARY", "TRANSP", "URL", "RECURRENCE-ID", "DTEND", "DURATION", "COLOR",
			"X-TREEWHEN-FACTS"},
		subordinate: []string{"VALARM"},
	},
	"VALARM": {
		clause:     "RFC 5545 3.6.6, RFC 9074 4",
		once:       []string{"ACTION", "TRIGGER"},
		atMostOnce: []string{"DURATION", "REPEAT", "UID", "ACKNOWLEDGED", "DESCRIPTION", "SUMMARY"},
	},
	"VTIMEZONE": {
		clause:      "RFC 5545 3.6.5",
		once:        []string{"TZID"},
		atMostOnce:  []string{"LAST-MODIFIED", "TZURL"},
		subordinate: []string{"STANDARD", "DAYLIGHT"},
	},
	"STANDARD": {clause: "RFC 5545 3.6.5", once: []string{"DTSTART", "TZOFFSETTO", "TZOFFSETFROM"}, atMostOnce: []string{"RRULE"}},
	"DAYLIGHT": {clause: "RFC 5545 3.6.5", once: []string{"DTSTART", "TZOFFSETTO", "TZOFFSETFROM"}, atMostOnce: []string{"RRULE"}},
}

func (c *checker) calendar(calendar *Component) {
	c.method = calendar.Value("METHOD")
	if len(calendar.Children) == 0 {
		c.add(calendar.Line, "RFC 5545 3.6", "found no component, want at least one")
	}
	for _, child := range calendar.Children {
		if child.Name == "VTIMEZONE" {
			c.zones[child.Value("TZID")] = true
		}
	}
	c.component(calendar)
}

func (c *checker) component(comp *Component) {
	rule, ok := rules[comp.Name]
	if !ok {
		return // a component of another standard, or one that feeds do not have
	}
	seen := map[string]int{}
	for _, l := range comp.Lines {
		seen[l.Name]++
	}
	for _, name := range rule.once {
		switch {
		case seen[name] == 0:
			c.add(comp.Line, rule.clause, "found a %s without %s, want one", comp.Name, name)
		case seen[name] > 1:
			c.add(comp.Line, rule.clause, "found a %s with %d of %s, want one", comp.Name, seen[name], name)
		}
	}
	for _, name := range rule.atMostOnce {
		if seen[name] > 1 {
			c.add(comp.Line, rule.clause, "found a %s with %d of %s, want at most one", comp.Name, seen[name], name)
		}
	}
	for _, l := range comp.Lines {
		c.property(comp, l)
	}
	switch comp.Name {
	case "VEVENT":
		c.event(comp, seen)
	case "VALARM":
		c.alarm(comp, seen)
	case "VTIMEZONE":
		if len(comp.Children) == 0 {
			c.add(comp.Line, rule.clause, "found a VTIMEZONE without STANDARD or DAYLIGHT")
		}
	}
	for _, child := range comp.Children {
		if _, known := rules[child.Name]; known && !slices.Contains(rule.subordinate, child.Name) {
			c.add(child.Line, rule.clause, "found a %s within a %s", child.Name, comp.Name)
		}
		c.component(child)
	}
}

// event checks what several properties of an event say together.
func (c *checker) event(e *Component, seen map[string]int) {
	if seen["DTSTART"] == 0 && c.method == "" {
		c.add(e.Line, "RFC 5545 3.6.1", "found an event without DTSTART, want one where the calendar has no METHOD")
	}
	if c.method != "" && seen["ORGANIZER"] == 0 {
		c.add(e.Line, "RFC 5546 3.2.1", "found METHOD:%s and an event without ORGANIZER; a feed does best without METHOD", c.method)
	}
	if seen["DTEND"] > 0 && seen["DURATION"] > 0 {
		c.add(e.Line, "RFC 5545 3.6.1", "found both DTEND and DURATION, want one of them")
	}
	if start, end := e.All("DTSTART"), e.All("DTEND"); len(start) > 0 && len(end) > 0 {
		switch s, t := start[0], end[0]; {
		case s.Param("VALUE") != t.Param("VALUE"):
			c.add(t.Number, "RFC 5545 3.8.2.2", "found DTEND and DTSTART of different types, want the same")
		case s.Param("TZID") == t.Param("TZID") && t.Value <= s.Value:
			c.add(t.Number, "RFC 5545 3.8.2.2", "found DTEND %s not after DTSTART %s; an end is not part of the event", short(t.Value), short(s.Value))
		}
	}
	if stamp, modified := e.Value("DTSTAMP"), e.Value("LAST-MODIFIED"); c.method == "" && modified != "" && stamp != modified {
		c.add(e.Line, "RFC 5545 3.8.7.2", "found DTSTAMP %s and LAST-MODIFIED %s, want the same where there is no METHOD", short(stamp), short(modified))
	}
	if uid := e.Value("UID"); uid != "" && seen["RECURRENCE-ID"] == 0 {
		if line, twice := c.events[uid]; twice {
			c.add(e.Line, "RFC 5545 3.8.4.7", "found UID %s, which line %d has already", short(uid), line)
		}
		c.events[uid] = e.Line
	}
}

func (c *checker) alarm(a *Component, seen map[string]int) {
	want := func(names ...string) {
		for _, name := range names {
			if seen[name] == 0 {
				c.add(a.Line, "RFC 5545 3.6.6", "found a %s alarm without %s", a.Value("ACTION"), name)
			}
		}
	}
	switch a.Value("ACTION") {
	case "DISPLAY":
		want("DESCRIPTION")
	case "EMAIL":
		want("DESCRIPTION", "SUMMARY", "ATTENDEE")
	}
	if (seen["DURATION"] > 0) != (seen["REPEAT"] > 0) {
		c.add(a.Line, "RFC 5545 3.6.6", "found one of DURATION and REPEAT, want both or neither")
	}
	if uid := a.Value("UID"); uid != "" {
		if line, twice := c.alarms[uid]; twice {
			c.add(a.Line, "RFC 9074 4", "found alarm UID %s, which line %d has already", short(uid), line)
		}
		c.alarms[uid] = a.Line
	}
}

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
func (c *checker) property(comp *Component, l Line) {
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
			c.add(l.Number, "RFC 7986 5.3", "found UID %s, want a UUID, or fewer than 255 letters, digits and hyphens", short(l.Value))
		}
	case "RELATED-TO":
		if !uidForm().MatchString(l.Value) {
			c.add(l.Number, "RFC 5545 3.8.4.5, RFC 7986 5.3", "found RELATED-TO %s, want a UID", short(l.Value))
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
			c.add(l.Number, "RFC 7986 5.9", "found COLOR %s, want a color name of CSS3", short(l.Value))
		}
	case "URL":
		c.uri(l, "RFC 5545 3.8.4.6")
	case "SOURCE":
		c.valueParam(l, "RFC 7986 5.8", "URI")
		c.uri(l, "RFC 7986 5.8")
	case "IMAGE":
		if v := l.Param("VALUE"); v != "URI" && v != "BINARY" {
			c.add(l.Number, "RFC 7986 5.10", "found IMAGE without its type, want VALUE=URI or VALUE=BINARY")
		}
	case "CONFERENCE":
		c.valueParam(l, "RFC 7986 5.11", "URI")
	case "REFRESH-INTERVAL":
		c.valueParam(l, "RFC 7986 5.7", "DURATION")
		if !durationForm().MatchString(l.Value) || strings.HasPrefix(l.Value, "-") || zeroDuration().MatchString(l.Value) {
			c.add(l.Number, "RFC 7986 5.7", "found REFRESH-INTERVAL %s, want a positive duration such as P1D", short(l.Value))
		}
	case "DURATION":
		if !durationForm().MatchString(l.Value) || strings.HasPrefix(l.Value, "-") {
			c.add(l.Number, "RFC 5545 3.8.2.5", "found DURATION %s, want a positive one such as P1D", short(l.Value))
		}
	case "TRIGGER":
		c.trigger(l)
	case "RRULE":
		c.rule(l)
	case "TZOFFSETFROM", "TZOFFSETTO":
		if !offsetForm().MatchString(l.Value) || l.Value == "-0000" || l.Value == "-000000" {
			c.add(l.Number, "RFC 5545 3.3.14", "found offset %s, want one such as -0600", short(l.Value))
		}
	case "SUMMARY", "DESCRIPTION", "LOCATION", "COMMENT", "CONTACT", "NAME", "X-WR-CALNAME", "X-WR-CALDESC", "PRODID", "TZID", "TZNAME",
		"X-TREEWHEN-FACTS": // of no other type than the default, RFC 5545 3.8.8.2
		c.text(l, "")
	case "CATEGORIES", "RESOURCES":
		c.text(l, ",")
	}
	if zone := l.Param("TZID"); zone != "" && !strings.HasPrefix(zone, "/") {
		if !slices.ContainsFunc(l.Params, func(p Param) bool { return p.Name == "TZID" && c.zones[p.Values[0]] }) {
			c.add(l.Number, "RFC 5545 3.2.19", "found TZID %s, want a VTIMEZONE that defines it", short(zone))
		}
	}
}

func (c *checker) oneOf(l Line, clause string, want ...string) {
	if !slices.Contains(want, strings.ToUpper(l.Value)) {
		c.add(l.Number, clause, "found %s %s, want %s", l.Name, short(l.Value), strings.Join(want, " or "))
	}
}

func (c *checker) valueParam(l Line, clause, want string) {
	if got := l.Param("VALUE"); got != want {
		c.add(l.Number, clause, "found %s with the type %q, want %s;VALUE=%s", l.Name, got, l.Name, want)
	}
}

func (c *checker) integer(l Line, clause string, low, high int) {
	n, err := strconv.Atoi(l.Value)
	if !integerForm().MatchString(l.Value) || err != nil || n < low || n > high {
		c.add(l.Number, clause, "found %s %s, want a whole number from %d to %d", l.Name, short(l.Value), low, high)
	}
}

func (c *checker) uri(l Line, clause string) {
	if !uriForm().MatchString(l.Value) {
		c.add(l.Number, clause, "found %s %s, want a URI", l.Name, short(l.Value))
	}
}

func (c *checker) geo(l Line) {
	m := geoForm().FindStringSubmatch(l.Value)
	if m == nil {
		c.add(l.Number, "RFC 5545 3.8.1.6", "found GEO %s, want latitude;longitude with at most six decimals", short(l.Value))
		return
	}
	lat, _ := strconv.ParseFloat(m[1], 64)
	lon, _ := strconv.ParseFloat(m[2], 64)
	if lat < -90 || lat > 90 || lon < -180 || lon > 180 {
		c.add(l.Number, "RFC 5545 3.8.1.6", "found GEO %s, want latitudes to 90 and longitudes to 180 degrees", short(l.Value))
	}
}

func (c *checker) utc(l Line, clause string) {
	if t := l.Param("VALUE"); t != "" && t != "DATE-TIME" || l.Param("TZID") != "" || !isUTC(l.Value) {
		c.add(l.Number, clause, "found %s %s, want a moment in UTC such as 20270309T000000Z", l.Name, short(l.Value))
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

func (c *checker) dateOrTime(l Line, local bool) {
	switch l.Param("VALUE") {
	case "DATE":
		if !isDate(l.Value) || l.Param("TZID") != "" {
			c.add(l.Number, "RFC 5545 3.3.4", "found %s %s, want a date such as 20270309, without TZID", l.Name, short(l.Value))
		}
	case "", "DATE-TIME":
		floating := strings.TrimSuffix(l.Value, "Z")
		utc := floating != l.Value
		_, err := time.Parse("20060102T150405", floating)
		if err != nil || len(floating) != len("20060102T150405") || utc && (local || l.Param("TZID") != "") {
			c.add(l.Number, "RFC 5545 3.3.5", "found %s %s, want a time such as 20270309T070000, or VALUE=DATE for a day", l.Name, short(l.Value))
		}
	default:
		c.add(l.Number, "RFC 5545 3.8.2.4", "found %s of type %s, want DATE or DATE-TIME", l.Name, l.Param("VALUE"))
	}
}

func (c *checker) trigger(l Line) {
	switch l.Param("VALUE") {
	case "DATE-TIME":
		if !isUTC(l.Value) || l.Param("RELATED") != "" {
			c.add(l.Number, "RFC 5545 3.8.6.3", "found TRIGGER %s, want a moment in UTC, without RELATED", short(l.Value))
		}
	case "", "DURATION":
		if !durationForm().MatchString(l.Value) {
			c.add(l.Number, "RFC 5545 3.8.6.3", "found TRIGGER %s, want a duration such as -PT17H", short(l.Value))
		}
		if r := l.Param("RELATED"); r != "" && r != "START" && r != "END" {
			c.add(l.Number, "RFC 5545 3.2.14", "found RELATED=%s, want START or END", r)
		}
	default:
		c.add(l.Number, "RFC 5545 3.8.6.3", "found TRIGGER of type %s, want DURATION or DATE-TIME", l.Param("VALUE"))
	}
}

// text checks the escapes of a TEXT value; separators are characters that may stand unescaped, between values.
func (c *checker) text(l Line, separators string) {
	for i := 0; i < len(l.Value); i++ {
		switch b := l.Value[i]; b {
		case '\\':
			i++
			if i == len(l.Value) || !strings.ContainsRune(`\;,nN`, rune(l.Value[i])) {
				c.add(l.Number, "RFC 5545 3.3.11", `found a backslash in %s that begins none of \\ \; \, \n`, l.Name)
				return
			}
		case ',', ';':
			if !strings.ContainsRune(separators, rune(b)) {
				c.add(l.Number, "RFC 5545 3.3.11", `found %q in %s, want \%c`, b, l.Name, b)
				return
			}
		}
	}
}
