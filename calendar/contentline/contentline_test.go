package contentline_test

import (
	"flag"
	"fmt"
	"strings"
	"testing"

	"treewhen/calendar/contentline"
)

// readAll reads the lines of a text, with faults or without: number, name, parameters, value.
func readAll(text string, faults *contentline.Faults) string {
	var b strings.Builder
	for r := contentline.NewReader([]byte(text), nil, faults); r.Next(); {
		if l, ok := r.Line(); ok {
			fmt.Fprintf(&b, "%d %s %q %q\n", l.Number, l.Name, l.Params, l.Value)
		}
	}
	return b.String()
}

func TestLines(t *testing.T) {
	for _, row := range []struct{ name, text, want, strict string }{
		// The examples of RFC 5545 section 3.1, folded anywhere, and of section 3.2.
		{"folded", "DESCRIPTION:This is a lo\r\n ng description\r\n  that exists on a long line.\r\n",
			`1 DESCRIPTION [] "This is a long description that exists on a long line."`, ""},
		{"folded in the name", "DTST\r\n\tART:20270503\r\nX:y\r\n", "1 DTSTART [] \"20270503\"\n3 X [] \"y\"", ""},
		{"parameter", "ATTENDEE;RSVP=TRUE;ROLE=REQ-PARTICIPANT:mailto:jsmith@example.com\r\n",
			`1 ATTENDEE [{"RSVP" ["TRUE"]} {"ROLE" ["REQ-PARTICIPANT"]}] "mailto:jsmith@example.com"`, ""},
		{"quoted", `DESCRIPTION;ALTREP="cid:part1.0001@example.org":The Fall'98` + "\r\n",
			`1 DESCRIPTION [{"ALTREP" ["cid:part1.0001@example.org"]}] "The Fall'98"`, ""},
		{"list", `ATTENDEE;MEMBER="mailto:a@example.com",` + "\r\n" + ` "mailto:b@example.com":mailto:c@example.com` + "\r\n",
			`1 ATTENDEE [{"MEMBER" ["mailto:a@example.com" "mailto:b@example.com"]}] "mailto:c@example.com"`, ""},
		// The example of RFC 6868 section 3.2, and a caret that encodes nothing.
		{"carets", `ATTENDEE;CN=George Herman ^'Babe^' Ruth:mailto:babe@example.com` + "\r\n",
			`1 ATTENDEE [{"CN" ["George Herman \"Babe\" Ruth"]}] "mailto:babe@example.com"`, ""},
		{"other carets", "A;B=^n^^n^x^:c\r\n", `1 A [{"B" ["\n^n^x^"]}] "c"`, ""},
		// What is read all the same.
		{"bare LF", "a:b\n", `1 A [] "b"`, "RFC 5545 3.1"},
		{"blanks", "A; B =c:d\r\n", `1 A [{"B" ["c"]}] "d"`, "RFC 5545 3.2"},
		{"backslash", `A;B=O\'B\;C:d` + "\r\n", `1 A [{"B" ["O'B;C"]}] "d"`, "RFC 6868 3"},
		{"twice", "A;B=c;B=d:e\r\n", `1 A [{"B" ["c"]} {"B" ["d"]}] "e"`, "RFC 5545 3.2"},
		// What cannot be read.
		{"open quote", "A;B=\"c:d\r\n", "", "RFC 5545 3.2"},
		{"no value", "A;B:c=d\r\n", "", "RFC 5545 3.2"},
		{"no colon", "A;B=c\r\n", "", "RFC 5545 3.1"},
		{"no name", ";B=c:d\r\n", "", "RFC 5545 3.1"},
	} {
		if got := strings.TrimSuffix(readAll(row.text, nil), "\n"); got != row.want {
			t.Errorf("%s: found %s, want %s", row.name, got, row.want)
		}
		var faults contentline.Faults
		strict := strings.TrimSuffix(readAll(row.text, &faults), "\n")
		switch {
		case row.strict == "" && (len(faults) > 0 || strict != row.want):
			t.Errorf("%s: found %s and %v, want %s", row.name, strict, faults, row.want)
		case row.strict != "" && (len(faults) == 0 || faults[0].Clause != row.strict || faults[0].Line != 1):
			t.Errorf("%s: found %v, want %s", row.name, faults, row.strict)
		}
	}
}

// Of a line that is not wanted, only the beginning is there; of one that is, as much as was asked for.
func TestWanted(t *testing.T) {
	most := func(name []byte) int { return map[string]int{"LONG": 10, "ALL": 100}[string(name)] }
	r := contentline.NewReader([]byte("NONE:a\r\n b\r\nLONG:123456789\r\n 0\r\nLONG:1\r\n 2\r\nALL:\r\n c\r\n"), most, nil)
	for _, want := range []string{"1 false NONE:a", "3 true LONG:12345", "5 true LONG:12", "7 true ALL:c"} {
		start := r.End
		if !r.Next() || fmt.Sprint(r.Number, " ", r.Wanted, " ", string(r.Text)) != want || r.Start != start {
			t.Errorf("found %d %t %s from byte %d, want %s from %d", r.Number, r.Wanted, r.Text, r.Start, want, start)
		}
	}
	if r.Next() {
		t.Errorf("found %s after the end", r.Text)
	}
}

// FuzzReader wants every byte in one line, every line read without faults that is read with them, and the same of it.
func FuzzReader(f *testing.F) {
	flag.Set("test.fuzzminimizetime", "10x") // by default, a minute goes into each find and stops all else
	for _, seed := range []string{"A;B=\"c\",d;E=:\r\n \r\n", " x\r\n", "A;B=^n\\:c\n\n\td", "BEGIN:A\r\nEND:A\r\n", "A; B=c:d", "A:\xff\r"} {
		f.Add([]byte(seed))
	}
	f.Fuzz(func(t *testing.T, data []byte) {
		var faults contentline.Faults
		strict, lenient := contentline.NewReader(data, nil, &faults), contentline.NewReader(data, nil, nil)
		at, line := 0, 1
		for lenient.Next() {
			text := string(data[lenient.Start:lenient.End])
			if lenient.Start != at || lenient.Number != line || text == "" {
				t.Fatalf("found line %d from byte %d, want %d from %d", lenient.Number, lenient.Start, line, at)
			}
			at, line = lenient.End, line+strings.Count(text, "\n")
			if !strict.Next() {
				if len(faults) < contentline.MaxFaults {
					t.Fatalf("found no line %d", line)
				}
				continue
			}
			a, okStrict := strict.Line()
			b, ok := lenient.Line()
			// A backslash escapes without faults, so that it may hide the quote that ends a parameter.
			same := ok && a.Name == b.Name && fmt.Sprint(a) == fmt.Sprint(b)
			if okStrict && lenient.Start > 0 && !same && !strings.Contains(text, `\`) {
				t.Fatalf("found %v with faults and %v without", a, b)
			}
		}
		if at != len(data) {
			t.Fatalf("found the end at byte %d of %d", at, len(data))
		}
	})
}
