package busy

import (
	"errors"
	"fmt"
	"slices"
	"strings"
	"time"

	"github.com/teambition/rrule-go"

	"treewhen/calendar/contentline"
)

// The limits of recurrence. The library cannot be stopped within a rule, and a rule that never comes true keeps it
// busy until the year 9999; so rules are moved to where that is near (see [cycle]), and there may be only so many of
// that kind.
const (
	maxRules   = 20_000  // in a file
	maxBarren  = 100     // rules of a file that never come true
	maxRepeats = 200_000 // times of one rule, from its beginning to the end of the days asked for
	maxEmitted = 3_000_000
	maxADay    = 96     // times a day
	maxInDays  = 20_000 // times of a rule that repeats within the day
)

// recur returns when a rule comes true, from its start to until, as its own calendar shows it. The start itself is not
// in the result unless the rule gives it. UNTIL, where it is in UTC, is read by z; nil is a floating or whole-day
// start.
func (f *file) recur(start time.Time, rule string, z zone, from, until time.Time) ([]time.Time, error) {
	if f.rules++; f.rules > maxRules {
		f.spent = true
		return nil, fmt.Errorf("found more than %d rules, want fewer", maxRules)
	}
	opt, own, err := parseRule(rule, z)
	if err != nil {
		return nil, err
	}
	if !own.IsZero() && own.Before(until) {
		until = own
	}
	if start.After(until) || until.Before(from) {
		return nil, nil
	}
	if err := bounded(opt, start, until); err != nil {
		return nil, err
	}
	move := cycle(start, until)
	opt.Dtstart, opt.Until = start.AddDate(move, 0, 0), until.AddDate(move, 0, 0)
	times, err := f.run(*opt)
	if err != nil {
		return nil, err
	}
	kept := times[:0]
	for _, t := range times {
		if t = t.AddDate(-move, 0, 0); !t.Before(from) {
			kept = append(kept, t)
		}
	}
	return kept, nil
}

// run lets the library work, and turns a panic of its into an error: nobody's calendar may end the program.
func (f *file) run(opt rrule.ROption) (times []time.Time, err error) {
	defer func() {
		if r := recover(); r != nil {
			times, err = nil, errors.New("found a rule that cannot be worked out, want one of RFC 5545 section 3.3.10")
		}
	}()
	r, err := rrule.NewRRule(opt)
	if err != nil {
		return nil, fmt.Errorf("found a rule out of its bounds (%v), want one of RFC 5545 section 3.3.10", err)
	}
	next := r.Iterator()
	for t, ok := next(); ok; t, ok = next() {
		times = append(times, t)
		if f.emitted++; len(times) > maxRepeats || f.emitted > maxEmitted {
			f.spent = f.emitted > maxEmitted
			return nil, fmt.Errorf("found a rule that repeats more than %d times, or more than %d times with those "+
				"before it", maxRepeats, maxEmitted)
		}
	}
	if len(times) == 0 {
		if f.barren++; f.barren > maxBarren {
			f.spent = true
			return nil, fmt.Errorf("found more than %d rules that never come true, want none", maxBarren)
		}
	}
	return times, nil
}

// parseRule reads a rule for the library, and its UNTIL as the rule's own calendar shows it.
func parseRule(rule string, z zone) (*rrule.ROption, time.Time, error) {
	var until time.Time
	rule = strings.TrimSpace(rule)
	if len(rule) > 4000 {
		return nil, until, errors.New("found a rule of more than 4000 characters")
	}
	var parts, names []string
	for _, part := range strings.Split(strings.TrimSuffix(rule, ";"), ";") {
		name, value, ok := strings.Cut(part, "=")
		if !ok || value == "" {
			return nil, until, fmt.Errorf("found %s in a rule, want NAME=value such as FREQ=WEEKLY", clip(part))
		}
		written := name
		name, part = strings.ToUpper(name), strings.ToUpper(part)
		if slices.Contains(names, name) {
			return nil, until, fmt.Errorf("found %s twice in a rule, want it once", clip(written))
		}
		names = append(names, name)
		switch name {
		case "FREQ", "INTERVAL", "COUNT", "WKST", "BYSETPOS", "BYMONTH", "BYMONTHDAY", "BYYEARDAY", "BYWEEKNO", "BYDAY",
			"BYHOUR", "BYMINUTE", "BYSECOND":
			parts = append(parts, part)
		case "UNTIL":
			m, err := (&file{}).moment(contentline.Line{}, value)
			if err != nil {
				return nil, until, fmt.Errorf("UNTIL: %w", err)
			}
			switch {
			case m.date: // the whole of that day, whatever the start is
				until = m.wall.AddDate(0, 0, 1).Add(-time.Second)
			case m.isUTC && z != nil:
				until = z.wall(m.instant())
			default:
				until = m.wall
			}
		default:
			return nil, until, fmt.Errorf("found %s in a rule, want the parts of RFC 5545 section 3.3.10",
				clip(written))
		}
	}
	if slices.Contains(names, "UNTIL") && slices.Contains(names, "COUNT") {
		return nil, until, errors.New("found both UNTIL and COUNT in a rule, want one of them")
	}
	opt, err := rrule.StrToROption(strings.Join(parts, ";"))
	if err != nil {
		return nil, until, fmt.Errorf("found rule %s (%v), want one such as FREQ=WEEKLY;BYDAY=MO", clip(rule), err)
	}
	if opt.Interval < 0 || opt.Count < 0 || slices.Contains(names, "COUNT") && opt.Count == 0 ||
		slices.Contains(names, "INTERVAL") && opt.Interval == 0 {
		return nil, until, errors.New("found COUNT or INTERVAL below 1 in a rule, want 1 or more")
	}
	opt.Interval = min(max(opt.Interval, 1), 100_000)
	return opt, until, nil
}

// bounded returns why a rule would take too long, nil if it would not.
func bounded(opt *rrule.ROption, start, until time.Time) error {
	byDay := 0
	for _, list := range [][]int{opt.Bymonth, opt.Bymonthday, opt.Byyearday, opt.Byweekno, opt.Bysetpos} {
		byDay += len(list)
	}
	byDay += len(opt.Byweekday)
	byTime := len(opt.Byhour) + len(opt.Byminute) + len(opt.Bysecond)
	if byDay+byTime > 400 || len(opt.Bysetpos) > 31 {
		return errors.New("found a rule with more than 400 BY values, or more than 31 of BYSETPOS")
	}
	switch opt.Freq {
	case rrule.HOURLY, rrule.MINUTELY, rrule.SECONDLY:
		step := map[rrule.Frequency]time.Duration{rrule.HOURLY: time.Hour, rrule.MINUTELY: time.Minute,
			rrule.SECONDLY: time.Second}[opt.Freq]
		n := int64(until.Sub(start) / step / time.Duration(opt.Interval))
		if byDay+byTime > 0 {
			return errors.New("found a rule that repeats within the day and has BY parts, want one that repeats by " +
				"days, weeks, months or years")
		}
		if n > maxInDays && (opt.Count == 0 || opt.Count > maxInDays) {
			return fmt.Errorf("found a rule that repeats more than %d times within the days, want one that repeats "+
				"by days, weeks, months or years", maxInDays)
		}
		return nil
	}
	if max(1, len(opt.Byhour))*max(1, len(opt.Byminute))*max(1, len(opt.Bysecond)) > maxADay {
		return fmt.Errorf("found a rule that repeats more than %d times a day", maxADay)
	}
	for _, d := range opt.Byweekday {
		// The library looks for the fiftieth Monday of a month beyond the end of its tables.
		inMonths := opt.Freq == rrule.MONTHLY || opt.Freq == rrule.YEARLY && len(opt.Bymonth) > 0
		if n := d.N(); inMonths && (n > 5 || n < -5) || n != 0 && opt.Freq != rrule.MONTHLY &&
			opt.Freq != rrule.YEARLY {
			return fmt.Errorf("found BYDAY %v, want a weekday that the month or year of the rule can have", d)
		}
	}
	return nil
}

// cycle returns by how many years a rule can be moved onward so that the calendar of all years from its start to a year
// after until stays the same: weekdays, leap years and weeks. It goes as near to the year 9999, at which the library
// gives up on a rule that never comes true, as it can: a few hundred iterations instead of thousands of years of them.
//
// Within a run of years that no irregular century interrupts, the calendar repeats every 28 years; everywhere, it
// repeats every 400.
func cycle(start, until time.Time) int {
	first, last := start.Year(), until.Year()+1
	const end = 9999
	for move := end - last; move > end-last-28 && move > 0; move-- {
		if first >= 1901 && last <= 2099 && first+move >= 9901 && move%4 == 0 && newYear(last) == newYear(last+move) {
			return move
		}
	}
	return max(0, (end-last)/400*400)
}

// newYear returns the weekday on which a year begins.
func newYear(y int) time.Weekday { return time.Date(y, 1, 1, 0, 0, 0, 0, time.UTC).Weekday() }
