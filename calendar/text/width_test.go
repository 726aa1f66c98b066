package text

import (
	"strings"
	"testing"
)

// The widths are those of Unicode Standard Annex 11 (East Asian Width), where W and F take two columns, and of Annex 29,
// where a combining mark (general category Mn) belongs to the character before it and takes none.
func TestWidth(t *testing.T) {
	for _, row := range []struct {
		text string
		want int
	}{
		{"", 0},
		{"Sugar maple", 11},
		{"érable à sucre", 14},
		{"e\u0301rable", 6}, // e and a combining acute accent
		{"\u6953", 2},       // a CJK ideograph: W
		{"\u6953\u6a39", 4},
		{"\uff21", 2},                          // fullwidth letter A: F
		{"\uff76", 1},                          // halfwidth katakana letter KA: H
		{"\u1112\u1161\u11ab", 2},              // three jamo that make one syllable
		{"\u0928\u0940\u092e", 3},              // two Devanagari letters and a vowel sign that takes room beside the first
		{"10 °C – 12 °C · 3 █", 19},            // what our tables have beside ASCII
		{"Kalap\u0113\u0304 \u6953 grove", 15}, // all together
	} {
		if got := Width(row.text); got != row.want {
			t.Errorf("%q: found %d columns, want %d", row.text, got, row.want)
		}
	}
}

func TestPadAndClip(t *testing.T) {
	for _, row := range []struct{ text, pad, clip string }{
		{"oak", "oak   ", "oak   "},
		{"maples", "maples", "mapl. "},
		{"\u6953\u6a39", "\u6953\u6a39  ", "\u6953\u6a39  "},
		{"\u6953\u6a39\u6953\u6a39", "\u6953\u6a39\u6953\u6a39", "\u6953\u6a39. "},
		{"a\u6953\u6a39\u6953", "a\u6953\u6a39\u6953", "a\u6953.  "}, // half a character is not cut off
		{"e\u0301e\u0301", "e\u0301e\u0301    ", "e\u0301e\u0301    "},
	} {
		if got := Pad(row.text, 6); got != row.pad {
			t.Errorf("%q padded: found %q, want %q", row.text, got, row.pad)
		}
		if got := clip(row.text, 6); got != row.clip {
			t.Errorf("%q clipped: found %q, want %q", row.text, got, row.clip)
		}
	}
}

// Lines keep to the width as it is shown, and no word and no character is lost or cut.
func TestWrapWide(t *testing.T) {
	for _, word := range []string{"maple", "\u6953\u6a39", "e\u0301rable", "\u0928\u0940\u092e"} {
		whole := "  " + strings.TrimSpace(strings.Repeat(word+" ", 60))
		lines := wrapText(whole, 40, 4)
		for i, line := range lines {
			room := 40 - 4*min(i, 1)
			if w := Width(line); w > room || i < len(lines)-1 && w+1+Width(word) <= room {
				t.Errorf("%s: line %d has %d columns of %d", word, i, w, room)
			}
		}
		if got := strings.Join(lines, " "); got != whole {
			t.Errorf("%s: found %q", word, got)
		}
	}
	if got := wrapText("some 11\u202f000 to 32\u202f000 gallons of 2031 600", 8, 0); strings.Join(got, "|") !=
		"some|11\u202f000|to|32\u202f000|gallons|of 2031|600" {
		t.Errorf("a figure has lost its thousands: %q", got)
	}
	if got := wrapText("\u6953 at 12 °C and 30 %", 9, 0); strings.Join(got, "|") != "\u6953 at|12 °C and|30 %" {
		t.Errorf("a figure loses its unit: %q", got)
	}
}
