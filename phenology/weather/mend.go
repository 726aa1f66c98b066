package weather

import (
	"fmt"
	"math"
	"strconv"
	"strings"

	"treewhen/phenology/civil"
)

// Correction is what a user orders to be done to a source before anything is computed from it. The zero Correction
// changes nothing.
type Correction struct {
	ShiftMin, ShiftMax   int     // days added to the date of each minimum, of each maximum
	OffsetMin, OffsetMax float64 // degrees Celsius added to each
	// Days, as the file dates them, whose value is not to be used.
	LeaveOutMin, LeaveOutMax []civil.Date
}

// IsZero reports whether c changes nothing.
func (c Correction) IsZero() bool {
	return c.ShiftMin == 0 && c.ShiftMax == 0 && c.OffsetMin == 0 && c.OffsetMax == 0 &&
		len(c.LeaveOutMin) == 0 && len(c.LeaveOutMax) == 0
}

// String writes c as the keys of a source in a plan file, such as "shift: {tmax: -1 day}"; "" if it changes nothing.
func (c Correction) String() string {
	both := func(key, low, high string) string {
		if low != "" {
			low = "tmin: " + low
		}
		if high != "" {
			high = "tmax: " + high
		}
		if values := joinNonEmpty([]string{low, high}, ", "); values != "" {
			return key + ": {" + values + "}"
		}
		return ""
	}
	days := func(n int) string {
		switch n {
		case 0:
			return ""
		case 1, -1:
			return fmt.Sprintf("%+d day", n)
		}
		return fmt.Sprintf("%+d days", n)
	}
	offset := func(v float64) string {
		if v == 0 {
			return ""
		}
		return strconv.FormatFloat(v, 'f', -1, 64) + " C"
	}
	dates := func(list []civil.Date) string {
		if len(list) == 0 {
			return ""
		}
		words := make([]string, len(list))
		for i, d := range list {
			words[i] = d.String()
		}
		return "[" + strings.Join(words, ", ") + "]"
	}
	return joinNonEmpty([]string{
		both("shift", days(c.ShiftMin), days(c.ShiftMax)),
		both("offset", offset(c.OffsetMin), offset(c.OffsetMax)),
		both("leave_out", dates(c.LeaveOutMin), dates(c.LeaveOutMax)),
	}, ", ")
}

// Apply returns s corrected, and how many days were reversed: values are left out, then moved to their days, then up or
// down. s is not changed. Days that a shift or an offset touched are marked [Shifted] and [Adjusted].
//
// A complete day whose minimum is above its maximum, be it from the file or from a shift that does not hold on every
// day, cannot be right, and nothing says which of the two is wrong. Both become their mean and the day is [Suspect]:
// its warmth is kept, and no freeze or thaw is made up between them.
func (c Correction) Apply(s Series) (mended Series, reversed int) {
	if len(s.Days) == 0 || c.IsZero() {
		return s.clone(), 0
	}
	in := s.clone()
	leaveOut := func(dates []civil.Date, value func(*Day) *float64) {
		for _, d := range dates {
			if i := int(d - in.First); i >= 0 && i < len(in.Days) {
				*value(&in.Days[i]) = math.NaN()
			}
		}
	}
	leaveOut(c.LeaveOutMin, minimum)
	leaveOut(c.LeaveOutMax, maximum)

	from, to := min(c.ShiftMin, c.ShiftMax, 0), max(c.ShiftMin, c.ShiftMax, 0)
	out := missingDays(in.First+civil.Date(from), len(in.Days)+to-from)
	move := func(value func(*Day) *float64, shift int, offset float64) {
		for i := range in.Days {
			v := *value(&in.Days[i])
			if math.IsNaN(v) {
				continue
			}
			day := &out.Days[i+shift-from]
			*value(day) = v + offset
			day.Flags |= in.Days[i].Flags
			if shift != 0 {
				day.Flags |= Shifted
			}
			if offset != 0 {
				day.Flags |= Adjusted
			}
		}
	}
	move(minimum, c.ShiftMin, c.OffsetMin)
	move(maximum, c.ShiftMax, c.OffsetMax)
	out = trimMissing(out)
	for i := range out.Days {
		if d := &out.Days[i]; d.Min > d.Max {
			d.Min, d.Max = d.Mean(), d.Mean()
			d.Flags |= Suspect
			reversed++
		}
	}
	return out, reversed
}

func minimum(d *Day) *float64 { return &d.Min }
func maximum(d *Day) *float64 { return &d.Max }

// trimMissing drops days without any value from both ends.
func trimMissing(s Series) Series {
	empty := func(d Day) bool { return math.IsNaN(d.Min) && math.IsNaN(d.Max) }
	for len(s.Days) > 0 && empty(s.Days[0]) {
		s.First, s.Days = s.First+1, s.Days[1:]
	}
	for len(s.Days) > 0 && empty(s.Days[len(s.Days)-1]) {
		s.Days = s.Days[:len(s.Days)-1]
	}
	return s
}
