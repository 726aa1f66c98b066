package weather

import (
	"fmt"
	"math"
	"strings"

	"treewhen/phenology/civil"
)

// readPlain reads this project's own format: CSV (RFC 4180) with a header that has, in any order, date, tmin and
// tmax, and a row for each day. Dates are ISO 8601 calendar dates (YYYY-MM-DD). An empty cell, NA, N/A or NaN is
// missing. tmin_c, tmax_c, tmin_f and tmax_f name their unit, as do common spellings of it ("Tmin (°F)"); where the
// header does not, the options must. Names that open datasets give these columns are read as well, such as airtmin
// and airtmax. A column called station, site or location tells several stations apart; one called flags holds the
// words of [Flags], and words that are none of these say nothing. Other columns are ignored, and so are lines that
// start with #.
func readPlain(f *file) scale {
	rows := &rows{f: f}
	if !rows.next() {
		return f.wants(0, "", "date, tmin and tmax")
	}
	p, ok := plainHeader(f, rows)
	if !ok {
		return scale{}
	}
	q := quick{columns: p.quickColumns()}
	for {
		if p.station < 0 {
			q.read(f)
		}
		if !rows.next() {
			break
		}
		if len(rows.cells) != p.width && rows.blank() || len(rows.cells) == p.width &&
			len(trim(rows.cells[p.date])) == 0 && rows.blank() {
			continue
		}
		f.rows++
		if !rows.wide(p.width) {
			continue
		}
		if p.station >= 0 && !f.stations.take(trim(rows.cells[p.station]), nil) {
			if f.stations.hopeless() {
				break
			}
			continue
		}
		p.row(f, rows)
	}
	return p.scale(f)
}

// plain is a plain file's columns.
type plain struct {
	line                           int // of the header
	width                          int
	date, min, max, flags, station int   // -1 where there is none
	named                          scale // zero where neither header nor user names it
}

func (p *plain) row(f *file, rows *rows) {
	d, ok1 := f.date(rows.line, "date", rows.cells[p.date], parseDate)
	low, ok2 := f.temperature(rows.line, f.days.minName, rows.cells[p.min], p.named)
	high, ok3 := f.temperature(rows.line, f.days.maxName, rows.cells[p.max], p.named)
	if !ok1 || !ok2 || !ok3 {
		return
	}
	var flags Flags
	if p.flags >= 0 && len(rows.cells[p.flags]) > 0 {
		flags = parseFlags(rows.cells[p.flags])
	}
	f.days.put(f, d, rows.line, low, high, flags)
}

func parseFlags(cell []byte) (flags Flags) {
	words := strings.FieldsFunc(string(cell), func(r rune) bool { return r == ' ' || r == ',' || r == ';' })
	for _, word := range words {
		for i, name := range flagNames {
			if word == name {
				flags |= 1 << i
			}
		}
	}
	return flags
}

// plainHeader finds the columns. Of several for the same thing, this project's own name comes first, then the unit that
// was asked for, or else Celsius.
func plainHeader(f *file, rows *rows) (*plain, bool) {
	p := &plain{line: rows.line, width: len(rows.cells), date: -1, min: -1, max: -1, flags: -1, station: -1}
	wanted := f.opts.Unit
	if wanted == UnitUnknown {
		wanted = Celsius
	}
	line, before := rows.line, len(f.problems.list)
	find := func(what role, column *int) (Unit, string) {
		best := -1
		var unit Unit
		var name string
		for i, h := range rows.cells {
			r, u := plainColumn(h)
			if r != what {
				continue
			}
			rank := 0
			if canonical(what, h) {
				rank += 2
			}
			if u == wanted {
				rank++
			}
			switch {
			case rank > best:
				*column, best, unit, name = i, rank, u, string(trim(h))
			case rank == best && (what == roleDate || what == roleMin || what == roleMax):
				f.problems.add(line, "", "rename the one that is not meant",
					"found the columns %q and %q, want one of them", name, trim(h))
			}
		}
		return unit, name
	}
	find(roleDate, &p.date)
	minUnit, minName := find(roleMin, &p.min)
	maxUnit, maxName := find(roleMax, &p.max)
	find(roleFlags, &p.flags)
	find(roleStation, &p.station)
	var lacking []string
	for _, c := range []struct {
		at   int
		name string
	}{{p.date, "date"}, {p.min, "tmin"}, {p.max, "tmax"}} {
		if c.at < 0 {
			lacking = append(lacking, c.name)
		}
	}
	switch {
	case len(lacking) > 0:
		f.problems.add(line, "", "", "found the header %s, want also %s", headerText(rows.cells), list(lacking, "and"))
	case minUnit != maxUnit:
		f.problems.add(line, "", "", "found the columns %q and %q, want both in the same unit", minName, maxName)
	case minUnit != UnitUnknown && f.opts.Unit != UnitUnknown && f.opts.Unit != minUnit:
		f.problems.add(line, "", "leave the unit out, or rename the columns",
			"found the column %q, but degrees %s were asked for", minName, f.opts.Unit)
	}
	unit := minUnit
	if unit == UnitUnknown {
		unit = f.opts.Unit
	}
	switch unit {
	case Fahrenheit:
		p.named = fahrenheit
	case Celsius:
		p.named = celsius
	}
	f.days.minName, f.days.maxName = minName, maxName
	return p, len(f.problems.list) == before
}

// scale returns the unit: the header's, else the one that was asked for. A file that leaves it open is refused,
// whatever its numbers look like: a winter in degrees Fahrenheit passes for a spring in Celsius. What they look like
// is a hint.
func (p *plain) scale(f *file) scale {
	if p.named != (scale{}) {
		return p.named
	}
	hint := "head the columns tmin_c and tmax_c, or tmin_f and tmax_f; or set unit: C or unit: F beside the file in " +
		"the plan"
	e := f.days.weigh(fahrenheit.bounds())
	looks := ""
	switch {
	case e.values == 0:
	case e.hot*100 >= e.values:
		looks = fmt.Sprintf("; values up to %s look like F", number(e.hottest))
	case e.days >= 30 && e.whole && e.meanRange >= 16:
		looks = fmt.Sprintf("; whole numbers with the maximum %.0f above the minimum on average look like F",
			e.meanRange)
	default:
		looks = fmt.Sprintf("; the values run from %s to %s", number(e.coldest), number(e.hottest))
	}
	f.problems.add(p.line, "", hint, "found the columns %q and %q, which do not name their unit, want degrees C or F%s",
		f.days.minName, f.days.maxName, looks)
	return scale{}
}

// evidence is what a file's numbers show of their unit, numbers aside that are a temperature in no unit.
type evidence struct {
	values, days     int // of the days, those with both values
	coldest, hottest float64
	hottestLine      int
	meanRange        float64 // maximum less minimum, NaN without days
	whole            bool    // no value has a fraction
	hot              int     // values hotter than a file in degrees Celsius is likely to hold
}

// A file in degrees Celsius is likely to stay below this: 50 has been measured in deserts only. The mean daily range
// of 16 above is one that few climates reach in degrees Celsius and nearly all exceed in Fahrenheit. Common practice,
// no source; either only helps to answer the reader's question for the unit.
const likelyHottest = 50

// weigh looks at the values from coldest to hottest.
func (c *days) weigh(coldest, hottest float64) evidence {
	e := evidence{coldest: math.Inf(1), hottest: math.Inf(-1), whole: true}
	sum := 0.0
	value := func(v float64, line int32) {
		if !(v >= coldest && v <= hottest) {
			return
		}
		e.values++
		e.coldest = min(e.coldest, v)
		if v > e.hottest {
			e.hottest, e.hottestLine = v, int(line)
		}
		if v > likelyHottest {
			e.hot++
		}
		if v != math.Trunc(v) {
			e.whole = false
		}
	}
	if !c.any {
		e.meanRange = math.NaN()
		return e
	}
	c.runs(c.seen.First, c.seen.Last, func(_ civil.Date, b *block, from, to int) {
		if b == nil {
			return
		}
		for i := from; i < to; i++ {
			s := slot{b, i}
			day := s.day()
			value(day.Min, s.minLine())
			value(day.Max, s.maxLine())
			if day.Complete() && day.Min >= coldest && day.Max <= hottest {
				e.days++
				sum += day.Max - day.Min
			}
		}
	})
	e.meanRange = sum / float64(e.days)
	return e
}
