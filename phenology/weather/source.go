package weather

import (
	"bytes"
	"errors"
	"fmt"
	"io"
	"sync"
)

var errLongLine = errors.New("line too long")

// sizeError is the limit that a file went over.
type sizeError int64

func (e sizeError) Error() string { return fmt.Sprintf("larger than %d bytes", int64(e)) }

// nulError is the line of a NUL, which no text has.
type nulError int

func (e nulError) Error() string { return fmt.Sprintf("a NUL on line %d", int(e)) }

// source hands out a text's lines without copying them. A record is one line, or several where a quoted cell holds
// line breaks.
type source struct {
	r          io.Reader
	limit      int64             // bytes still allowed
	size       int64             // the limit at the start
	lent       *[bufferSize]byte // buf, to be given back
	buf        []byte
	start, pos int // the current record is buf[start:pos], with its line ending
	end        int // of what has been read
	line       int // number of the record's first line
	lines      int // lines handed out
	eof        bool
	err        error // what stopped the reading, other than the end
}

func newSource(r io.Reader, limit int64) *source {
	lent := buffers.Get().(*[bufferSize]byte)
	return &source{r: r, limit: limit, size: limit, lent: lent, buf: lent[:]}
}

const bufferSize = 4 * MaxLine

// buffers are those that no source needs any more.
var buffers = sync.Pool{New: func() any { return new([bufferSize]byte) }}

// peek returns the first MaxLine bytes, or all if there are fewer.
func (s *source) peek() []byte {
	for s.end < MaxLine && !s.eof && s.err == nil {
		s.fill()
	}
	return s.buf[s.pos:min(s.end, MaxLine)]
}

// skip passes over n bytes that peek has shown.
func (s *source) skip(n int) { s.pos += n }

// next goes on to the next line.
func (s *source) next() bool {
	s.start = s.pos
	s.line = s.lines + 1
	return s.extend()
}

// extend adds one more line to the record.
func (s *source) extend() bool {
	for from := s.pos; s.err == nil; {
		if i := bytes.IndexByte(s.buf[from:s.end], '\n'); i >= 0 {
			s.pos = from + i + 1
			break
		}
		if s.end-s.start > MaxLine {
			s.err = errLongLine
			return false
		}
		if s.eof {
			if s.pos == s.end {
				return false
			}
			s.pos = s.end
			break
		}
		from = s.end
		from -= s.fill()
	}
	if s.err != nil {
		return false
	}
	if s.pos-s.start > MaxLine {
		s.err = errLongLine
		return false
	}
	s.lines++
	return true
}

// record returns the current record without its last line ending. It is good until the next call of next or extend.
func (s *source) record() []byte {
	b := s.buf[s.start:s.pos]
	if n := len(b); n > 0 && b[n-1] == '\n' {
		b = b[:n-1]
		if n > 1 && b[n-2] == '\r' {
			b = b[:n-2]
		}
	}
	return b
}

// fill reads on, moving the current record to the buffer's start when there is no room behind it; it returns by how
// much it moved it. A record is at most MaxLine and the buffer several times that, so there is always room.
func (s *source) fill() (moved int) {
	if len(s.buf)-s.end < MaxLine {
		moved = s.start
		copy(s.buf, s.buf[s.start:s.end])
		s.start, s.pos, s.end = 0, s.pos-moved, s.end-moved
	}
	n, err := s.r.Read(s.buf[s.end:])
	for tries := 0; n == 0 && err == nil; tries++ {
		if n, err = s.r.Read(s.buf[s.end:]); tries == 100 {
			err = io.ErrNoProgress
		}
	}
	if i := bytes.IndexByte(s.buf[s.end:s.end+n], 0); i >= 0 {
		s.err = nulError(s.lines + 1 + bytes.Count(s.buf[s.pos:s.end+i], []byte{'\n'}))
	}
	s.end += n
	s.limit -= int64(n)
	switch {
	case s.err != nil:
	case s.limit < 0:
		s.err = sizeError(s.size)
	case err == io.EOF:
		s.eof = true
	case err != nil:
		s.err = err
	}
	return moved
}
