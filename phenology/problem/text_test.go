package problem

import (
	"strings"
	"testing"
)

func TestCheckText(t *testing.T) {
	for _, c := range []struct {
		text  string
		lines bool
		ok    bool
	}{
		{"Érablière du rang 4, côté nord", false, true},
		{"雪の森 & <b>", false, true}, // outputs escape it
		{"two\nlines", false, false},
		{"two\nlines\tand more", true, true},
		{"\x1b[2J", false, false}, // ECMA-48: clears a terminal
		{"a\x00b", true, false},
		{"\xff\xfe", false, false},
		{"\u202egnp.exe", false, false}, // UAX 9: a right-to-left override
		{"a\u2028b", false, false},
		{strings.Repeat("é", 200), false, true},
		{strings.Repeat("é", 201), false, false},
	} {
		if err := CheckText(c.text, MostName, c.lines); (err == nil) != c.ok {
			t.Errorf("%.20q: found %v", c.text, err)
		}
	}
}
