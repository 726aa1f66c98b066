package weather

import (
	"bytes"
	"math"
)

// canadaNames are the columns of the daily files in English and in French, as [spell] spells them. The English ones
// are those of files seen; the French ones are from memory.
var canadaNames = struct{ date, max, maxFlag, min, minFlag, station, id, longitude, latitude []string }{
	date:      []string{"date_time", "date_heure"},
	max:       []string{"max_temp_c", "temp_max_c"},
	maxFlag:   []string{"max_temp_flag", "temp_max_indicateur"},
	min:       []string{"min_temp_c", "temp_min_c"},
	minFlag:   []string{"min_temp_flag", "temp_min_indicateur"},
	station:   []string{"station_name", "nom_de_la_station"},
	id:        []string{"climate_id", "id_climatologique"},
	longitude: []string{"longitude_x"},
	latitude:  []string{"latitude_y"},
}

func isCanadaHeader(cells [][]byte) bool {
	at := spellAll(cells)
	return column(at, canadaNames.date...) >= 0 && column(at, canadaNames.max...) >= 0 &&
		column(at, canadaNames.min...) >= 0
}

// readCanada reads the daily climate data of Environment and Climate Change Canada as CSV, following the files
// themselves and the legend published beside them (its letters are from memory): degrees Celsius, a flag beside each
// value. E is estimated; a value with another flag is kept as suspect; M and an empty cell are missing. Older files
// have lines of description above the header. French files write decimal commas.
func readCanada(f *file) scale {
	f.days.minName, f.days.maxName = "Min Temp", "Max Temp"
	rows := &rows{f: f}
	found := false
	for n := 0; n < maxPreamble && !found && rows.next(); n++ {
		found = isCanadaHeader(rows.cells)
	}
	if !found {
		return f.wants(0, "", "Date/Time, Max Temp (°C) and Min Temp (°C)")
	}
	at, width := spellAll(rows.cells), len(rows.cells)
	names := &canadaNames
	date, id, station := column(at, names.date...), column(at, names.id...), column(at, names.station...)
	longitude, latitude := column(at, names.longitude...), column(at, names.latitude...)
	low, lowFlag := column(at, names.min...), column(at, names.minFlag...)
	high, highFlag := column(at, names.max...), column(at, names.maxFlag...)
	for rows.ofStation(width, id, station) {
		c := rows.cells
		f.record.Station.describe(cell(c, station), cell(c, latitude), cell(c, longitude), nil)
		d, ok := f.date(rows.line, "Date/Time", c[date], parseDate)
		if !ok {
			continue
		}
		minimum, minFlags, ok1 := f.canadaValue(rows.line, f.days.minName, c[low], cell(c, lowFlag))
		maximum, maxFlags, ok2 := f.canadaValue(rows.line, f.days.maxName, c[high], cell(c, highFlag))
		if ok1 && ok2 {
			f.days.put(f, d, rows.line, minimum, maximum, minFlags|maxFlags)
		}
	}
	return f.celsiusOnly(celsius)
}

func (f *file) canadaValue(line int, name string, value, flag []byte) (v float64, flags Flags, ok bool) {
	value, flag = trim(value), trim(flag)
	if bytes.IndexByte(value, ',') >= 0 { // inside quotes, or it would have ended the cell
		value = bytes.Replace(value, []byte{','}, []byte{'.'}, 1)
	}
	v, ok = f.temperature(line, name, value, celsius)
	switch {
	case !ok:
		return 0, 0, false
	case math.IsNaN(v) || len(flag) == 0:
		return v, 0, true
	case string(flag) == "M":
		return math.NaN(), 0, true
	case string(flag) == "E":
		return v, Estimated, true
	}
	return v, Suspect, true
}
