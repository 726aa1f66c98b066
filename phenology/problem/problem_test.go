package problem

import (
	"errors"
	"testing"
)

func TestError(t *testing.T) {
	for _, tt := range []struct {
		p    Problem
		want string
	}{
		{Problem{File: "a.csv", Line: 3, Field: "tmin_c", Text: "found 1, want 2"}, "a.csv:3: tmin_c: found 1, want 2"},
		{Problem{File: "a.csv", Text: "found nothing"}, "a.csv: found nothing"},
		{Problem{Text: "found nothing"}, "found nothing"},
		{Problem{File: "a\nb", Line: 1, Field: "t\rmax", Text: "found \x1b[31m, want °C"},
			`a\nb:1: t\rmax: found \x1b[31m, want °C`},
	} {
		if got := tt.p.Error(); got != tt.want {
			t.Errorf("got %q, want %q", got, tt.want)
		}
	}
}

func TestListIsSortedAndHoldsItsProblems(t *testing.T) {
	var l List
	if l.Err() != nil {
		t.Error("an empty list is no error")
	}
	l.Add("b", 2, "", "second of %s", "b")
	l.Add("b", 1, "", "first")
	l.Add("a", 9, "", "other file")
	err := l.Err()
	if got := err.Error(); got != "a:9: other file\nb:1: first\nb:2: second of b" {
		t.Errorf("got %q", got)
	}
	var one Problem
	if !errors.As(err, &one) || one.File != "a" {
		t.Errorf("found %+v in it", one)
	}
}
