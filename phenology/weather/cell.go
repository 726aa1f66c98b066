package weather

import (
	"bytes"
	"fmt"
	"math"
	"strconv"
	"strings"
	"time"
	"unicode/utf8"

	"treewhen/phenology/civil"
)

// The years that are read. The oldest daily thermometer series begin in the 18th century and climate projections end
// in the 22nd (both from memory); a date outside is a slip, and would make a series of a million empty days.
var (
	earliest = civil.Of(1700, time.January, 1)
	latest   = civil.Of(2199, time.December, 31)
)

// parseDate reads YYYY-MM-DD.
func parseDate(cell []byte) (d civil.Date, hint, wrong string) {
	cell = trim(cell)
	if year, month, day, ok := civil.Split(cell); ok {
		return checkDate(cell, year, month, day)
	}
	switch {
	case bytes.ContainsAny(cell, "/."):
		hint = "write dates as year-month-day, so that 03/04 cannot be two days"
	case len(cell) > 10 && (cell[10] == 'T' || cell[10] == ' '):
		hint = "leave out the time of day"
	}
	return 0, hint, fmt.Sprintf("found %s, want a date such as 2027-03-09", show(cell))
}

// parseCompactDate reads YYYYMMDD.
func parseCompactDate(cell []byte) (d civil.Date, hint, wrong string) {
	cell = trim(cell)
	if len(cell) == 8 {
		y, ok1 := digits(cell[:4])
		m, ok2 := digits(cell[4:6])
		n, ok3 := digits(cell[6:8])
		if ok1 && ok2 && ok3 {
			return checkDate(cell, y, m, n)
		}
	}
	return 0, "", fmt.Sprintf("found %s, want a date such as 20270309", show(cell))
}

func checkDate(cell []byte, year, month, day int) (d civil.Date, hint, wrong string) {
	if month < 1 || month > 12 || day < 1 || day > daysIn(year, time.Month(month)) {
		return 0, "", fmt.Sprintf("found %s, which is no day of the calendar", show(cell))
	}
	if d = civil.Of(year, time.Month(month), day); d < earliest || d > latest {
		return 0, "", fmt.Sprintf("found %s, want a year from %d to %d", show(cell), earliest.Year(), latest.Year())
	}
	return d, "", ""
}

func daysIn(year int, month time.Month) int {
	if month == time.February && civil.Leap(year) {
		return 29
	}
	return [...]int{31, 28, 31, 30, 31, 30, 31, 31, 30, 31, 30, 31}[month-1]
}

// digits reads a whole number without a sign.
func digits(s []byte) (n int, ok bool) {
	for _, c := range s {
		if c < '0' || c > '9' {
			return 0, false
		}
		n = n*10 + int(c-'0')
	}
	return n, len(s) > 0 && len(s) < 10
}

// powers of ten up to the 15 digits that a float64 holds exactly.
var powersOfTen = [...]float64{1, 1e1, 1e2, 1e3, 1e4, 1e5, 1e6, 1e7, 1e8, 1e9, 1e10, 1e11, 1e12, 1e13, 1e14, 1e15}

// parseNumber reads a decimal number. Up to 15 digits, numerator and power of ten are exact, so that their quotient is
// the nearest float64 there is (IEEE 754 rounds division correctly); longer ones go to strconv.
func parseNumber(s []byte) (v float64, ok bool) {
	i, negative := 0, false
	if len(s) > 0 && (s[0] == '-' || s[0] == '+') {
		negative = s[0] == '-'
		i = 1
	}
	n, count, point := int64(0), 0, -1
	for ; i < len(s); i++ {
		c := s[i]
		if c == '.' && point < 0 {
			point = count
			continue
		}
		if c < '0' || c > '9' || count == 15 {
			return parseLong(s)
		}
		n = n*10 + int64(c-'0')
		count++
	}
	if count == 0 {
		return 0, false
	}
	v = float64(n)
	if point >= 0 {
		v /= powersOfTen[count-point]
	}
	if negative {
		v = -v
	}
	return v, true
}

// longestNumber is the length of the longest number that is read: the smallest float64 written out takes some 330.
const longestNumber = 400

func parseLong(s []byte) (float64, bool) {
	if len(s) > longestNumber {
		return 0, false
	}
	for _, c := range s {
		if (c < '0' || c > '9') && c != '.' && c != '-' && c != '+' && c != 'e' && c != 'E' {
			return 0, false // also the Inf, hexadecimal digits and underscores that strconv would take
		}
	}
	v, err := strconv.ParseFloat(string(s), 64)
	return v, err == nil
}

// temperature reads a cell as [parseTemperature] does; what is wrong with it is a problem of that line and column.
func (f *file) temperature(line int, column string, cell []byte, s scale) (v float64, ok bool) {
	v, hint, wrong := parseTemperature(cell, s)
	if wrong != "" {
		f.problems.add(line, column, hint, "%s", wrong)
	}
	return v, wrong == ""
}

// date reads a cell by a parser or, where it cannot, by others; what the first says is wrong is a problem of that line
// and column.
func (f *file) date(line int, column string, cell []byte, parse dateParser, others ...dateParser) (civil.Date, bool) {
	d, hint, wrong := parse(cell)
	if wrong == "" {
		return d, true
	}
	for _, parse := range others {
		if d, _, wrong := parse(cell); wrong == "" {
			return d, true
		}
	}
	f.problems.add(line, column, hint, "%s", wrong)
	return 0, false
}

// dateParser reads a date; wrong says what is wrong with the cell, "" if nothing.
type dateParser func(cell []byte) (d civil.Date, hint, wrong string)

// parseTemperature reads a cell: NaN where it says that there is nothing, an explanation where it is no number. The
// scale is for the explanation only; the zero scale is one not known yet.
func parseTemperature(cell []byte, s scale) (v float64, hint, wrong string) {
	cell = trim(cell)
	if v, ok := parseNumber(cell); ok {
		return v, "", ""
	}
	if missing(cell) {
		return math.NaN(), "", ""
	}
	if comma := bytes.IndexByte(cell, ','); comma >= 0 {
		if _, ok := parseNumber(bytes.Replace(cell, []byte{','}, []byte{'.'}, 1)); ok {
			hint = "decimal commas are not read: export the file with decimal points"
		}
	}
	in := ""
	if s != (scale{}) {
		in = " in " + s.String()
	}
	return 0, hint, fmt.Sprintf("found %s, want a number%s such as 12.5, or nothing where it is missing", show(cell),
		in)
}

func missing(cell []byte) bool {
	switch len(cell) {
	case 0:
		return true
	case 2:
		return bytes.EqualFold(cell, []byte("NA"))
	case 3:
		return bytes.EqualFold(cell, []byte("NaN")) || bytes.EqualFold(cell, []byte("N/A"))
	}
	return false
}

// trim is bytes.TrimSpace for cells that are nearly always trimmed already.
func trim(s []byte) []byte {
	if n := len(s); n == 0 || s[0] > ' ' && s[n-1] > ' ' && s[0] < 0x80 && s[n-1] < 0x80 {
		return s
	}
	return bytes.TrimSpace(s)
}

// show quotes what was found, cut short where it is long.
func show(s []byte) string {
	const most = 60
	if len(s) > most {
		cut := most
		for cut > most-utf8.UTFMax && !utf8.RuneStart(s[cut]) {
			cut--
		}
		return strconv.Quote(string(s[:cut])) + "…"
	}
	return strconv.Quote(string(s))
}

func number(v float64) string { return strconv.FormatFloat(v, 'f', -1, 64) }

func plural(n int, noun string) string {
	if n == 1 {
		return "1 " + noun
	}
	return strconv.Itoa(n) + " " + noun + "s"
}

// list joins words as a sentence does.
func list(words []string, and string) string {
	if len(words) < 2 {
		return strings.Join(words, "")
	}
	return strings.Join(words[:len(words)-1], ", ") + " " + and + " " + words[len(words)-1]
}
