// Package civil is about days: what a day is, and what a run of days is.
//
// A [Date] has no clock and no time zone, so a day of the year's work cannot slip by an hour or a night. Only what
// writes calendars or asks the clock turns one into a [time.Time].
package civil

import (
	"fmt"
	"time"
)

// Date is a day of the proleptic Gregorian calendar, as days since 1970-01-01. Dates compare and subtract as numbers,
// and serve as map keys. The zero Date is 1970-01-01, a day like any other: use a second value for 'no date'.
type Date int32

// MinDate and MaxDate bound what [Parse] reads: four-digit years.
var (
	MinDate = Of(1, time.January, 1)
	MaxDate = Of(9999, time.December, 31)
)

// Of returns the date of a year, month and day. Days outside the month carry over, as in [time.Date].
func Of(year int, month time.Month, day int) Date {
	if month < time.January || month > time.December {
		return FromTime(time.Date(year, month, day, 0, 0, 0, 0, time.UTC))
	}
	// Years run from March, so that the day that a leap year adds comes last. A season's days ask this millions of
	// times, and package time, which is the test's oracle, does much that a date does not need.
	if month < time.March {
		year--
		month += 12
	}
	century := floorDiv(year, 100)
	return Date(365*year + floorDiv(year, 4) - century + floorDiv(century, 4) + (153*int(month)-457)/5 + day - 719469)
}

func floorDiv(a, b int) int {
	q := a / b
	if a < 0 && q*b != a {
		q--
	}
	return q
}

// FromTime returns the date that t's own clock shows in t's own zone.
func FromTime(t time.Time) Date {
	y, m, d := t.Date()
	return Date(time.Date(y, m, d, 0, 0, 0, 0, time.UTC).Unix() / secondsPerDay)
}

const secondsPerDay = 24 * 60 * 60

// Parse reads a date as ISO 8601 writes it, YYYY-MM-DD, and nothing else.
func Parse(s string) (Date, error) {
	year, month, day, ok := Split(s)
	if !ok {
		return 0, fmt.Errorf("found %q, want a date such as 2027-03-09", s)
	}
	d := Of(year, time.Month(month), day)
	if year < 1 || month < 1 || month > 12 || day < 1 || d.Day() != day {
		return 0, fmt.Errorf("found %q, which is no day of the calendar", s)
	}
	return d, nil
}

// Split takes YYYY-MM-DD apart without asking whether there is such a day, and without allocating: daily files have
// thousands of dates. It is false for what is not ten characters of that form.
func Split[T ~string | ~[]byte](s T) (year, month, day int, ok bool) {
	if len(s) != 10 || s[4] != '-' || s[7] != '-' {
		return 0, 0, 0, false
	}
	number := func(from, to int) int {
		n := 0
		for i := from; i < to; i++ {
			c := s[i]
			if c < '0' || c > '9' {
				ok = false
				return 0
			}
			n = n*10 + int(c-'0')
		}
		return n
	}
	ok = true
	year, month, day = number(0, 4), number(5, 7), number(8, 10)
	return year, month, day, ok
}

// Time returns midnight UTC at the start of d.
func (d Date) Time() time.Time { return time.Unix(int64(d)*secondsPerDay, 0).UTC() }

// Date returns the year, month and day.
func (d Date) Date() (year int, month time.Month, day int) { return d.Time().Date() }

// Year returns the calendar year.
func (d Date) Year() int { return d.Time().Year() }

// Month returns the calendar month.
func (d Date) Month() time.Month { return d.Time().Month() }

// Day returns the day of the month.
func (d Date) Day() int { return d.Time().Day() }

// YearDay returns the day of the year, 1 to 366.
func (d Date) YearDay() int { return d.Time().YearDay() }

// Weekday returns the day of the week.
func (d Date) Weekday() time.Weekday { return d.Time().Weekday() }

// AddYears returns the same month and day n years on; 29 February becomes 28 February where there is none.
func (d Date) AddYears(n int) Date {
	y, m, day := d.Date()
	if m == time.February && day == 29 && !Leap(y+n) {
		day = 28
	}
	return Of(y+n, m, day)
}

// Leap reports whether a year has a 29 February.
func Leap(y int) bool { return y%4 == 0 && (y%100 != 0 || y%400 == 0) }

// Apart returns by how many days two dates differ, in either order.
func Apart(a, b Date) int { return int(max(a, b) - min(a, b)) }

// Format writes d with a layout of package time; the layout should name no clock time.
func (d Date) Format(layout string) string { return d.Time().Format(layout) }

// String returns d as YYYY-MM-DD.
func (d Date) String() string { return d.Format(time.DateOnly) }

// MarshalText and UnmarshalText let a Date stand in JSON, CSV and command-line options.
func (d Date) MarshalText() ([]byte, error) { return []byte(d.String()), nil }

// UnmarshalText reads YYYY-MM-DD.
func (d *Date) UnmarshalText(b []byte) error {
	parsed, err := Parse(string(b))
	if err != nil {
		return err
	}
	*d = parsed
	return nil
}
