package weather

import (
	"math"

	"treewhen/phenology/civil"
)

// days collects a file's days as it gives them: in any order, some twice, in the file's unit.
//
// They lie in blocks, each made when the first of its days comes, so that nothing is moved while a file is read, and
// its memory depends on the days that it has, not on its rows: a file cannot swell it.
type days struct {
	minName, maxName string // the columns, as the file calls them
	blocks           []*block
	seen             civil.Span // from the earliest to the latest day given
	any              bool
	last             [2]civil.Date // of the row before; apart for minimum and maximum where each has its rows
	rows             [2]int
	disordered       int
	repeats          repeats
	reversed         reversed
	yearEndsMissing  bool
}

// name is what the file calls its minima or its maxima.
func (c *days) name(isMax bool) string {
	if isMax {
		return c.maxName
	}
	return c.minName
}

// count returns how many values a day has.
func count(d Day) int {
	n := 0
	if !math.IsNaN(d.Min) {
		n++
	}
	if !math.IsNaN(d.Max) {
		n++
	}
	return n
}

// at returns d's slot.
func (c *days) at(d civil.Date) slot {
	if !c.any {
		c.any, c.seen = true, civil.Span{First: d, Last: d}
		c.blocks = make([]*block, (latest-earliest)/blockDays+1)
	}
	c.seen.First, c.seen.Last = min(c.seen.First, d), max(c.seen.Last, d)
	k := uint(d - earliest)
	b := c.blocks[k/blockDays]
	if b == nil {
		b = blocks.Get().(*block)
		b.days, b.lines, b.maxLines = emptyDays, [blockDays]int32{}, nil
		c.blocks[k/blockDays] = b
	}
	return slot{b, int(k % blockDays)}
}

// release gives the blocks back; nothing may be asked of c afterwards.
func (c *days) release() {
	for i, b := range c.blocks {
		if b != nil {
			blocks.Put(b)
			c.blocks[i] = nil
		}
	}
}

// look returns the slot of a day, and whether there is one.
func (c *days) look(d civil.Date) (slot, bool) {
	k := uint(d - earliest)
	b := c.blocks[k/blockDays]
	return slot{b, int(k % blockDays)}, b != nil
}

// runs calls do with the days from first to last, in runs that lie side by side; a run of days of which the file gave
// none has no block.
func (c *days) runs(first, last civil.Date, do func(d civil.Date, b *block, from, to int)) {
	for d := first; d <= last; {
		k := int(d - earliest)
		from := k % blockDays
		to := min(from+int(last-d)+1, blockDays)
		do(d, c.blocks[k/blockDays], from, to)
		d += civil.Date(to - from)
	}
}

// put takes a row with both of a day's values, of which either may be NaN.
func (c *days) put(f *file, d civil.Date, line int, low, high float64, flags Flags) {
	c.order(f, d, line, 0)
	s := c.at(d)
	row := Day{Min: low, Max: high, Flags: flags}
	if s.line() == 0 {
		s.set(row, int32(line))
		return
	}
	c.again(f, d, s, row, line)
}

// putNext is put for a row with a later day than the row before, which the file gives for the first time; false, and
// nothing is done, if it is none.
func (c *days) putNext(d civil.Date, line int, low, high float64) bool {
	if d <= c.last[0] || c.rows[0] == 0 {
		return false
	}
	k := uint(d - earliest)
	b := c.blocks[k/blockDays]
	if b == nil || b.lines[k%blockDays] != 0 || b.maxLines != nil {
		return false
	}
	day := &b.days[k%blockDays]
	day.Min, day.Max, day.Flags = low, high, 0
	b.lines[k%blockDays] = int32(line)
	c.seen.Last = max(c.seen.Last, d)
	c.repeats.adjacent = false
	c.rows[0]++
	c.last[0] = d
	return true
}

// again takes a row of a day that an earlier row gave: each value that it has counts from now on, since a correction is
// written below what it corrects. A cell that it leaves empty takes nothing back.
func (c *days) again(f *file, d civil.Date, s slot, row Day, line int) {
	before, was := s.line(), *s.day()
	if same(was.Min, row.Min) && same(was.Max, row.Max) {
		s.day().Flags |= row.Flags
		c.repeats.same++
		f.notes.add(NoteDuplicate, line, "%v was given on line %d with the same temperatures", d, before)
		return
	}
	if count(row) == 2 {
		s.set(row, int32(line))
	} else {
		if !math.IsNaN(row.Min) {
			s.day().Min = row.Min
			s.setLine(false, int32(line))
		}
		if !math.IsNaN(row.Max) {
			s.day().Max = row.Max
			s.setLine(true, int32(line))
		}
		s.day().Flags |= row.Flags
	}
	differ := func(a, b float64) bool { return !math.IsNaN(a) && !math.IsNaN(b) && a != b }
	switch {
	case differ(was.Min, row.Min) || differ(was.Max, row.Max):
		c.repeats.contest(d, before, line, c.repeats.adjacent)
		f.notes.add(NoteDuplicate, line, "%v was given on line %d as %s; this row, %s, counts, being the last",
			d, before, dayText(was), dayText(row))
	case count(row) > count(was):
		f.notes.add(NoteDuplicate, line, "%v was given on line %d with less; the fuller row, this one, counts",
			d, before)
	default:
		f.notes.add(NoteDuplicate, line, "%v was given on line %d as %s; what this row, %s, leaves empty stays as "+
			"it was", d, before, dayText(was), dayText(row))
	}
}

// dayText writes a day's two values as notes do.
type dayText Day

func (v dayText) String() string {
	word := func(v float64) string {
		if math.IsNaN(v) {
			return "nothing"
		}
		return number(v)
	}
	return word(v.Min) + " to " + word(v.Max)
}

// putOne takes a row, or part of one, with one of a day's two values.
func (c *days) putOne(f *file, d civil.Date, line int, isMax bool, v float64, flags Flags) {
	which := 0
	if isMax {
		which = 1
	}
	c.order(f, d, line, which)
	s := c.at(d)
	if s.maxLines == nil {
		own := s.lines
		s.maxLines = &own
	}
	value, lineOf, name := &s.day().Min, &s.lines[s.i], c.name(isMax)
	if isMax {
		value, lineOf = &s.day().Max, &s.maxLines[s.i]
	}
	was, before := *value, *lineOf
	*value, *lineOf = v, int32(line)
	switch {
	case before == 0:
	case same(was, v):
		*lineOf = before
		c.repeats.same++
		f.notes.add(NoteDuplicate, line, "%s of %v was given on line %d with the same value", name, d, before)
	default:
		c.repeats.contest(d, int(before), line, c.repeats.adjacent)
		f.notes.add(NoteDuplicate, line, "%s of %v was given on line %d as %s; this one, %s, counts, being the last",
			name, d, before, number(was), number(v))
	}
	s.day().Flags |= flags
}

func same(a, b float64) bool { return a == b || math.IsNaN(a) && math.IsNaN(b) }

// order notices a row that is earlier than the one before it.
func (c *days) order(f *file, d civil.Date, line, which int) {
	if c.rows[which] > 0 && d < c.last[which] {
		c.disordered++
		f.notes.add(NoteDisorder, line, "%v comes after %v; the rows were sorted by date", d, c.last[which])
	}
	c.repeats.adjacent = c.rows[which] > 0 && d == c.last[which]
	c.rows[which]++
	c.last[which] = d
}
