package weather

import "sync"

const blockDays = 512

// block is a run of days, the first a multiple of blockDays after the earliest that is read.
type block struct {
	days [blockDays]Day // in the file's unit; NaN where missing
	// The line that gave the day's minimum, and its maximum if that has no lines of its own. A line of 0 means that
	// the file has not given the value's day.
	lines    [blockDays]int32
	maxLines *[blockDays]int32
}

var emptyDays = func() (days [blockDays]Day) {
	for i := range days {
		days[i] = Missing
	}
	return days
}()

// slot is one day.
type slot struct {
	*block
	i int
}

func (s slot) day() *Day { return &s.days[s.i] }

func (s slot) minLine() int32 { return s.lines[s.i] }

func (s slot) maxLine() int32 {
	if s.maxLines != nil {
		return s.maxLines[s.i]
	}
	return s.lines[s.i]
}

// line returns the latest line that gave a value of the day, 0 if none did.
func (s slot) line() int { return int(max(s.minLine(), s.maxLine())) }

// setLine notes where a value comes from.
func (s slot) setLine(isMax bool, line int32) {
	if s.maxLines == nil && line != s.lines[s.i] {
		own := s.lines
		s.maxLines = &own
	}
	if isMax && s.maxLines != nil {
		s.maxLines[s.i] = line
	} else if !isMax {
		s.lines[s.i] = line
	}
}

// set makes a row the day's.
func (s slot) set(day Day, line int32) {
	s.days[s.i], s.lines[s.i] = day, line
	if s.maxLines != nil {
		s.maxLines[s.i] = line
	}
}

// blocks are those that no file needs any more: who reads a thousand files makes a few.
var blocks = sync.Pool{New: func() any { return new(block) }}
