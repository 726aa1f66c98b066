package contentline

import (
	"regexp"
	"strconv"
	"strings"
	"sync"
	"time"
)

var durationForm = sync.OnceValue(func() *regexp.Regexp {
	return regexp.MustCompile(
		`^([+-]?)P(?:(\d{1,5})W|(?:(\d{1,5})D)?(?:T(?:(\d{1,6})H)?(?:(\d{1,7})M)?(?:(\d{1,8})S)?)?)$`)
})

// Duration reads a value of type DURATION, RFC 5545 section 3.3.6, in either case: days are days of the calendar, the
// rest is exact. Units may be left out between two others; ok is false where it is no duration, or one of far too much.
func Duration(text string) (days int, exact time.Duration, ok bool) {
	m := durationForm().FindStringSubmatch(strings.ToUpper(strings.TrimSpace(text)))
	if m == nil || strings.HasSuffix(m[0], "P") || strings.HasSuffix(m[0], "T") {
		return 0, 0, false
	}
	n := func(i int) int {
		v, _ := strconv.Atoi(m[i]) // digits alone, few enough
		return v
	}
	days = 7*n(2) + n(3)
	exact = time.Duration(n(4))*time.Hour + time.Duration(n(5))*time.Minute + time.Duration(n(6))*time.Second
	if m[1] == "-" {
		days, exact = -days, -exact
	}
	return days, exact, true
}
