package icslint

import (
	"fmt"
	"slices"
	"strconv"
	"strings"

	"treewhen/calendar/contentline"
)

// propertyCheck checks one property of a component by itself.
type propertyCheck func(c *checker, comp *contentline.Component, l contentline.Line)

// properties says how each property is checked, and by which clause.
var properties = map[string]propertyCheck{
	"DTSTART":       dateOrTime,
	"DTEND":         dateOrTime,
	"RECURRENCE-ID": dateOrTime,

	"DTSTAMP":       utc("RFC 5545 3.8.7.2"),
	"LAST-MODIFIED": utc("RFC 5545 3.8.7.3, RFC 7986 5.4"),
	"CREATED":       utc("RFC 5545 3.8.7.1"),
	"ACKNOWLEDGED":  utc("RFC 9074 6.1"),

	"UID":          form("RFC 7986 5.3", "a UUID, or fewer than 255 letters, digits and hyphens", isUID),
	"RELATED-TO":   form("RFC 5545 3.8.4.5, RFC 7986 5.3", "a UID", isUID),
	"COLOR":        form("RFC 7986 5.9", "a color name of CSS3", IsColor),
	"DURATION":     form("RFC 5545 3.8.2.5", "a positive one such as P1D", isDuration),
	"TZOFFSETFROM": offset,
	"TZOFFSETTO":   offset,
	"REFRESH-INTERVAL": both(typed("RFC 7986 5.7", "DURATION"), form("RFC 7986 5.7", "a positive duration such as P1D",
		func(v string) bool { return isDuration(v) && !zeroDuration().MatchString(v) })),

	"VERSION":  oneOf("RFC 5545 3.7.4", "2.0"),
	"CALSCALE": oneOf("RFC 5545 3.7.1", "GREGORIAN"),
	"TRANSP":   oneOf("RFC 5545 3.8.2.7", "OPAQUE", "TRANSPARENT"),
	"CLASS":    oneOf("RFC 5545 3.8.1.3", "PUBLIC", "PRIVATE", "CONFIDENTIAL"),
	"ACTION":   oneOf("RFC 5545 3.8.6.1", "AUDIO", "DISPLAY", "EMAIL"),
	"STATUS": func(c *checker, comp *contentline.Component, l contentline.Line) {
		if comp.Name == "VEVENT" {
			oneOf("RFC 5545 3.8.1.11", "TENTATIVE", "CONFIRMED", "CANCELLED")(c, comp, l)
		}
	},

	"SEQUENCE": integer("RFC 5545 3.8.7.4", 1<<31-1),
	"PRIORITY": integer("RFC 5545 3.8.1.9", 9),
	"REPEAT":   integer("RFC 5545 3.8.6.2", 1<<31-1),

	"GEO":        geo,
	"URL":        uri("RFC 5545 3.8.4.6"),
	"SOURCE":     both(typed("RFC 7986 5.8", "URI"), uri("RFC 7986 5.8")),
	"CONFERENCE": typed("RFC 7986 5.11", "URI"),
	"IMAGE": func(c *checker, _ *contentline.Component, l contentline.Line) {
		if v := l.Keyword("VALUE"); v != "URI" && v != "BINARY" {
			c.Add(l.Number, "RFC 7986 5.10", "found IMAGE without its type, want VALUE=URI or VALUE=BINARY")
		}
	},
	"TRIGGER": trigger,
	"RRULE":   rule,

	"SUMMARY": text(""), "DESCRIPTION": text(""), "LOCATION": text(""), "COMMENT": text(""), "CONTACT": text(""),
	"NAME": text(""), "X-WR-CALNAME": text(""), "X-WR-CALDESC": text(""), "PRODID": text(""), "TZID": text(""),
	"TZNAME": text(""), "X-TREEWHEN-FACTS": text(""), // of no other type than the default, RFC 5545 3.8.8.2
	"CATEGORIES": text(","), "RESOURCES": text(","),
}

// property checks one property by itself.
func (c *checker) property(comp *contentline.Component, l contentline.Line) {
	if check := properties[l.Name]; check != nil {
		check(c, comp, l)
	}
	if zone := l.Keyword("TZID"); zone != "" && !strings.HasPrefix(zone, "/") && !c.zones[l.Param("TZID")] {
		c.Add(l.Number, "RFC 5545 3.2.19", "found TZID %s, want a VTIMEZONE that defines it", short(zone))
	}
}

func both(first, second propertyCheck) propertyCheck {
	return func(c *checker, comp *contentline.Component, l contentline.Line) {
		first(c, comp, l)
		second(c, comp, l)
	}
}

// form checks a value by itself; want says how it should be.
func form(clause, want string, good func(value string) bool) propertyCheck {
	return func(c *checker, _ *contentline.Component, l contentline.Line) {
		if !good(l.Value) {
			c.Add(l.Number, clause, "found %s %s, want %s", l.Name, short(l.Value), want)
		}
	}
}

func oneOf(clause string, words ...string) propertyCheck {
	return form(clause, strings.Join(words, " or "), func(v string) bool {
		return slices.Contains(words, strings.ToUpper(v))
	})
}

// typed checks that the parameter VALUE names a type.
func typed(clause, want string) propertyCheck {
	return func(c *checker, _ *contentline.Component, l contentline.Line) {
		if got := l.Keyword("VALUE"); got != want {
			c.Add(l.Number, clause, "found %s with the type %q, want %s;VALUE=%s", l.Name, got, l.Name, want)
		}
	}
}

func integer(clause string, most int) propertyCheck {
	return form(clause, fmt.Sprintf("a whole number from 0 to %d", most), func(v string) bool {
		n, err := strconv.Atoi(v)
		return err == nil && integerForm().MatchString(v) && 0 <= n && n <= most
	})
}

func uri(clause string) propertyCheck {
	return form(clause, "a URI", func(v string) bool { return uriForm().MatchString(v) })
}

func utc(clause string) propertyCheck {
	return func(c *checker, _ *contentline.Component, l contentline.Line) {
		if t := l.Keyword("VALUE"); t != "" && t != "DATE-TIME" || l.Keyword("TZID") != "" || !isUTC(l.Value) {
			c.Add(l.Number, clause, "found %s %s, want a moment in UTC such as 20270309T000000Z", l.Name,
				short(l.Value))
		}
	}
}

// text checks the escapes of a TEXT value; separators are characters that may stand unescaped, between values.
func text(separators string) propertyCheck {
	return func(c *checker, _ *contentline.Component, l contentline.Line) {
		for i := 0; i < len(l.Value); i++ {
			switch b := l.Value[i]; b {
			case '\\':
				i++
				if i == len(l.Value) || !strings.ContainsRune(`\;,nN`, rune(l.Value[i])) {
					c.Add(l.Number, "RFC 5545 3.3.11", `found a backslash in %s that begins none of \\ \; \, \n`,
						l.Name)
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
}
