package weather

import (
	"math"

	"treewhen/phenology/civil"
)

// days collects a file's days as it gives them: in any order, some twice, in the file's unit.
//
// Its memory depends on the days between the earliest and the latest, not on the rows, so that a file cannot swell it.
type days struct {
	minName, maxName string // the columns, as the file calls them
	first            civil.Date
	slots            []slot
	seen             civil.Span // from the earliest to the latest day given
	any              bool
	last             [2]civil.Date // of the row before; apart for minimum and maximum where each has its rows
	rows             [2]int
	disordered       int
	repeats          repeats
	reversed         reversed
	yearEndsMissing  bool
}

// slot is one day. A line of 0 means that the file has not given the value's day.
type slot struct {
	min, max         float64 // in the file's unit; NaN where missing
	minLine, maxLine int32
	flags            Flags
}

var emptySlot = slot{min: math.NaN(), max: math.NaN()}

func (s *slot) line() int { return int(max(s.minLine, s.maxLine)) }

func (s *slot) count() int {
	n := 0
	if !math.IsNaN(s.min) {
		n++
	}
	if !math.IsNaN(s.max) {
		n++
	}
	return n
}

// at returns d's slot.
func (c *days) at(d civil.Date) *slot {
	if !c.any {
		c.any, c.seen, c.first = true, civil.Span{First: d, Last: d}, d
	}
	c.seen.First, c.seen.Last = min(c.seen.First, d), max(c.seen.Last, d)
	i := int(d - c.first)
	if i < 0 || i >= len(c.slots) {
		c.grow(d)
		i = int(d - c.first)
	}
	return &c.slots[i]
}

// grow makes room for d, and for as many days beyond it as there are already, so that also a file which runs backwards
// costs no more than twice its days.
func (c *days) grow(d civil.Date) {
	first, end := c.first, c.first+civil.Date(len(c.slots))
	room := civil.Date(max(len(c.slots), 500))
	if d < first {
		first = max(d-room, earliest)
	} else {
		end = min(d+room, latest) + 1
	}
	grown := make([]slot, end-first)
	for i := range grown {
		grown[i] = emptySlot
	}
	copy(grown[c.first-first:], c.slots)
	c.first, c.slots = first, grown
}

// put takes a row with both of a day's values, of which either may be NaN.
func (c *days) put(f *file, d civil.Date, line int, low, high float64, flags Flags) {
	c.order(f, d, line, 0)
	s := c.at(d)
	row := slot{min: low, max: high, minLine: int32(line), maxLine: int32(line), flags: flags}
	if s.line() == 0 {
		*s = row
		return
	}
	c.again(f, d, s, row)
}

// again takes a row of a day that an earlier row gave: each value that it has counts from now on, since a correction is
// written below what it corrects. A cell that it leaves empty takes nothing back.
func (c *days) again(f *file, d civil.Date, s *slot, row slot) {
	before, line := s.line(), row.line()
	was := *s
	if same(was.min, row.min) && same(was.max, row.max) {
		s.flags |= row.flags
		c.repeats.same++
		f.notes.add(NoteDuplicate, line, oneDay(d), "%v was given on line %d with the same temperatures", d, before)
		return
	}
	if row.count() == 2 {
		*s = row
	} else {
		if !math.IsNaN(row.min) {
			s.min, s.minLine = row.min, row.minLine
		}
		if !math.IsNaN(row.max) {
			s.max, s.maxLine = row.max, row.maxLine
		}
		s.flags |= row.flags
	}
	differ := func(a, b float64) bool { return !math.IsNaN(a) && !math.IsNaN(b) && a != b }
	switch {
	case differ(was.min, row.min) || differ(was.max, row.max):
		c.repeats.contest(d, before, line, c.repeats.adjacent)
		f.notes.add(NoteDuplicate, line, oneDay(d), "%v was given on line %d as %s; this row, %s, counts, being the last", d, before, was, row)
	case row.count() > was.count():
		f.notes.add(NoteDuplicate, line, oneDay(d), "%v was given on line %d with less; the fuller row, this one, counts", d, before)
	default:
		f.notes.add(NoteDuplicate, line, oneDay(d), "%v was given on line %d as %s; what this row, %s, leaves empty stays as it was", d, before, was, row)
	}
}

// String writes a day's values as notes do.
func (s slot) String() string {
	word := func(v float64) string {
		if math.IsNaN(v) {
			return "nothing"
		}
		return number(v)
	}
	return word(s.min) + " to " + word(s.max)
}

// putOne takes a row, or part of one, with one of a day's two values.
func (c *days) putOne(f *file, d civil.Date, line int, isMax bool, v float64, flags Flags) {
	which := 0
	if isMax {
		which = 1
	}
	c.order(f, d, line, which)
	s := c.at(d)
	value, lineOf, name := &s.min, &s.minLine, c.minName
	if isMax {
		value, lineOf, name = &s.max, &s.maxLine, c.maxName
	}
	was, before := *value, *lineOf
	*value, *lineOf = v, int32(line)
	switch {
	case before == 0:
	case same(was, v):
		*lineOf = before
		c.repeats.same++
		f.notes.add(NoteDuplicate, line, oneDay(d), "%s of %v was given on line %d with the same value", name, d, before)
	default:
		c.repeats.contest(d, int(before), line, c.repeats.adjacent)
		f.notes.add(NoteDuplicate, line, oneDay(d), "%s of %v was given on line %d as %s; this one, %s, counts, being the last", name, d, before, number(was), number(v))
	}
	s.flags |= flags
}

func same(a, b float64) bool { return a == b || math.IsNaN(a) && math.IsNaN(b) }

// order notices a row that is earlier than the one before it.
func (c *days) order(f *file, d civil.Date, line, which int) {
	if c.rows[which] > 0 && d < c.last[which] {
		c.disordered++
		f.notes.add(NoteDisorder, line, oneDay(d), "%v comes after %v; the rows were sorted by date", d, c.last[which])
	}
	c.repeats.adjacent = c.rows[which] > 0 && d == c.last[which]
	c.rows[which]++
	c.last[which] = d
}

// series converts what was collected and looks at each day.
func (c *days) series(f *file, s scale) Series {
	if steps := max(c.rows[0]-1, 0) + max(c.rows[1]-1, 0); steps > 1 && c.disordered == steps {
		f.notes.drop(NoteDisorder)
		f.notes.add(NoteDisorder, 0, c.seen, "the rows run from the latest day to the earliest; they were sorted by date")
	}
	if !c.any {
		return Series{}
	}
	if c.repeats.check(f, c.rows[0]+c.rows[1]) {
		return Series{}
	}
	c.gaps(f)
	slots := c.slots[c.seen.First-c.first : c.seen.Last-c.first+1]
	first := c.seen.First
	for len(slots) > 0 && slots[0].count() == 0 {
		slots, first = slots[1:], first+1
	}
	for len(slots) > 0 && slots[len(slots)-1].count() == 0 {
		slots = slots[:len(slots)-1]
	}
	if len(slots) == 0 {
		return Series{}
	}
	series := Series{First: first, Days: make([]Day, len(slots))}
	coldest, hottest := s.bounds()
	for i := range slots {
		t := &slots[i]
		if t.count() == 0 {
			series.Days[i] = Missing
			continue
		}
		check := func(v float64, line int32, name string) {
			if v < coldest || v > hottest {
				f.problems.add(int(line), name, rangeHint(v, s, f.record.Format), "found %s, want %s to %s %s", number(v), number(coldest), number(hottest), s)
			}
		}
		check(t.min, t.minLine, c.minName)
		check(t.max, t.maxLine, c.maxName)
		day := Day{Min: s.celsius(t.min), Max: s.celsius(t.max), Flags: t.flags}
		if day.Min > day.Max {
			day.Flags |= Suspect
			d := first + civil.Date(i)
			c.reversed.add(d, t.line())
			f.notes.add(NoteReversed, t.line(), oneDay(d), "%v has a minimum of %s above its maximum of %s %s; neither is used",
				d, number(t.min), number(t.max), s)
		}
		if day.Complete() {
			c.reversed.of++
		}
		series.Days[i] = day
	}
	c.reversed.check(f)
	return series
}

// rangeHint guesses what a number that is no temperature of the air stands for.
func rangeHint(v float64, s scale, format Format) string {
	switch {
	case v <= -99 && !s.tenths || v <= -999:
		return "leave the cell empty where a number stands for 'missing'"
	case format == FormatPlain && s == celsius && v > 200 && v < 340:
		return "subtract 273.15 if this is in kelvin"
	case format == FormatGHCNCSV && s == celsius && v > hottestAir && v < 140:
		return "if the file is in degrees Fahrenheit, give its unit as F"
	case format == FormatPlain && s == celsius && v > hottestAir && v < 140:
		return "if the file is in degrees Fahrenheit, say so: name its columns tmin_f and tmax_f, or give its unit as F"
	}
	return ""
}

// gaps tells of the runs of days that lack a value.
func (c *days) gaps(f *file) {
	yearEnds := 0
	lineAt := func(i int) int { // of the row at i or, where there is none, of the next one
		for ; i < len(c.slots); i++ {
			if n := c.slots[i].line(); n > 0 {
				return n
			}
		}
		return 0
	}
	end := int(c.seen.Last-c.first) + 1
	for i := int(c.seen.First - c.first); i < end; i++ {
		if c.slots[i].count() == 2 {
			continue
		}
		from := i
		for i+1 < end && c.slots[i+1].count() < 2 {
			i++
		}
		run := civil.Span{First: c.first + civil.Date(from), Last: c.first + civil.Date(i)}
		switch s := &c.slots[from]; {
		case run.Days() == 1 && c.yearEndsMissing && s.line() == 0 && isLeap(run.First.Year()) && run.First.YearDay() == 366:
			yearEnds++
		case run.Days() > 1:
			f.notes.add(NoteGap, lineAt(from), run, "%v to %v: %d days without both temperatures", run.First, run.Last, run.Days())
		case s.count() == 0:
			f.notes.add(NoteGap, lineAt(from), run, "%v has no temperatures", run.First)
		case math.IsNaN(s.min):
			f.notes.add(NoteGap, lineAt(from), run, "%v has no minimum", run.First)
		default:
			f.notes.add(NoteGap, lineAt(from), run, "%v has no maximum", run.First)
		}
	}
	if yearEnds > 0 {
		f.notes.add(NoteGap, 0, noDays, "31 December is missing in %s: this format has none in leap years", plural(yearEnds, "year"))
	}
}
