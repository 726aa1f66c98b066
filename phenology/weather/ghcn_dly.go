package weather

import (
	"bytes"
	"math"
	"time"

	"treewhen/phenology/civil"
)

// The columns of a .dly line (readme.txt of GHCN-Daily, section III; from memory), counted from 0: the station's
// identifier, year, month and element, then for each of 31 days a value of five characters and three flags. Lines
// whose trailing blanks were stripped are read too.
const (
	dlyYear, dlyMonth, dlyElement, dlyDays = 11, 15, 17, 21
	dlyDay                                 = 8
	dlyLength                              = dlyDays + 31*dlyDay
	dlyShortest                            = dlyLength - 3
)

func isDly(line []byte) bool {
	if len(line) < dlyShortest || len(line) > dlyLength || !stationID(line[:dlyYear]) ||
		!isElement(line[dlyElement:dlyDays]) {
		return false
	}
	_, ok := digits(line[dlyYear:dlyElement])
	return ok
}

// readDly reads GHCN-Daily by station in its fixed-width form: a line for each month and element.
func readDly(f *file) scale {
	f.days.minName, f.days.maxName = "TMIN", "TMAX"
	lines := 0
	for f.src.next() {
		line := f.src.record()
		if len(trim(line)) == 0 || line[0] == '#' {
			continue
		}
		lines++
		if !isDly(line) {
			f.rows++
			f.problems.add(f.src.line, "", "", "found %s (%d characters), want %d characters: station, year, month, "+
				"element and 31 values", show(line), len(line), dlyLength)
			continue
		}
		if !f.stations.take(line[:dlyYear], nil) {
			if f.stations.hopeless() {
				break
			}
			continue
		}
		switch element := line[dlyElement:dlyDays]; {
		case bytes.Equal(element, []byte("TMAX")):
			f.dlyMonth(line, true)
		case bytes.Equal(element, []byte("TMIN")):
			f.dlyMonth(line, false)
		}
	}
	f.wantTemperatures(lines)
	return f.celsiusOnly(tenths)
}

func (f *file) dlyMonth(text []byte, isMax bool) {
	f.rows++
	line, name := f.src.line, f.days.name(isMax)
	year, _ := digits(text[dlyYear:dlyMonth])
	month, _ := digits(text[dlyMonth:dlyElement])
	if year < earliest.Year() || year > latest.Year() || month < 1 || month > 12 {
		f.problems.add(line, name, "", "found the year and month %s, want one from %d01 to %d12",
			show(text[dlyYear:dlyElement]), earliest.Year(), latest.Year())
		return
	}
	for day := 1; day <= 31; day++ {
		var part [dlyDay]byte
		copy(part[:], "        ")
		copy(part[:], text[dlyDays+(day-1)*dlyDay:])
		v, ok := parseNumber(trim(part[:5]))
		if !ok || v != math.Trunc(v) {
			f.problems.add(line, name, "", "found %s on day %d, want tenths of a degree Celsius, or %d for none",
				show(part[:5]), day, ghcnMissing)
			continue
		}
		if v == ghcnMissing {
			continue
		}
		if day > daysIn(year, time.Month(month)) {
			f.problems.add(line, name, "", "found %s on day %d of a month of %d days, want %d there", number(v), day,
				daysIn(year, time.Month(month)), ghcnMissing)
			continue
		}
		f.ghcnPut(civil.Of(year, time.Month(month), day), line, isMax, v, part[5], part[6])
	}
}

// wantTemperatures is for the forms in which a file may hold other elements only.
func (f *file) wantTemperatures(lines int) {
	if f.rows == 0 && lines > 0 && len(f.stations.ids) < 2 && (f.stations.found || f.stations.want == "") {
		f.problems.add(0, "", "choose a station that measures temperatures",
			"the file holds no TMAX and no TMIN, want both")
	}
}
