package french

import (
	"math"
	"strconv"
	"strings"
	"unicode/utf8"

	"treewhen/calendar/phrase"
)

// Decimal writes a figure with so many decimals, a comma before them and a true minus sign: "−3,5".
func Decimal(x float64, decimals int) string {
	s := strconv.FormatFloat(x, 'f', decimals, 64)
	if strings.Trim(s, "-0.") == "" {
		s = strings.TrimPrefix(s, "-")
	}
	return strings.NewReplacer(".", ",", "-", "−").Replace(s)
}

// Figure writes a figure with no more decimals than it has, two at most.
func Figure(x float64) string {
	s := Decimal(x, 2)
	return strings.TrimSuffix(strings.TrimRight(s, "0"), ",")
}

// Count writes a number of things: "0 jour", "1,5 jour", "2 jours". The plural begins with two.
func Count(n int, one, more string) string {
	if n > -2 && n < 2 {
		return strconv.Itoa(n) + " " + one
	}
	return strconv.Itoa(n) + " " + more
}

// About writes a figure that is not known to the unit, with what it counts.
func About(x float64, one, more string) string { return Count(int(math.Round(x)), one, more) }

// Range writes a run of figures with so many decimals: "28 à 45". Without an upper end, or where both are the same as
// they are written, it is one figure.
func Range(lo, hi float64, decimals int) string {
	a, b := Decimal(lo, decimals), Decimal(hi, decimals)
	if a == b || math.IsInf(hi, 0) {
		return a
	}
	return a + " à " + b
}

// Rough writes a figure to two digits as [phrase.Rough] does, with a comma and with no-break spaces between thousands.
func Rough(x float64) string {
	return strings.NewReplacer(".", ",", "\u202f", NoBreak).Replace(phrase.Rough(x))
}

// RoughRange writes a run of figures to two digits each.
func RoughRange(lo, hi float64) string {
	a, b := Rough(lo), Rough(hi)
	if a == b {
		return a
	}
	return a + " à " + b
}

// Percent writes a probability or a share as [phrase.Percent] does: "55 %".
func Percent(p float64) string { return strconv.Itoa(phrase.WholePercent(p)) + NoBreak + "%" }

// Chance writes a probability of what is wanted: "95 % de chances".
func Chance(p float64) string { return Percent(p) + " de chances" }

// Confidence says a probability in words, by the steps of [phrase.SurenessOf]; feminine for a run.
func Confidence(p float64, feminine bool) string {
	switch phrase.SurenessOf(p) {
	case phrase.AlmostCertain:
		if feminine {
			return "presque certaine"
		}
		return "presque certain"
	case phrase.VeryLikely:
		return "très probable"
	case phrase.Likely:
		return "probable"
	case phrase.AboutEven:
		return "une chance sur deux"
	}
	return "peu probable"
}

// Join joins words as a sentence does: a, b et c.
func Join(words []string) string {
	if n := len(words); n > 1 {
		return strings.Join(words[:n-1], ", ") + " et " + words[n-1]
	}
	return strings.Join(words, "")
}

// Elides reports whether le, la, de and que lose their vowel before a word: before a vowel and most h, never before a
// figure.
func Elides(word string) bool {
	first, _ := utf8.DecodeRuneInString(word)
	return strings.ContainsRune("aàâeéèêiîïoôuùyhAÀÂEÉÈÊIÎOÔUYH", first)
}

// Fitting returns the first of some texts, the fullest first, that has no more letters than there is room for; the last
// if none has.
func Fitting(room int, texts ...string) string {
	for _, text := range texts {
		if utf8.RuneCountInString(text) <= room {
			return text
		}
	}
	return texts[len(texts)-1]
}
