package weather

import (
	"fmt"

	"treewhen/phenology/civil"
)

// repeats counts the rows of a file that give a day again. Rows hold a day's two values, or one of them, as the
// format has it.
type repeats struct {
	adjacent  bool // the row being read follows one of the same day
	same      int  // rows that say the same
	contested int  // rows that say something else
	beside    int  // of these, the ones right below the row that they contradict
	first     civil.Date
	lines     [2]int // of the first that is contradicted, and of what contradicts it
}

func (r *repeats) contest(d civil.Date, before, line int, adjacent bool) {
	if r.contested == 0 {
		r.first, r.lines = d, [2]int{before, line}
	}
	r.first = min(r.first, d)
	r.contested++
	if adjacent {
		r.beside++
	}
}

// Bounds of what a correction written below a record explains. Common practice, no source: a hand corrects some days
// or redoes a month or two, in a block of its own; a newer edition of a file mostly repeats the older one; two
// stations in a file hardly ever agree, whether they take turns or follow one another.
const (
	fewCorrections  = 10  // rows: below, nothing is suspected
	mostCorrections = 100 // rows
)

// check refuses a file whose repeated days are no corrections, and reports whether it did.
func (r *repeats) check(f *file, rows int) bool {
	days := rows - r.same - r.contested // that the file would have with each given once
	if r.contested < fewCorrections || r.contested <= r.same {
		return false
	}
	if 2*r.beside < r.contested && 2*r.contested < days && r.contested <= mostCorrections {
		return false
	}
	const hint = "two stations in one file? Give each a file of its own, or a column station; " +
		"of rows that were corrected, keep the last"
	f.problems.add(r.lines[1], "", hint,
		"found %s again with other temperatures, the first on lines %d and %d, want each day once",
		plural(r.contested, "row"), r.lines[0], r.lines[1])
	return true
}

// reversed counts the days with a minimum above the maximum.
type reversed struct {
	days, of int // of those with both
	first    civil.Date
	line     int // of the first
}

func (r *reversed) add(d civil.Date, line int) {
	if r.days == 0 {
		r.first, r.line = d, line
	}
	r.days++
}

// Bounds of what slips of the pen explain. None of 63,000 rightly dated days has its minimum above its maximum
// (Montreal 1995-2013, Harvard Forest 1980-2013 and three other forests of the United States). Where maxima are dated
// two days off, which a plan can mend, 2 to 7 days in a hundred of a year have; a tenth is more than that.
const (
	fewReversed   = 10 // days: fewer may be slips, but for the next
	leastReversed = 3  // days: half of a short file, such as a forecast, is no slip either
)

// check refuses a file in which minima and maxima must have been mixed up.
func (r *reversed) check(f *file) {
	if r.days >= fewReversed && 10*r.days >= r.of || r.days >= leastReversed && 2*r.days >= r.of {
		hint := fmt.Sprintf("if the columns are swapped, exchange %s and %s in the header", f.days.minName,
			f.days.maxName)
		f.problems.add(r.line, "", hint, "found a minimum above the maximum on %d of %s, the first on this line, "+
			"want it below",
			r.days, plural(r.of, "day"))
	}
}

// warnings sum up what whoever uses the record must be told.
func (c *days) warnings(file string) (list []Note) {
	if r := &c.reversed; r.days > 0 {
		text := fmt.Sprintf("%v has a minimum above its maximum; neither is used", r.first)
		if r.days > 1 {
			text = fmt.Sprintf("%d days have a minimum above their maximum, the first %v; neither is used", r.days,
				r.first)
		}
		list = append(list, Note{Kind: NoteReversed, File: file, Line: r.line, Text: text})
	}
	if r := &c.repeats; r.contested > 0 {
		text := fmt.Sprintf("%v is given again with other temperatures than on line %d; the last row counts", r.first,
			r.lines[0])
		if r.contested > 1 {
			text = fmt.Sprintf("%d rows give a day again with other temperatures, the first one of line %d; the last "+
				"row of each counts", r.contested, r.lines[0])
		}
		list = append(list, Note{Kind: NoteDuplicate, File: file, Line: r.lines[1], Text: text})
	}
	return list
}
