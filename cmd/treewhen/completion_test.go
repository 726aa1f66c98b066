package main

import (
	"bytes"
	"context"
	"regexp"
	"slices"
	"strings"
	"testing"

	"treewhen/calendar"
	"treewhen/calendar/starter"
	"treewhen/phenology/civil"
)

// runProgram runs a command line and returns its status and what it wrote.
func runProgram(t *testing.T, args ...string) (code int, stdout, stderr string) {
	t.Helper()
	var out, errs bytes.Buffer
	p := &program{stdin: strings.NewReader(""), stdout: &out, stderr: &errs, today: civil.Of(2027, 3, 12)}
	code = p.run(context.Background(), args)
	return code, out.String(), errs.String()
}

var wantOneOf = regexp.MustCompile(`want one of (.*)`)

// The words that help lists, and completion offers, are those that commands take, no more and no fewer.
func TestHelpListsTheWordsThatAreTaken(t *testing.T) {
	seen := 0
	for _, c := range commands() {
		for _, o := range slices.Concat(c.options()) {
			var want []string
			switch o.name {
			case "format", "models":
				args := []string{c.name, "--" + o.name, "no-such-word"}
				if c.name == "fit" {
					args = append(args, "--species", "red maple")
				}
				code, _, errs := runProgram(t, args...)
				m := wantOneOf.FindStringSubmatch(errs)
				if code != exitUsage || m == nil {
					t.Errorf("%v: ended with %d and %q, want %d and the words wanted", args, code, errs, exitUsage)
					continue
				}
				want = strings.Split(m[1], ", ")
			case "activity":
				for _, a := range calendar.Activities() {
					want = append(want, string(a))
				}
			case "for":
				want = starter.Purposes()
			default:
				continue
			}
			seen++
			if !slices.Equal(o.words, want) {
				t.Errorf("%s --%s: completion offers %q, the command takes %q", c.name, o.name, o.words, want)
			}
			for _, word := range o.words {
				if !regexp.MustCompile(`\b` + word + `\b`).MatchString(o.tail()) {
					t.Errorf("%s --%s: help does not say %s", c.name, o.name, word)
				}
			}
		}
	}
	if seen < 8 {
		t.Errorf("found %d options that take words, want more", seen)
	}
}

// Each format that a command says it takes is written, and no two of them alike.
func TestEveryFormatIsWritten(t *testing.T) {
	written := 0
	for _, c := range commands() {
		if !slices.Contains([]string{"schedule", "phases", "sap", "workload"}, c.name) { // the others want more than a plan
			continue
		}
		said := map[string]string{}
		for _, o := range slices.Concat(c.options()) {
			for _, word := range o.words {
				if o.name != "format" {
					break
				}
				code, out, errs := runProgram(t, c.name, "--format", word)
				if other, same := said[out]; same || code != exitDone || out == "" {
					t.Errorf("%s --format %s: ended with %d and %q, as %q did", c.name, word, code, errs, other)
				}
				said[out] = word
				written++
			}
		}
	}
	if written < 17 {
		t.Errorf("wrote %d formats, want more", written)
	}
}

// Every command and every option is offered, and help of each names it.
func TestEveryOptionIsOffered(t *testing.T) {
	for _, c := range commands() {
		list, _ := completionsOf([]string{c.name, "--"})
		_, help, _ := runProgram(t, "help", c.name)
		for _, o := range slices.Concat(c.options()) {
			if !slices.ContainsFunc(list, func(k candidate) bool { return k.word == "--"+o.name }) {
				t.Errorf("%s: --%s is not offered", c.name, o.name)
			}
			if !strings.Contains(help, "  "+o.head()) {
				t.Errorf("%s: help does not show %s", c.name, o.head())
			}
		}
		for line := range strings.Lines(help) {
			if !strings.HasPrefix(line, "treewhen ") && !strings.HasPrefix(line, " ") && len([]rune(strings.TrimSpace(line))) > helpWidth {
				t.Errorf("%s: help has a line of %d characters: %s", c.name, len(line), line)
			}
		}
	}
}

func TestCompletions(t *testing.T) {
	tests := []struct {
		line string // its last word is the one being typed; a space at the end begins a new one
		want string // words that fit, with spaces between them, or what the shell completes
	}{
		{"sch", "schedule"},
		{"hel", "help"},
		{"help pro", "profile"},
		{"nonsense --f", ""},
		{"schedule --fo", "--format"},
		{"schedule --format ", "text csv csv-species json ics html svg wall"},
		{"schedule --format=h", "--format=html"},
		{"schedule --format csv --fo", ""}, // given already
		{"schedule --site weir-street --sit", "--site"},
		{"schedule --site ", "kettle-ridge osier-bank weir-street"},
		{"schedule no-such-plan.yaml --site ", ""},
		{"schedule --activity tw", "twig-survey"},
		{"phases --species=acer-sacch", "--species=acer-saccharinum --species=acer-saccharum"},
		{"phases --as-of ", ""},
		{"schedule ", ":files"},
		{"schedule plan.yaml ", ""},
		{"schedule --details ", ":files"}, // takes no value
		{"schedule --out ", ":files"},
		{"feed --out ", ":folders"},
		{"schedule --profiles ", ":folders"},
		{"species juglans", "juglans-cinerea juglans-nigra"},
		{"completion ", "bash zsh fish"},
		{"man ", ""},
	}
	for _, tt := range tests {
		_, got, errs := runProgram(t, append([]string{"completion", "--answer", "--"}, strings.Split(tt.line, " ")...)...)
		var words []string
		for line := range strings.Lines(got) {
			word, _, _ := strings.Cut(strings.TrimSpace(line), "\t")
			words = append(words, word)
		}
		if have := strings.Join(words, " "); have != tt.want || errs != "" {
			t.Errorf("%q: found %q (%s), want %q", tt.line, have, errs, tt.want)
		}
	}
}
