// Package phrase writes dates, numbers and lists as people read them in a sentence. It decides nothing and knows no
// tree: it is what the words of every craft are made with.
package phrase

import (
	"fmt"
	"math"
	"strings"
	"time"
	"unicode"
	"unicode/utf8"

	"treewhen/phenology/civil"
)

// ShortDate writes a day without its year: "14 Mar".
func ShortDate(d civil.Date) string { return d.Format("2 Jan") }

// LongDate writes a day with the day of the week and the year: "Sun 14 Mar 2027".
func LongDate(d civil.Date) string { return d.Format("Mon 2 Jan 2006") }

// Span writes days as short as they can be read: "3 to 19 Mar", "28 Mar to 2 Apr", "9 Mar".
func Span(s civil.Span) string {
	a, b := s.First, s.Last
	switch {
	case a == b:
		return ShortDate(a)
	case a.Year() == b.Year() && a.Month() == b.Month():
		return fmt.Sprintf("%d to %s", a.Day(), ShortDate(b))
	default:
		return ShortDate(a) + " to " + ShortDate(b)
	}
}

// Clock writes minutes after midnight as a clock shows them: "09:30".
func Clock(minutes int) string { return fmt.Sprintf("%02d:%02d", minutes/60, minutes%60) }

// Count writes a number of things: "1 day", "3 days".
func Count(n int, what string) string {
	if n == 1 {
		return "1 " + what
	}
	return fmt.Sprintf("%d %ss", n, what)
}

// Days writes a range of whole days: "30 to 60 days", "1 day".
func Days(least, most int) string {
	if least == most {
		return Count(most, "day")
	}
	return fmt.Sprintf("%d to %d days", least, most)
}

// Years writes a range of years as it stands after "every": "year", "3 to 7 years".
func Years(lo, hi float64) string {
	if lo == hi && lo == 1 {
		return "year"
	}
	return Range(lo, hi, 0) + " years"
}

// Range writes a figure or a run of figures, with so many decimals. A range without an upper end is its lower one.
func Range(lo, hi float64, decimals int) string {
	a, b := fmt.Sprintf("%.*f", decimals, lo), fmt.Sprintf("%.*f", decimals, hi)
	if a == b || math.IsInf(hi, 0) {
		return a
	}
	return a + " to " + b
}

// Thousands writes a run of large counts with commas: "12,000 to 15,000".
func Thousands(lo, hi float64) string {
	one := func(x float64) string {
		s := fmt.Sprintf("%.0f", x)
		for i := len(s) - 3; i > 0; i -= 3 {
			s = s[:i] + "," + s[i:]
		}
		return s
	}
	if lo == hi {
		return one(lo)
	}
	return one(lo) + " to " + one(hi)
}

// Percent writes a probability or a share as a whole percentage. Nothing that is not certain is written as 100 %, and
// nothing that may happen as 0 %.
func Percent(p float64) string { return fmt.Sprintf("%d %%", WholePercent(p)) }

// WholePercent is the figure of [Percent].
func WholePercent(p float64) int {
	n := int(math.Round(100 * p))
	switch {
	case n >= 100 && p < 1:
		return 99
	case n <= 0 && p > 0:
		return 1
	}
	return n
}

// Sureness is how sure something is, in steps that have a word each.
type Sureness int

// The steps.
const (
	Unlikely Sureness = iota
	AboutEven
	Likely
	VeryLikely
	AlmostCertain
)

// SurenessOf returns the step of a probability. The bounds are our own choice.
func SurenessOf(p float64) Sureness {
	switch n := WholePercent(p); { // the word must go with the number as it is printed
	case n >= 95:
		return AlmostCertain
	case n >= 80:
		return VeryLikely
	case n >= 60:
		return Likely
	case n >= 40:
		return AboutEven
	default:
		return Unlikely
	}
}

// Confidence says a probability in words. They are our own choice; the number is printed beside them always.
func Confidence(p float64) string {
	return [...]string{"unlikely", "about even", "likely", "very likely", "almost certain"}[SurenessOf(p)]
}

// Join joins words as a sentence does: a, b and c.
func Join(words []string) string {
	switch n := len(words); n {
	case 0:
		return ""
	case 1:
		return words[0]
	default:
		return strings.Join(words[:n-1], ", ") + " and " + words[n-1]
	}
}

// Clauses joins parts of a sentence by semicolons and ends it. There must be one at least.
func Clauses(parts []string) string { return strings.Join(parts, "; ") + "." }

// Capital writes the first letter large.
func Capital(s string) string {
	first, size := utf8.DecodeRuneInString(s)
	if large := unicode.ToUpper(first); size > 0 && large != first {
		return string(large) + s[size:]
	}
	return s
}

// Uncapital writes the first letter small.
func Uncapital(s string) string {
	first, size := utf8.DecodeRuneInString(s)
	if small := unicode.ToLower(first); size > 0 && small != first {
		return string(small) + s[size:]
	}
	return s
}

// Sentence makes a sentence of a phrase: a capital and a full stop.
func Sentence(s string) string {
	s = strings.TrimSpace(s)
	if s == "" {
		return s
	}
	if !strings.HasSuffix(s, ".") {
		s += "."
	}
	return Capital(s)
}

// Months says a run of months, 1 to 12, both included.
func Months(from, to int) string {
	if from == to {
		return time.Month(from).String()
	}
	return time.Month(from).String() + " to " + time.Month(to).String()
}
