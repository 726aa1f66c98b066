package weather

import (
	"io"
	"math"
	"strings"
	"time"
)

// Normals are a place's mean daily minimum and maximum of each month over a standard period of thirty years.
type Normals struct {
	Station  Station
	Min, Max [12]float64 // degrees Celsius, January first
	Years    int         // the fewest years that went into any of them; 0 where the file does not say
}

const normalMin, normalMax = "MLY-TMIN-NORMAL", "MLY-TMAX-NORMAL"

// ReadNormals reads monthly normals as NOAA's National Centers for Environmental Information publishes them by
// station: a CSV with a row for each month and the columns STATION, DATE (01 to 12), MLY-TMIN-NORMAL and
// MLY-TMAX-NORMAL (U.S. Climate Normals 1991-2020, documentation of the monthly files; the columns are those of a file
// seen, their special values are from memory). The file does not name its unit: it is degrees Fahrenheit, as
// published, unless opts says otherwise. Errors are as those of [Read].
func ReadNormals(r io.Reader, name string, opts Options) (*Normals, error) {
	f := newFile(name, opts)
	f.holds = "monthly normals"
	defer f.release()
	if err := f.open(r, MaxFileSize); err != nil {
		return nil, err
	}
	n := &Normals{}
	f.readNormals(n)
	if f.src.err != nil {
		return nil, f.sourceErr(f.src.err)
	}
	if err := f.problems.err(); err != nil {
		return nil, err
	}
	n.Station = f.record.Station
	return n, nil
}

func (f *file) readNormals(n *Normals) {
	rows := &rows{f: f}
	if !rows.next() {
		f.wants(0, "", "DATE, "+normalMin+" and "+normalMax)
		return
	}
	at, width := spellAll(rows.cells), len(rows.cells)
	date, low, high := column(at, "date"), column(at, spell([]byte(normalMin))), column(at, spell([]byte(normalMax)))
	if date < 0 || low < 0 || high < 0 {
		f.wants(rows.line, headerText(rows.cells), "DATE, "+normalMin+" and "+normalMax)
		return
	}
	id, name := column(at, "station"), column(at, "name")
	latitude, longitude, elevation := column(at, "latitude"), column(at, "longitude"), column(at, "elevation")
	lowYears, highYears := column(at, spell([]byte("years_"+normalMin))), column(at, spell([]byte("years_"+normalMax)))
	s := fahrenheit
	if f.opts.Unit == Celsius {
		s = celsius
	}
	var lineOf [12]int
	for rows.ofStation(width, id, name) {
		c := rows.cells
		f.record.Station.describe(cell(c, name), cell(c, latitude), cell(c, longitude), cell(c, elevation))
		month, ok := digits(trim(c[date]))
		if !ok || month < 1 || month > 12 {
			f.problems.add(rows.line, "DATE", "", "found %s, want a month from 01 to 12", show(trim(c[date])))
			continue
		}
		if before := lineOf[month-1]; before > 0 {
			f.problems.add(rows.line, "DATE", "", "found month %02d again, which line %d gave, want each once", month,
				before)
			continue
		}
		lineOf[month-1] = rows.line
		minimum, ok1 := f.normal(rows.line, normalMin, c[low], s)
		maximum, ok2 := f.normal(rows.line, normalMax, c[high], s)
		if ok1 && ok2 && minimum > maximum {
			f.problems.add(rows.line, normalMin, "", "found a minimum of %s above the maximum of %s, want it below",
				trim(c[low]), trim(c[high]))
		}
		n.Min[month-1], n.Max[month-1] = minimum, maximum
		for _, years := range []int{lowYears, highYears} {
			if y, ok := digits(trim(cell(c, years))); ok && (n.Years == 0 || y < n.Years) {
				n.Years = y
			}
		}
	}
	if !f.stations.check(f) {
		return
	}
	var lacking []string
	for m, line := range lineOf {
		if line == 0 {
			lacking = append(lacking, time.Month(m+1).String())
		}
	}
	if len(lacking) > 0 && len(f.problems.list) == 0 {
		f.problems.add(0, "", "", "the file has no normals for %s, want all twelve months", strings.Join(lacking, ", "))
	}
}

// normal reads a normal. Its publisher writes numbers such as -9999 and -7777 where there is none (from memory).
func (f *file) normal(line int, name string, text []byte, s scale) (float64, bool) {
	v, hint, wrong := parseTemperature(text, s)
	coldest, hottest := s.bounds()
	switch {
	case wrong == "" && math.IsNaN(v):
		wrong = "found nothing, want a number"
	case wrong == "" && (v < coldest || v > hottest):
		wrong = "found " + number(v) + ", want " + number(coldest) + " to " + number(hottest) + " " + s.String()
	}
	if wrong != "" {
		f.problems.add(line, name, hint, "%s", wrong)
		return 0, false
	}
	return s.celsius(v), true
}
