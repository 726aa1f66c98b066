package weather

import (
	"bytes"
	"strings"
)

// role is what a column of a plain file holds.
type role int

const (
	roleNone role = iota
	roleDate
	roleMin
	roleMax
	roleFlags
	roleStation
)

// plainNames are the names under which columns of open datasets hold these things, as [plainColumn] spells them.
var plainNames = map[string]role{
	"date": roleDate, "time": roleDate, "datetime": roleDate, "obs_date": roleDate,

	"tmin": roleMin, "t_min": roleMin, "tn": roleMin, "min": roleMin, "minimum": roleMin, "tempmin": roleMin,
	"temp_min": roleMin, "min_temp": roleMin, "mintemp": roleMin, "tmmn": roleMin, "tasmin": roleMin,
	"airtmin": roleMin, "airt_min": roleMin, "air_temp_min": roleMin, "min_air_temp": roleMin, "airtempmin": roleMin,
	"temperature_min": roleMin, "min_temperature": roleMin, "minimum_temperature": roleMin,
	"temperature_minimum": roleMin, "air_temperature_min": roleMin, "temperature_2m_min": roleMin,

	"tmax": roleMax, "t_max": roleMax, "tx": roleMax, "max": roleMax, "maximum": roleMax, "tempmax": roleMax,
	"temp_max": roleMax, "max_temp": roleMax, "maxtemp": roleMax, "tmmx": roleMax, "tasmax": roleMax,
	"airtmax": roleMax, "airt_max": roleMax, "air_temp_max": roleMax, "max_air_temp": roleMax, "airtempmax": roleMax,
	"temperature_max": roleMax, "max_temperature": roleMax, "maximum_temperature": roleMax,
	"temperature_maximum": roleMax, "air_temperature_max": roleMax, "temperature_2m_max": roleMax,

	"flags": roleFlags,

	"station": roleStation, "station_id": roleStation, "site": roleStation, "site_id": roleStation,
	"location": roleStation,
}

// unitEndings are how a column's name ends when it names its unit.
var unitEndings = []struct {
	ending string
	unit   Unit
}{
	{"_degrees_c", Celsius}, {"_degrees_celsius", Celsius}, {"_deg_c", Celsius}, {"_degc", Celsius},
	{"_celsius", Celsius}, {"_c", Celsius},
	{"_degrees_f", Fahrenheit}, {"_degrees_fahrenheit", Fahrenheit}, {"_deg_f", Fahrenheit}, {"_degf", Fahrenheit},
	{"_fahrenheit", Fahrenheit}, {"_f", Fahrenheit},
}

// plainColumn says what a column holds and in which unit, going by its name in the header: letters and digits in
// lower case, everything else as one underscore, so that "Tmin (°F)" is tmin_f.
func plainColumn(header []byte) (role, Unit) {
	name := spell(header)
	if r := plainNames[name]; r != roleNone {
		return r, UnitUnknown
	}
	for _, u := range unitEndings {
		if base, ok := strings.CutSuffix(name, u.ending); ok {
			if r := plainNames[base]; r == roleMin || r == roleMax {
				return r, u.unit
			}
		}
	}
	return roleNone, UnitUnknown
}

// canonical reports whether a column has this project's own name for what it holds, with or without a unit.
func canonical(r role, header []byte) bool {
	name := spell(header)
	switch r {
	case roleDate:
		return name == "date"
	case roleMin:
		return strings.HasPrefix(name, "tmin")
	case roleMax:
		return strings.HasPrefix(name, "tmax")
	}
	return false
}

// spell reduces a column's name to lower-case letters and digits of ASCII, with one underscore for all that is
// between them. Degree signs and accents drop out, whatever their encoding.
func spell(header []byte) string {
	var b strings.Builder
	gap := false
	for _, c := range header {
		if 'A' <= c && c <= 'Z' {
			c += 'a' - 'A'
		}
		if (c < 'a' || c > 'z') && (c < '0' || c > '9') {
			gap = true
			continue
		}
		if gap && b.Len() > 0 {
			b.WriteByte('_')
		}
		gap = false
		b.WriteByte(c)
	}
	return b.String()
}

// spellAll spells a header and says where each name stands first.
func spellAll(header [][]byte) map[string]int {
	at := make(map[string]int, len(header))
	for i, h := range header {
		name := spell(h)
		if _, ok := at[name]; !ok {
			at[name] = i
		}
	}
	return at
}

// column is the place of the first of these names in a header, -1 if there is none.
func column(at map[string]int, names ...string) int {
	for _, name := range names {
		if i, ok := at[name]; ok {
			return i
		}
	}
	return -1
}

// cell returns a row's cell, nil where the header has no such column.
func cell(cells [][]byte, i int) []byte {
	if i < 0 || i >= len(cells) {
		return nil
	}
	return cells[i]
}

func headerText(header [][]byte) string { return show(bytes.Join(header, []byte{','})) }
