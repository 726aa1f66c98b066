package weather

import (
	"math"
	"strconv"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"treewhen/phenology/civil"
)

// Bit for bit what strconv reads, at any length.
func TestParseNumberAgreesWithStrconv(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		s := rapid.StringMatching(`[+-]?[0-9]{0,20}(\.[0-9]{0,20})?(e[+-]?[0-9]{1,2})?`).Draw(t, "number")
		want, err := strconv.ParseFloat(s, 64)
		got, ok := parseNumber([]byte(s))
		if ok != (err == nil) || ok && math.Float64bits(got) != math.Float64bits(want) {
			t.Fatalf("%q: got %v, %v; strconv %v, %v", s, got, ok, want, err)
		}
	})
}

func TestParseNumberRefuses(t *testing.T) {
	for _, s := range []string{"", "-", ".", "+.", "1,5", "1_0", "0x1p3", "Inf", "-inf", "nan", "1.2.3", "1-", "--1", " 1", strings.Repeat("1", longestNumber+1)} {
		if v, ok := parseNumber([]byte(s)); ok {
			t.Errorf("%q was read as %v", s, v)
		}
	}
}

// The same days as package civil, and no others.
func TestParseDateAgreesWithCivil(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		s := rapid.OneOf(
			rapid.StringMatching(`(1[6-9]|2[0-2])[0-9]{2}-[01][0-9]-[0-3][0-9]`),
			rapid.Custom(func(t *rapid.T) string { return civil.Date(rapid.Int32Range(-150000, 90000).Draw(t, "day")).String() }),
			rapid.String(),
		).Draw(t, "date")
		want, err := civil.Parse(s)
		valid := err == nil && want >= earliest && want <= latest
		got, _, wrong := parseDate([]byte(s))
		if valid != (wrong == "") || valid && got != want {
			if strings.TrimSpace(s) != s { // blanks around a cell are no part of it
				t.Skip()
			}
			t.Fatalf("%q: got %v, %q; civil %v, %v", s, got, wrong, want, err)
		}
	})
}
