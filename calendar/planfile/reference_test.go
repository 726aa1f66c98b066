package planfile

import (
	"strings"
	"testing"
)

// The reference that help prints is the package's documentation, whole and without its comment marks.
func TestReference(t *testing.T) {
	text := Reference()
	for _, want := range []string{"The plan file\n", "    sites: ", "prohibited:", "The observations file\n", "osier-bank/flood-bank"} {
		if !strings.Contains(text, want) {
			t.Errorf("the reference lacks %q", want)
		}
	}
	for line := range strings.Lines(text) {
		if strings.HasPrefix(line, "//") || strings.HasPrefix(line, "package ") {
			t.Errorf("the reference has source code in it: %q", line)
		}
	}
}
