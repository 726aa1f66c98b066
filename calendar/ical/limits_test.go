package ical_test

import (
	"errors"
	"io"
	"runtime"
	"strings"
	"testing"

	"treewhen/calendar/ical"
	"treewhen/phenology/problem"
)

// endless is a text for ever.
type endless struct{ text, left string }

func (e *endless) Read(b []byte) (int, error) {
	if e.left == "" {
		e.left = e.text
	}
	n := copy(b, e.left)
	e.left = e.left[n:]
	return n, nil
}

// A feed that never ends is given up at [ical.MaxFeed] before anything of it is looked at.
func TestPreviousFeedSizeLimitHolds(t *testing.T) {
	for name, text := range map[string]string{
		"properties": "X-A:0123456789012345678901234567890123456789\r\n", "components": "BEGIN:VEVENT\r\n", "folds": " \r\n", "one line": "0123456789",
	} {
		var before, after runtime.MemStats
		runtime.ReadMemStats(&before)
		_, err := ical.ReadPrevious(io.MultiReader(strings.NewReader("BEGIN:VCALENDAR\r\n"), &endless{text: text}))
		runtime.ReadMemStats(&after)
		var found problem.Problem
		if !errors.As(err, &found) || !strings.Contains(found.Text, "more than 32 MiB") || !strings.Contains(found.Hint, "move the file away") {
			t.Errorf("%s: found %v, want a problem", name, err)
		}
		// io.ReadAll grows its buffer by a quarter at a time: what it has let go comes to five times the last.
		if size := after.TotalAlloc - before.TotalAlloc; size > 8*ical.MaxFeed {
			t.Errorf("%s: %d bytes were allocated", name, size)
		}
	}
}
