package main

import (
	"slices"
	"strings"
	"testing"

	"treewhen/phenology/civil"
)

// The page has every command, every option and every topic, the same each time, and nothing at the beginning of a line
// that roff would take for a request unless it was meant as one.
func TestManual(t *testing.T) {
	text := string(manual(civil.Of(2027, 3, 12)))
	if again := string(manual(civil.Of(2027, 3, 12))); again != text {
		t.Error("found two pages of one build, want one")
	}
	for _, c := range commands() {
		if !strings.Contains(text, "\n.Ss "+c.name+"\n") {
			t.Errorf("there is no part for %s", c.name)
		}
		for _, o := range slices.Concat(c.options()) {
			if !strings.Contains(text, "\n.It Fl \\-"+escapeRoff(o.name)) {
				t.Errorf("there is no --%s of %s", o.name, c.name)
			}
		}
	}
	known := map[string]bool{}
	for _, m := range strings.Fields("Dd Dt Os Sh Ss Nm Nd Ar Op Pp Bl El It Bd Ed Cm") {
		known[m] = true
	}
	for line := range strings.Lines(text) {
		if rest, ok := strings.CutPrefix(strings.TrimSpace(line), "."); ok && !known[strings.Fields(rest + " .")[0]] {
			t.Errorf("found a line that roff would take for a request: %s", line)
		}
	}
}

func TestEscapeRoff(t *testing.T) {
	for in, want := range map[string]string{
		".Pp":         `\&.Pp`,
		"'tis a --x":  `\(aqtis a \-\-x`,
		`a\b`:         `a\eb`,
		"plain words": "plain words",
	} {
		if got := escapeRoff(in); got != want {
			t.Errorf("%q: found %q, want %q", in, got, want)
		}
	}
}
