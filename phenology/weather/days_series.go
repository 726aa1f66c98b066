package weather

import (
	"math"

	"treewhen/phenology/civil"
)

// series converts what was collected and looks at each day.
func (c *days) series(f *file, s scale) Series {
	if steps := max(c.rows[0]-1, 0) + max(c.rows[1]-1, 0); steps > 1 && c.disordered == steps {
		f.notes.drop(NoteDisorder)
		f.notes.add(NoteDisorder, 0, "the rows run from the latest day to the earliest; they were sorted by date")
	}
	if !c.any {
		return Series{}
	}
	if c.repeats.check(f, c.rows[0]+c.rows[1]) {
		return Series{}
	}
	c.gaps(f)
	first, last := c.seen.First, c.seen.Last
	for ; first <= last && c.empty(first); first++ {
	}
	for ; first <= last && c.empty(last); last-- {
	}
	if first > last {
		return Series{}
	}
	series := Series{First: first, Days: make([]Day, 0, last-first+1)}
	coldest, hottest := s.bounds()
	c.runs(first, last, func(d civil.Date, b *block, from, to int) {
		at := len(series.Days)
		if b == nil {
			series.Days = append(series.Days, emptyDays[from:to]...)
			return
		}
		series.Days = append(series.Days, b.days[from:to]...)
		for i := range series.Days[at:] {
			day := &series.Days[at+i]
			if day.Min <= day.Max && day.Min >= coldest && day.Max <= hottest {
				c.reversed.of++
			} else {
				c.doubt(f, s, d+civil.Date(i), slot{b, from + i}, day)
			}
			if s != celsius {
				day.Min, day.Max = s.celsius(day.Min), s.celsius(day.Max)
			}
		}
	})
	c.reversed.check(f)
	return series
}

// empty reports whether a day has neither value.
func (c *days) empty(d civil.Date) bool {
	s, ok := c.look(d)
	return !ok || count(*s.day()) == 0
}

// doubt looks at a day that lacks a value or has one that cannot be; day is where it stands in the series.
func (c *days) doubt(f *file, s scale, d civil.Date, t slot, day *Day) {
	if count(*day) == 0 {
		*day = Missing
		return
	}
	coldest, hottest := s.bounds()
	check := func(v float64, line int32, name string) {
		if v < coldest || v > hottest {
			f.problems.add(int(line), name, rangeHint(v, s, f.record.Format),
				"found %s, want %s to %s %s", number(v), number(coldest), number(hottest), s)
		}
	}
	check(day.Min, t.minLine(), c.minName)
	check(day.Max, t.maxLine(), c.maxName)
	if day.Min > day.Max {
		c.reversed.add(d, t.line())
		f.notes.add(NoteReversed, t.line(), "%v has a minimum of %s above its maximum of %s %s; neither is used", d,
			number(day.Min), number(day.Max), s)
		day.Flags |= Suspect
	}
	if day.Complete() {
		c.reversed.of++
	}
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
	run := noDays // without both values
	note := func(text string, args ...any) {
		if told := f.notes.add(NoteGap, c.lineAt(run.First), text, args...); !told {
			f.notes.gapDays += run.Days()
		}
	}
	tell := func() {
		if run.Empty() {
			return
		}
		s, given := c.look(run.First)
		switch {
		case run.Days() == 1 && c.yearEndsMissing && (!given || s.line() == 0) &&
			civil.Leap(run.First.Year()) && run.First.YearDay() == 366:
			yearEnds++
		case run.Days() > 1:
			note("%v to %v: %d days without both temperatures", run.First, run.Last, run.Days())
		case c.empty(run.First):
			note("%v has no temperatures", run.First)
		case math.IsNaN(s.day().Min):
			note("%v has no minimum", run.First)
		default:
			note("%v has no maximum", run.First)
		}
		run = noDays
	}
	add := func(first, last civil.Date) {
		if !run.Empty() && run.Last+1 == first {
			run.Last = last
			return
		}
		tell()
		run = civil.Span{First: first, Last: last}
	}
	c.runs(c.seen.First, c.seen.Last, func(d civil.Date, b *block, from, to int) {
		if b == nil {
			add(d, d+civil.Date(to-from)-1)
			return
		}
		for i := range b.days[from:to] {
			if day := &b.days[from+i]; day.Min != day.Min || day.Max != day.Max {
				add(d+civil.Date(i), d+civil.Date(i))
			}
		}
	})
	tell()
	if yearEnds > 0 {
		f.notes.add(NoteGap, 0, "31 December is missing in %s: this format has none in leap years",
			plural(yearEnds, "year"))
	}
}

// lineAt returns the line of the row of a day or, where there is none, of the next day that has one.
func (c *days) lineAt(d civil.Date) int {
	for ; d <= c.seen.Last; d++ {
		s, ok := c.look(d)
		if !ok {
			d = d - civil.Date(s.i) + blockDays - 1
		} else if line := s.line(); line > 0 {
			return line
		}
	}
	return 0
}
