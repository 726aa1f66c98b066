package planfile

import (
	"io"
	"strconv"
	"strings"

	"treewhen/calendar"
	"treewhen/calendar/phrase"
)

// MaxBook is how large a book of sap may be, in bytes.
const MaxBook = 16 << 20

// BookRow is a row of a book of sap: the site is as the user wrote it. Volumes are litres.
type BookRow struct {
	Line int
	Site string
	calendar.Gathered
}

var bookTable = csvTable{
	what: "a book of sap", largest: MaxBook, must: 4,
	columns: []string{"date", "site", "volume", "unit", "sugar", "syrup", "note"},
	wants:   "date,site,volume,unit", optional: " and if wanted sugar, syrup and note",
}

// bookUnits are the units of a book in litres. The US gallon is 231 cubic inches: NIST Handbook 44, appendix C (from
// memory; exact).
var bookUnits = map[string]float64{"l": 1, "litre": 1, "litres": 1, "liter": 1, "liters": 1,
	"gal": phrase.LitresPerGallon, "gallon": phrase.LitresPerGallon, "gallons": phrase.LitresPerGallon}

const (
	mostVolume = 10_000_000 // litres in a row
	mostSugar  = 20         // percent
)

// ReadBook reads a book of sap, of [MaxBook] bytes at most. Everything wrong with it comes back at once, as a
// [problem.List].
func ReadBook(r io.Reader, name string) (list []BookRow, err error) {
	f := bookTable.open(r, name)
	for f.next() {
		f.required("date", "site")
		row := BookRow{Line: f.line, Site: strings.Clone(f.of("site"))}
		row.Date, row.Note = f.date(), strings.Clone(f.of("note"))
		unit, ok := bookUnits[strings.ToLower(f.of("unit"))]
		if !ok {
			f.bad("unit", "found %q, want litres or gallons (US)", f.of("unit"))
			unit = 1
		}
		row.Sap = f.number("volume", mostVolume/unit) * unit
		row.Syrup = f.number("syrup", mostVolume/unit) * unit
		row.Sugar = f.number("sugar", mostSugar)
		if f.of("volume") == "" && f.of("syrup") == "" {
			f.bad("volume", "found neither sap nor syrup, want one of them in every row")
		}
		list = append(list, row)
	}
	return list, f.err()
}

// number returns a number of the row from 0 to most; 0 where there is none.
func (f *csvFile) number(column string, most float64) float64 {
	text := f.of(column)
	if text == "" {
		return 0
	}
	x, err := strconv.ParseFloat(text, 64)
	if err != nil || !(x >= 0 && x <= most) {
		f.bad(column, "found %q, want a number from 0 to %g", text, most)
		return 0
	}
	return x
}
