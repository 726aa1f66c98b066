package weather

import (
	"bytes"
	"math"
	"slices"

	"treewhen/phenology/civil"
)

// readGHCNCSV reads the CSV forms in which GHCN-Daily is published: a row for each value (the files by year and by
// station, with or without a header) or a row for each day (the access files, and orders).
func readGHCNCSV(f *file) scale {
	f.days.minName, f.days.maxName = "TMIN", "TMAX"
	rows := &rows{f: f}
	if !rows.next() {
		return f.wants(0, "", "STATION, DATE, TMAX and TMIN")
	}
	at := spellAll(rows.cells)
	switch {
	case isGHCNRow(rows.cells):
		return f.ghcnLong(rows, longColumns{id: 0, date: 1, element: 2, value: 3, measurement: 4, quality: 5}, true)
	case isLongHeader(at):
		return f.ghcnLong(rows, longColumns{
			id: column(at, "id", "station"), date: column(at, "date"), element: column(at, "element"),
			value:       column(at, "value", "data_value"),
			measurement: column(at, "mflag", "m_flag"), quality: column(at, "qflag", "q_flag"),
			width: len(rows.cells),
		}, false)
	case column(at, "date") >= 0 && (column(at, "tmax") >= 0 || column(at, "tmin") >= 0):
		return f.ghcnWide(rows, at)
	}
	return f.wants(rows.line, headerText(rows.cells), "STATION, DATE, TMAX and TMIN")
}

// isGHCNRow recognises the form without a header by its first row.
func isGHCNRow(cells [][]byte) bool {
	if len(cells) < 4 || len(cells) > 8 || !stationID(cells[0]) || !isElement(cells[2]) {
		return false
	}
	_, okDate := digits(cells[1])
	_, okValue := parseNumber(cells[3])
	return okDate && len(cells[1]) == 8 && okValue
}

// isGHCNHeader recognises the forms with one. Capitals are part of it: a plain file may have a column called station.
func isGHCNHeader(cells [][]byte) bool {
	has := func(name string) bool {
		return slices.ContainsFunc(cells, func(c []byte) bool { return string(trim(c)) == name })
	}
	return has("STATION") && has("DATE") && (has("TMAX") || has("TMIN")) || isLongHeader(spellAll(cells))
}

func isLongHeader(at map[string]int) bool {
	return column(at, "id", "station") >= 0 && column(at, "date") >= 0 && column(at, "element") >= 0 &&
		column(at, "value", "data_value") >= 0
}

// longColumns are the columns of the form with a row for each value; -1 where there is none, width 0 without a header.
type longColumns struct{ id, date, element, value, measurement, quality, width int }

// ghcnLong reads ID, YYYYMMDD, ELEMENT, VALUE, MFLAG, QFLAG, SFLAG, OBSTIME (readme of the by_year files of
// GHCN-Daily; from memory). Values are in tenths of a degree Celsius.
func (f *file) ghcnLong(rows *rows, c longColumns, onFirst bool) scale {
	lines := 0
	for onFirst || rows.next() {
		onFirst = false
		if rows.blank() {
			continue
		}
		lines++
		if c.width > 0 && !rows.wide(c.width) {
			f.rows++
			continue
		}
		if c.width == 0 && (len(rows.cells) < 4 || len(rows.cells) > 8) {
			f.rows++
			f.problems.add(rows.line, "", "", "found %s, want 8: ID, date, element, value, three flags and hour",
				plural(len(rows.cells), "column"))
			continue
		}
		if !f.stations.take(trim(rows.cells[c.id]), nil) {
			if f.stations.hopeless() {
				break
			}
			continue
		}
		var isMax bool
		switch element := trim(rows.cells[c.element]); string(element) {
		case "TMAX":
			isMax = true
		case "TMIN":
		default:
			continue
		}
		f.longRow(rows, c, isMax)
	}
	f.wantTemperatures(lines)
	return f.celsiusOnly(tenths)
}

func (f *file) longRow(rows *rows, c longColumns, isMax bool) {
	f.rows++
	d, ok := f.date(rows.line, "DATE", rows.cells[c.date], parseCompactDate, parseDate)
	if !ok {
		return
	}
	text := trim(rows.cells[c.value])
	v, isNumber := parseNumber(text)
	if !isNumber || v != math.Trunc(v) {
		f.problems.add(rows.line, string(trim(rows.cells[c.element])), "",
			"found %s, want tenths of a degree Celsius such as 125", show(text))
		return
	}
	if v == ghcnMissing {
		return
	}
	f.ghcnPut(d, rows.line, isMax, v, flagOf(cell(rows.cells, c.measurement)), flagOf(cell(rows.cells, c.quality)))
}

// flagOf is a cell's first character, 0 if it is empty.
func flagOf(cell []byte) byte {
	if cell = trim(cell); len(cell) > 0 {
		return cell[0]
	}
	return 0
}

// ghcnWide reads the form with a row for each day: STATION, DATE, perhaps LATITUDE, LONGITUDE, ELEVATION and NAME, and
// a column for each element, perhaps with one of attributes beside it that holds the flags as "M,Q,S" (documentation
// of the daily summaries and of orders from the Climate Data Online service; from memory). The access files hold
// tenths of a degree Celsius; orders hold whole degrees Fahrenheit or degrees Celsius, and do not say which.
func (f *file) ghcnWide(rows *rows, at map[string]int) scale {
	width := len(rows.cells)
	id, date, name := column(at, "station"), column(at, "date"), column(at, "name")
	latitude, longitude, elevation := column(at, "latitude"), column(at, "longitude"), column(at, "elevation")
	low, high := column(at, "tmin"), column(at, "tmax")
	lowFlags, highFlags := column(at, "tmin_attributes"), column(at, "tmax_attributes")
	for _, c := range []struct {
		at   int
		name string
	}{{low, "TMIN"}, {high, "TMAX"}} {
		if c.at < 0 {
			f.problems.add(rows.line, "", "choose a station and years with both",
				"found a header without %s, want TMAX and TMIN", c.name)
			return scale{}
		}
	}
	point := false
	for rows.ofStation(width, id, name) {
		c := rows.cells
		f.record.Station.describe(cell(c, name), cell(c, latitude), cell(c, longitude), cell(c, elevation))
		d, ok := f.date(rows.line, "DATE", c[date], parseDate, parseCompactDate)
		if !ok {
			continue
		}
		minimum, minFlags, ok1 := f.wideValue(rows, d, false, low, lowFlags, &point)
		maximum, maxFlags, ok2 := f.wideValue(rows, d, true, high, highFlags, &point)
		if ok1 && ok2 {
			f.days.put(f, d, rows.line, minimum, maximum, minFlags|maxFlags)
		}
	}
	return f.wideScale(point)
}

// wideValue reads one element of a row and notices a decimal point.
func (f *file) wideValue(
	rows *rows, d civil.Date, isMax bool, at, flagsAt int, point *bool,
) (v float64, flags Flags, ok bool) {
	if v, ok = f.temperature(rows.line, f.days.name(isMax), rows.cells[at], scale{}); !ok {
		return 0, 0, false
	}
	if math.IsNaN(v) || v == ghcnMissing {
		return math.NaN(), 0, true
	}
	*point = *point || bytes.IndexByte(rows.cells[at], '.') >= 0
	measurement, quality := attributes(cell(rows.cells, flagsAt))
	v, flags = f.ghcnValue(d, rows.line, isMax, v, measurement, quality)
	return v, flags, true
}

// attributes takes "M,Q,S" or "M,Q,S,hour" apart.
func attributes(cell []byte) (measurement, quality byte) {
	first, rest, _ := bytes.Cut(cell, []byte{','})
	second, _, _ := bytes.Cut(rest, []byte{','})
	return flagOf(first), flagOf(second)
}
