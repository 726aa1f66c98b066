package icslint

import (
	"slices"
	"strconv"
	"strings"

	"treewhen/calendar/contentline"
)

// rule checks the form of a recurrence rule.
func rule(c *checker, _ *contentline.Component, l contentline.Line) {
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
	"BYDAY":      listOfDays,
	"BYMONTHDAY": listOf(1, 31, true),
	"BYYEARDAY":  listOf(1, 366, true),
	"BYWEEKNO":   listOf(1, 53, true),
	"BYMONTH":    listOf(1, 12, false),
	"BYSETPOS":   listOf(1, 366, true),
	"WKST":       func(v string) bool { return len(v) == 2 && weekdayForm().MatchString(v) },
}

// listOfDays reports whether s lists days of the week, which may be counted within the month or the year.
func listOfDays(s string) bool {
	for v := range strings.SplitSeq(s, ",") {
		if !weekdayForm().MatchString(v) {
			return false
		}
	}
	return true
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
