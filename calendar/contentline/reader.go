// Package contentline takes an iCalendar file apart: its bytes into content lines, these into name, parameters and
// value (RFC 5545 section 3.1), and what BEGIN and END enclose into components (section 3.6).
//
// Who wants to know of faults gets every one, with the clause that it breaks. To who does not, a line that can be read
// in one way only is read so, however it is written.
package contentline

import (
	"bytes"
	"fmt"
	"math"
	"unicode/utf8"
)

// Reader unfolds the content lines of a file, one after another: RFC 5545 section 3.1.
type Reader struct {
	// Of the line that was read last.
	Number     int    // of its first physical line, from 1
	Start, End int    // the bytes of its physical lines, line ends included
	Text       []byte // unfolded, until the next line is read; empty for an empty line
	Wanted     bool   // if not, Text is the first physical line alone

	data      []byte
	most      func(name []byte) int
	faults    *Faults
	at, lines int
	unfolded  []byte
}

// NewReader returns a reader of a file. If most is not nil, it says of each name how many bytes of its lines to keep, 0
// for a line that is not wanted; a physical line may make it more. If faults is not nil, what is wrong goes there, and
// reading ends with [MaxFaults].
func NewReader(data []byte, most func(name []byte) int, faults *Faults) *Reader {
	return &Reader{data: data, most: most, faults: faults}
}

// Next goes on to the next line. It returns false at the end of the file.
func (r *Reader) Next() bool {
	if r.at == len(r.data) || r.faults.full() {
		return false
	}
	r.Number, r.Start, r.Text, r.Wanted = r.lines+1, r.at, nil, true
	most := math.MaxInt
	if r.faults == nil || !r.continues() { // else the file begins with a continuation
		r.Text = r.physical()
		if len(r.Text) == 0 {
			r.faults.Add(r.lines, "RFC 5545 3.1", "found an empty line, want a content line")
		}
		if r.most != nil {
			if i := bytes.IndexAny(r.Text, ":;"); i >= 0 {
				most = r.most(r.Text[:i])
			}
			if r.Wanted = most > 0; r.Wanted {
				r.Text = r.Text[:min(len(r.Text), most)]
			}
		}
	}
	if r.Wanted && r.continues() {
		r.unfolded = append(r.unfolded[:0], r.Text...)
		r.Text = r.unfolded
	}
	for r.continues() {
		more := r.physical()
		if len(r.Text) == 0 {
			r.faults.Add(r.lines, "RFC 5545 3.1", "found a continuation of nothing")
		}
		if r.Wanted && len(r.Text) < most {
			r.unfolded = append(r.unfolded, more[1:]...)
			r.Text = r.unfolded
		}
	}
	r.End = r.at
	return true
}

// continues reports whether the next physical line continues the one before it.
func (r *Reader) continues() bool {
	return r.at < len(r.data) && (r.data[r.at] == ' ' || r.data[r.at] == '\t')
}

// physical reads a physical line and returns it without its end.
func (r *Reader) physical() []byte {
	r.lines++
	line := r.data[r.at:]
	i := bytes.IndexByte(line, '\n')
	if i >= 0 {
		line = line[:i]
		r.at++
	}
	r.at += len(line)
	text := bytes.TrimSuffix(line, []byte{'\r'})
	if r.faults != nil {
		switch {
		case i < 0:
			r.faults.Add(r.lines, "RFC 5545 3.1", "found the end of the file within a line, want CR LF at the end of "+
				"every line")
		case len(text) == len(line):
			r.faults.Add(r.lines, "RFC 5545 3.1", "found a bare LF, want CR LF at the end of a line")
		}
		r.faults.physical(text, r.lines)
	}
	return text
}

// maxOctets is how long a physical line may be without its line end: RFC 5545 section 3.1.
const maxOctets = 75

// physical checks what can be seen of a line before it is unfolded.
func (f *Faults) physical(line []byte, number int) {
	if len(line) > maxOctets {
		f.Add(number, "RFC 5545 3.1", "found a line of %d octets, want at most %d: fold it", len(line), maxOctets)
	}
	if !utf8.Valid(line) {
		// Either the text is not UTF-8 or a fold has split a character.
		f.Add(number, "RFC 5545 3.1", "found bytes that are not UTF-8 by themselves, want no fold within a character")
	}
	if number == 1 && bytes.HasPrefix(line, []byte("\ufeff")) {
		f.Add(number, "RFC 5545 3.4", "found a byte order mark, want BEGIN:VCALENDAR at once")
	}
	for i := 0; i < len(line); {
		r, n := utf8.DecodeRune(line[i:])
		// CONTROL is %x00-08 / %x0A-1F / %x7F: all but the tab. The C1 controls are no ASCII, but no text either.
		if r < 0x20 && r != '\t' || r >= 0x7f && r < 0xa0 {
			f.Add(number, "RFC 5545 3.1", "found control character %U, want none but the tab", r)
			return
		}
		i += n
	}
}

// Fault is one thing that is wrong with a file.
type Fault struct {
	Line   int    // physical line, from 1; 0 where the file as a whole is to blame
	Clause string // such as "RFC 5545 3.1"
	Text   string // what was found and what is wanted
}

// String returns "line N: text (clause)".
func (f Fault) String() string { return fmt.Sprintf("line %d: %s (%s)", f.Line, f.Text, f.Clause) }

// MaxFaults is how many faults are collected before the rest of a file is given up.
const MaxFaults = 100

// Faults collects what is wrong.
type Faults []Fault

// Add adds a fault, unless f is nil or has [MaxFaults] already.
func (f *Faults) Add(line int, clause, format string, args ...any) {
	if f != nil && !f.full() {
		*f = append(*f, Fault{line, clause, fmt.Sprintf(format, args...)})
	}
}

func (f *Faults) full() bool { return f != nil && len(*f) >= MaxFaults }

// Short quotes the beginning of s.
func Short(s string) string {
	const most = 40
	if len(s) > most {
		cut := most
		for cut > 0 && !utf8.RuneStart(s[cut]) {
			cut--
		}
		return fmt.Sprintf("%q…", s[:cut])
	}
	return fmt.Sprintf("%q", s)
}
