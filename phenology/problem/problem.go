// Package problem says what is wrong with an input so that a person can mend it: which file, which line, what was
// found, what is wanted.
package problem

import (
	"fmt"
	"slices"
	"strconv"
	"strings"
	"unicode"
)

// Problem is one thing wrong with an input.
type Problem struct {
	File  string // as the user named it; "-" is standard input
	Line  int    // counted from 1; 0 where no line is to blame
	Field string // column, key path or the like; "" where none is to blame
	Text  string // what was found and what is wanted, lower case, without a full stop
	Hint  string // what to do about it; may be ""
}

// Error gives "file:line: field: text", leaving out what is not known, in one line: what of an input it names may hold
// line breaks and the like, which a terminal must not be given.
func (p Problem) Error() string {
	var b strings.Builder
	b.WriteString(p.File)
	if p.Line > 0 {
		fmt.Fprintf(&b, ":%d", p.Line)
	}
	if b.Len() > 0 {
		b.WriteString(": ")
	}
	if p.Field != "" {
		b.WriteString(p.Field + ": ")
	}
	b.WriteString(p.Text)
	return plain(b.String())
}

// plain writes control characters as escapes.
func plain(s string) string {
	if strings.IndexFunc(s, unicode.IsControl) < 0 {
		return s
	}
	var b strings.Builder
	for _, r := range s {
		if unicode.IsControl(r) {
			b.WriteString(strings.Trim(strconv.QuoteRune(r), "'"))
		} else {
			b.WriteRune(r)
		}
	}
	return b.String()
}

// List is every problem of one or several inputs. It is an error when it is not empty: see [List.Err].
type List []Problem

// Add appends a problem without a hint; text is as in [fmt.Sprintf].
func (l *List) Add(file string, line int, field, text string, args ...any) {
	*l = append(*l, Problem{File: file, Line: line, Field: field, Text: fmt.Sprintf(text, args...)})
}

// Err returns l, sorted by file and line, as an error, or nil if l is empty.
func (l List) Err() error {
	if len(l) == 0 {
		return nil
	}
	slices.SortStableFunc(l, func(a, b Problem) int {
		if c := strings.Compare(a.File, b.File); c != 0 {
			return c
		}
		return a.Line - b.Line
	})
	return l
}

// Error gives one line a problem.
func (l List) Error() string {
	lines := make([]string, len(l))
	for i, p := range l {
		lines[i] = p.Error()
	}
	return strings.Join(lines, "\n")
}

// Unwrap lets [errors.As] find a single Problem.
func (l List) Unwrap() []error {
	errs := make([]error, len(l))
	for i, p := range l {
		errs[i] = p
	}
	return errs
}
