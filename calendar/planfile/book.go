package planfile

import (
	"io"
	"strconv"
	"strings"

	"treewhen/calendar"
	"treewhen/calendar/phrase"
	"treewhen/phenology/civil"
)

// MaxBook is how large a book of sap may be, in bytes.
const MaxBook = 16 << 20

// BookRow is a row of a book of sap: the site is as the user wrote it. Volumes are litres.
type BookRow struct {
	Line int
	Site string
	calendar.Gathered
}

var bookTable = csvTable{what: "a book of sap", columns: []string{"date", "site", "volume", "unit", "sugar", "syrup",
	"note"},
	wanted: 4, largest: MaxBook, wants: "date,site,volume,unit", optional: " and if wanted sugar, syrup and note"}

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
func ReadBook(r io.Reader, name string) ([]BookRow, error) {
	var list []BookRow
	err := bookTable.read(r, name, func(c cells) {
		row := BookRow{Line: c.line, Site: strings.Clone(c.of("site"))}
		row.Note = strings.Clone(c.of("note"))
		for _, column := range []string{"date", "site"} {
			if c.of(column) == "" {
				c.wrong(column, "found nothing, want a value in every row")
			}
		}
		var err error
		if text := c.of("date"); text != "" {
			if row.Date, err = civil.Parse(text); err != nil {
				c.wrong("date", "%v", err)
			}
		}
		unit, ok := bookUnits[strings.ToLower(c.of("unit"))]
		if !ok {
			c.wrong("unit", "found %q, want litres or gallons (US)", c.of("unit"))
			unit = 1
		}
		number := func(column string, most float64) (float64, bool) {
			text := c.of(column)
			if text == "" {
				return 0, false
			}
			x, err := strconv.ParseFloat(text, 64)
			if err != nil || !(x >= 0 && x <= most) {
				c.wrong(column, "found %q, want a number from 0 to %g", text, most)
				return 0, false
			}
			return x, true
		}
		sap, gathered := number("volume", mostVolume/unit)
		syrup, boiled := number("syrup", mostVolume/unit)
		row.Sap, row.Syrup = sap*unit, syrup*unit
		row.Sugar, _ = number("sugar", mostSugar)
		if !gathered && !boiled && c.of("volume") == "" && c.of("syrup") == "" {
			c.wrong("volume", "found neither sap nor syrup, want one of them in every row")
		}
		list = append(list, row)
	})
	if err != nil {
		return nil, err
	}
	return list, nil
}
