package weather

import (
	"bytes"
	"math"
	"time"

	"treewhen/phenology/civil"
)

// readGridCell reads the single-pixel daily CSV of Daymet, the daily surface weather data on a 1-km grid for North
// America (Thornton, M. M. and others, version 4, ORNL DAAC, user guide; from memory): lines that describe the pixel,
// then a header with year, yday, tmax (deg c) and tmin (deg c), then 365 days a year. Its calendar keeps 29 February
// and leaves out 31 December of leap years, so that yday is the day of the calendar year throughout.
func readGridCell(f *file) scale {
	rows := &rows{f: f}
	at, found := map[string]int(nil), false
	for n := 0; n < maxPreamble && !found && rows.next(); n++ {
		if found = isGridCellHeader(rows.cells); !found {
			f.describePixel(bytes.Join(rows.cells, []byte{','}))
		}
		at = spellAll(rows.cells)
	}
	if !found {
		return f.wants(0, "", "year, yday, tmax (deg c) and tmin (deg c)")
	}
	width := len(rows.cells)
	year, yday, low, high := column(at, "year"), column(at, "yday"), column(at, "tmin_deg_c"), column(at, "tmax_deg_c")
	f.days.yearEndsMissing = true
	for rows.next() {
		if rows.blank() {
			continue
		}
		f.rows++
		if !rows.wide(width) {
			continue
		}
		d, ok1 := f.gridDay(rows.line, rows.cells[year], rows.cells[yday])
		minimum, ok2 := f.temperature(rows.line, "tmin", rows.cells[low], celsius)
		maximum, ok3 := f.temperature(rows.line, "tmax", rows.cells[high], celsius)
		if ok1 && ok2 && ok3 {
			f.days.put(f, d, rows.line, missingIf(minimum), missingIf(maximum), 0)
		}
	}
	return f.celsiusOnly(celsius)
}

// missingIf makes the grid's number for 'no value' one (user guide, from memory).
func missingIf(v float64) float64 {
	if v == -9999 {
		return math.NaN()
	}
	return v
}

func isGridCellHeader(cells [][]byte) bool {
	at := spellAll(cells)
	return column(at, "year") >= 0 && column(at, "yday") >= 0 && column(at, "tmin_deg_c") >= 0 &&
		column(at, "tmax_deg_c") >= 0
}

func (f *file) gridDay(line int, yearCell, ydayCell []byte) (civil.Date, bool) {
	year, ok1 := digits(trim(yearCell))
	yday, ok2 := digits(trim(ydayCell))
	switch {
	case !ok1 || year < earliest.Year() || year > latest.Year():
		f.problems.add(line, "year", "", "found %s, want a year from %d to %d", show(trim(yearCell)), earliest.Year(),
			latest.Year())
	case !ok2 || yday < 1 || yday > 365:
		f.problems.add(line, "yday", "", "found %s, want a day of the year from 1 to 365", show(trim(ydayCell)))
	default:
		return civil.Of(year, time.January, yday), true
	}
	return 0, false
}

// describePixel looks for "Latitude: 45.1  Longitude: -89.2" and "Elevation: 400 meters" in a line above the header.
func (f *file) describePixel(line []byte) {
	after := func(word string) []byte {
		i := bytes.Index(line, []byte(word))
		if i < 0 {
			return nil
		}
		fields := bytes.Fields(line[i+len(word):])
		if len(fields) == 0 {
			return nil
		}
		return bytes.Trim(fields[0], ",;")
	}
	f.record.Station.describe(nil, after("Latitude:"), after("Longitude:"), after("Elevation:"))
}
