package main

import (
	"strings"
	"testing"
	"time"
)

// The line of progress says how far the work is and, after two seconds, how long it still takes; it is written ten
// times a second at most, shows nothing of work that is done at once, and is wiped at the end.
func TestProgressLine(t *testing.T) {
	var said strings.Builder
	now := time.Unix(0, 0)
	l := &progress{p: &program{stderr: &said}, what: "sites scheduled", on: true, now: func() time.Time { return now }, started: now}
	step := func(done int, after time.Duration) string {
		said.Reset()
		now = time.Unix(0, 0).Add(after)
		l.update(done, 1000)
		return said.String()
	}
	for _, tt := range []struct {
		done  int
		after time.Duration
		want  string
	}{
		{1, 100 * time.Millisecond, ""},
		{4, 400 * time.Millisecond, "\rtreewhen: sites scheduled: 4 of 1000"},
		{5, 450 * time.Millisecond, ""},
		{20, 2 * time.Second, "\rtreewhen: sites scheduled: 20 of 1000, 2 min left"},
		{900, 90 * time.Second, "\rtreewhen: sites scheduled: 900 of 1000, 11 s left"},
		{1000, 100 * time.Second, "\rtreewhen: sites scheduled: 1000 of 1000            "},
	} {
		if got := step(tt.done, tt.after); strings.TrimRight(got, " ") != strings.TrimRight(tt.want, " ") {
			t.Errorf("%d after %v: found %q, want %q", tt.done, tt.after, got, tt.want)
		}
	}
	said.Reset()
	l.end()
	if text := said.String(); strings.Trim(text, "\r ") != "" || !strings.HasSuffix(text, " \r") {
		t.Errorf("the end wipes the line with %q", text)
	}

	said.Reset()
	quick := &progress{p: &program{stderr: &said}, what: "sites", on: true, now: func() time.Time { return now }, started: now}
	quick.update(3, 3)
	quick.end()
	if said.Len() > 0 {
		t.Errorf("work of no time shows %q", said.String())
	}
	if (&program{stderr: &said}).progress("sites").on {
		t.Error("progress is shown where standard error is no terminal")
	}
}
