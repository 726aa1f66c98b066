package planfile

import (
	"io"
	"slices"
	"strconv"
	"strings"

	"treewhen/calendar"
	"treewhen/calendar/phrase"
)

// MaxLots is how large a file of lots may be, in bytes.
const MaxLots = 16 << 20

var lotsTable = csvTable{
	what: "a file of lots", largest: MaxLots, must: 5, wants: "lot,date,species,site,what", strict: true,
	columns: []string{"lot", "date", "species", "site", "what", "stand", "seed_zone", "quantity", "unit", "note"},
}

// LotRow is a row of a file of lots: the site and the species are as the user wrote them.
type LotRow struct {
	Site, Species    string
	calendar.LotNote // without its Species
}

// ReadLots reads a file of lots of [MaxLots] bytes at most, in the order of its rows. Everything wrong with it comes
// back at once, as a [problem.List]: also what cannot have been done with a lot, such as cleaning it before it was
// collected.
func ReadLots(r io.Reader, name string) (list []LotRow, err error) {
	f := lotsTable.open(r, name)
	for f.next() {
		list = append(list, readLot(f))
	}
	if len(f.wrong) == 0 {
		checkOrder(f, list)
	}
	return list, f.err()
}

// readLot reads a row.
func readLot(f *csvFile) LotRow {
	f.required(f.columns[:f.must]...)
	r := LotRow{Site: strings.Clone(f.of("site")), Species: strings.Clone(f.of("species"))}
	r.Line, r.Date = f.line, f.date()
	r.Lot, r.Note = strings.Clone(f.of("lot")), strings.Clone(f.of("note"))
	r.Stand, r.SeedZone = strings.Clone(f.of("stand")), strings.Clone(f.of("seed_zone"))
	if text := f.of("what"); text != "" {
		r.What = calendar.LotStep(strings.ToLower(text))
		if !slices.Contains(calendar.LotSteps(), r.What) {
			f.bad("what", "found %q, want %s", text, oneOfThese(calendar.LotSteps()))
		}
	}
	has := 1.0
	r.Unit = calendar.LotUnit(strings.ToLower(f.of("unit")))
	if is, ok := usLotUnits[r.Unit]; ok {
		r.Unit, has = is.unit, is.has
	} else if r.Unit != "" && !slices.Contains(calendar.LotUnits(), r.Unit) {
		f.bad("unit", "found %q, want %s", f.of("unit"), lotUnits())
	}
	if text := f.of("quantity"); text != "" {
		var err error
		r.Quantity, err = strconv.ParseFloat(text, 64)
		switch {
		case err != nil || !(r.Quantity >= 0 && r.Quantity < 1e12):
			f.bad("quantity", "found %q, want a figure of 0 or more, such as 2.5", text)
		case r.Unit == "":
			f.bad("unit", "found a quantity without a unit, want %s", lotUnits())
		case strings.HasPrefix(string(r.Unit), "percent") && r.Quantity > 100:
			f.bad("quantity", "found %s percent, want 100 at most", text)
		}
		r.Quantity *= has
	}
	return r
}

// usLotUnits are the units of the United States that a quantity may be told in: of which unit each is how much.
var usLotUnits = map[calendar.LotUnit]struct {
	unit calendar.LotUnit
	has  float64
}{
	"lb": {"kg", phrase.KilogramsPerPound}, "oz": {"kg", phrase.KilogramsPerPound / 16},
	"gallons": {"l", phrase.LitresPerGallon}, "bushels": {"l", phrase.LitresPerBushel},
}

// lotUnits lists the units that a quantity may be told in.
func lotUnits() string {
	return oneOfThese(append([]calendar.LotUnit{"lb", "oz", "gallons", "bushels"}, calendar.LotUnits()...))
}

// oneOfThese lists words as a choice.
func oneOfThese[T ~string](list []T) string {
	var names []string
	for _, x := range list {
		names = append(names, string(x))
	}
	return strings.Join(names[:len(names)-1], ", ") + " or " + names[len(names)-1]
}

// checkOrder reports what cannot have been done with a lot: it is of one species and one site, is collected first, and
// is over once it was discarded.
func checkOrder(f *csvFile, list []LotRow) {
	byDay := slices.Clone(list)
	slices.SortStableFunc(byDay, func(x, y LotRow) int { return int(x.Date - y.Date) })
	first, last := map[string]LotRow{}, map[string]LotRow{}
	for _, r := range byDay {
		f.line = r.Line
		begun, known := first[r.Lot]
		switch {
		case !known && r.What != calendar.LotCollected && r.What != calendar.LotTooLate:
			f.bad("what", "found lot %s %s before it is collected, want a row with collected first", r.Lot,
				r.What)
		case !known:
		case begun.Species != r.Species || begun.Site != r.Site:
			f.bad("lot", "found lot %s of %s at %s, which is of %s at %s on line %d; want another name for "+
				"other seed",
				r.Lot, r.Species, r.Site, begun.Species, begun.Site, begun.Line)
		case last[r.Lot].What == calendar.LotDiscarded || last[r.Lot].What == calendar.LotTooLate:
			f.bad("what", "found lot %s %s after it was %s on line %d, want nothing more of it",
				r.Lot, r.What, last[r.Lot].What, last[r.Lot].Line)
		case begun.Date < r.Date-maxLotDays:
			f.bad("date", "found lot %s %s more than %d years after it was collected on %s; is the year right?",
				r.Lot, r.What, maxLotDays/365, begun.Date)
		}
		if !known {
			first[r.Lot] = r
		}
		last[r.Lot] = r
	}
}

// maxLotDays is how long after its collection anything is done with a lot: no seed bank keeps trees' seed for longer.
const maxLotDays = 50 * 365
