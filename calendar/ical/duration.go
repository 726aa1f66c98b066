package ical

import (
	"strconv"
	"strings"
	"time"
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

// parseDuration reads a duration as RFC 5545 section 3.3.6 writes it, of [longestDuration] at most.
func parseDuration(s string) (time.Duration, error) {
	rest, negative := strings.CutPrefix(s, "-")
	rest, ok := strings.CutPrefix(rest, "P")
	days, clock, timed := strings.Cut(rest, "T")
	if !ok || rest == "" || timed && clock == "" {
		return 0, strconv.ErrSyntax
	}
	d, err := sumOf(days, map[byte]time.Duration{'W': 7 * 24 * time.Hour, 'D': 24 * time.Hour})
	if err != nil {
		return 0, err
	}
	t, err := sumOf(clock, map[byte]time.Duration{'H': time.Hour, 'M': time.Minute, 'S': time.Second})
	if d += t; d > longestDuration {
		return 0, strconv.ErrRange
	}
	if negative {
		d = -d
	}
	return d, err
}

// longestDuration is for how long before or after its event an alarm of ours may ring.
const longestDuration = 10 * 366 * 24 * time.Hour

// sumOf adds up numbers that stand before their units.
func sumOf(s string, units map[byte]time.Duration) (sum time.Duration, err error) {
	for s != "" {
		i := strings.IndexFunc(s, func(r rune) bool { return r < '0' || r > '9' })
		if i <= 0 || units[s[i]] == 0 {
			return 0, strconv.ErrSyntax
		}
		n, err := strconv.ParseUint(s[:i], 10, 32)
		if err != nil || time.Duration(n) > longestDuration/units[s[i]] {
			return 0, strconv.ErrRange
		}
		sum += time.Duration(n) * units[s[i]]
		s = s[i+1:]
		if sum > longestDuration {
			return 0, strconv.ErrRange
		}
	}
	return sum, nil
}
