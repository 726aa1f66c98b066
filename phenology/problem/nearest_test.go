package problem_test

import (
	"strings"
	"testing"
	"treewhen/phenology/problem"
)

func TestNearest(t *testing.T) {
	words := []string{"bud-break", "bud-swell", "leaf-out", "sap-end"}
	for word, want := range map[string]string{
		"budbreak": "bud-break", "Bud-Break": "bud-break", "sap-edn": "sap-end", "leafout": "leaf-out", "tapping": "",
		"":                              "",
		strings.Repeat("bud-break", 20): "",
	} {
		if got := problem.Nearest(word, words); got != want {
			t.Errorf("Nearest(%q) = %q, want %q", word, got, want)
		}
	}
}
