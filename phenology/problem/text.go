package problem

import (
	"fmt"
	"unicode"
	"unicode/utf8"
)

// MostName is how long a name may be that stands in titles, in characters: one of a site, a stand, a plan.
const MostName = 200

// CheckText is the one door for every text that a user hands in and a terminal, a page or a calendar shows again: valid
// UTF-8, of letters and signs that can be printed. Line breaks and tabs pass where lines is set. Refused are control
// characters, which can steer a terminal, and the marks that turn the direction of the text after them (Unicode
// Standard Annex 9), which make a line read as another. Most is how many characters it may have; 0 leaves that open.
func CheckText(s string, most int, lines bool) error {
	if !utf8.ValidString(s) {
		return fmt.Errorf("found %.60q, which is no UTF-8; save the file as UTF-8", s)
	}
	want := "one line of text that can be printed"
	if lines {
		want = "text that can be printed"
	}
	for _, r := range s {
		switch {
		case lines && (r == '\n' || r == '\t'):
		case unicode.IsControl(r), r == '\u2028', r == '\u2029', '\u202a' <= r && r <= '\u202e',
			'\u2066' <= r && r <= '\u2069', r == unicode.ReplacementChar:
			return fmt.Errorf("found character U+%04X in %.60q, want %s", r, s, want)
		}
	}
	if n := utf8.RuneCountInString(s); most > 0 && n > most {
		return fmt.Errorf("found %d characters, want %d at most", n, most)
	}
	return nil
}
