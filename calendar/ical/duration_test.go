package ical

import (
	"testing"
	"time"

	"pgregory.net/rapid"
)

func TestDurationsAreReadBack(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		d := time.Duration(rapid.Int64Range(-400*86400, 400*86400).Draw(t, "seconds")) * time.Second
		if got, err := parseDuration(formatDuration(d)); err != nil || got != d {
			t.Fatalf("found %v, %v of %s, want %v", got, err, formatDuration(d), d)
		}
	})
	// Examples of RFC 5545 sections 3.3.6 and 3.8.6.3.
	for text, want := range map[string]time.Duration{
		"P15DT5H0M20S": 15*24*time.Hour + 5*time.Hour + 20*time.Second, "P7W": 49 * 24 * time.Hour, "-PT30M": -30 * time.Minute,
		"-PT15M": -15 * time.Minute, "PT5M": 5 * time.Minute, "-P2D": -48 * time.Hour, "PT0S": 0,
	} {
		if got, err := parseDuration(text); err != nil || got != want {
			t.Errorf("%s: found %v, %v, want %v", text, got, err, want)
		}
	}
	for _, text := range []string{"", "P", "-", "PT", "7D", "P7", "PD", "P7X", "P-7D", "P1.5D", "PT5MT5M", "20270310T070000Z", "P99999999999999999999D", "P9999999D"} {
		if got, err := parseDuration(text); err == nil {
			t.Errorf("%q: found %v, want an error", text, got)
		}
	}
}

func FuzzParseDuration(f *testing.F) {
	f.Add("-P7DT2H")
	f.Add("P7W")
	f.Fuzz(func(t *testing.T, text string) {
		d, err := parseDuration(text)
		if err != nil {
			return
		}
		if again, err := parseDuration(formatDuration(d)); err != nil || again != d.Truncate(time.Second) {
			t.Errorf("%q: found %v, then %v, %v", text, d, again, err)
		}
	})
}
