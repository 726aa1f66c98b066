package ical

import (
	"fmt"
	"strconv"
	"time"

	"treewhen/calendar/contentline"
)

// formatDuration writes d as RFC 5545 section 3.3.6 does, in days, hours, minutes and seconds.
func formatDuration(d time.Duration) string {
	sign := ""
	if d < 0 {
		sign, d = "-", -d
	}
	seconds := int64(d / time.Second)
	days, h, m, s := seconds/86400, seconds/3600%24, seconds/60%60, seconds%60
	out := sign + "P"
	if days > 0 {
		out += strconv.FormatInt(days, 10) + "D"
	}
	clock := ""
	// The grammar lets no unit be skipped between two: PT1H0M5S.
	if h > 0 {
		clock += strconv.FormatInt(h, 10) + "H"
	}
	if m > 0 || h > 0 && s > 0 {
		clock += strconv.FormatInt(m, 10) + "M"
	}
	if s > 0 || days == 0 && h == 0 && m == 0 {
		clock += strconv.FormatInt(s, 10) + "S"
	}
	if clock != "" {
		out += "T" + clock
	}
	return out
}

// parseDuration reads a duration of [longestDuration] at most.
func parseDuration(s string) (time.Duration, error) {
	days, exact, ok := contentline.Duration(s)
	if !ok || max(days, -days) > int(longestDuration/aDay) || (time.Duration(days)*aDay+exact).Abs() > longestDuration {
		return 0, fmt.Errorf("found %q, want a duration such as -PT17H", s)
	}
	return time.Duration(days)*aDay + exact, nil
}

const (
	aDay = 24 * time.Hour
	// longestDuration is for how long before or after its event an alarm of ours may ring.
	longestDuration = 10 * 366 * aDay
)
