package civil

import (
	"fmt"
	"time"
)

// MonthDay is a day of every year, such as 20 March. The zero MonthDay is no day at all.
type MonthDay struct {
	Month time.Month
	Day   int
}

// ParseMonthDay reads MM-DD, such as 03-20. 29 February is not a day of every year and is refused.
func ParseMonthDay(s string) (MonthDay, error) {
	if len(s) == 5 {
		if d, err := Parse("2001-" + s); err == nil { // 2001 is no leap year
			return MonthDay{d.Month(), d.Day()}, nil
		}
	}
	return MonthDay{}, fmt.Errorf("found %q, want a month and a day such as 03-20", s)
}

// In returns that day in a year.
func (m MonthDay) In(year int) Date { return Of(year, m.Month, m.Day) }

// YearDay returns the day of a year that is no leap year, 1 to 365.
func (m MonthDay) YearDay() int { return m.In(2001).YearDay() }

// MonthDayOf returns the day of the year that n counts, 1 to 365, in a year that is no leap year; n outside that range
// wraps round.
func MonthDayOf(n int) MonthDay {
	n = (n-1)%365 + 1
	if n < 1 {
		n += 365
	}
	d := Of(2001, time.January, n)
	return MonthDay{d.Month(), d.Day()}
}

// String returns MM-DD.
func (m MonthDay) String() string { return fmt.Sprintf("%02d-%02d", int(m.Month), m.Day) }
