package planfile

import (
	"bytes"
	"encoding/csv"
	"errors"
	"fmt"
	"io"
	"slices"
	"strconv"
	"strings"

	"treewhen/calendar"
	"treewhen/calendar/phrase"
	"treewhen/phenology/civil"
	"treewhen/phenology/problem"
)

// MaxLots is how large a file of lots may be, in bytes.
const MaxLots = 16 << 20

// lotColumns are the columns of a file of lots; the first of them must be there, the others may.
var lotColumns = []string{"lot", "date", "species", "site", "what", "stand", "seed_zone", "quantity", "unit", "note"}

// lotColumnsWanted is how many of lotColumns must be there.
const lotColumnsWanted = 5

// LotRow is a row of a file of lots: the site and the species are as the user wrote them.
type LotRow struct {
	Site, Species    string
	calendar.LotNote // without its Species
}

// ReadLots reads a file of lots of [MaxLots] bytes at most, in the order of its rows. Everything wrong with it comes
// back at once, as a [problem.List]: also what cannot have been done with a lot, such as cleaning it before it was
// collected.
func ReadLots(r io.Reader, name string) ([]LotRow, error) {
	data, err := io.ReadAll(io.LimitReader(r, MaxLots+1))
	if err != nil {
		return nil, fmt.Errorf("%s: %w", name, err)
	}
	b := lotBook{name: name}
	if len(data) > MaxLots {
		b.add(0, "", "found more than %d bytes, want a file of lots of %d at most", MaxLots, MaxLots)
		return nil, b.wrong.Err()
	}
	b.rows = csv.NewReader(bytes.NewReader(bytes.TrimPrefix(data, []byte("\xef\xbb\xbf"))))
	b.rows.FieldsPerRecord = -1
	b.rows.TrimLeadingSpace = true
	if b.header() {
		b.read()
	}
	if len(b.wrong) == 0 {
		b.order()
	}
	return b.list, b.wrong.Err()
}

// lotBook is a file of lots as it is read.
type lotBook struct {
	name   string
	rows   *csv.Reader
	column map[string]int
	width  int
	list   []LotRow
	wrong  problem.List
}

func (b *lotBook) add(line int, field, format string, args ...any) {
	b.wrong.Add(b.name, line, field, format, args...)
}

func (b *lotBook) header() bool {
	header, err := b.rows.Read()
	if err != nil {
		b.add(1, "", "found %s, want a header: %s", what(err), strings.Join(lotColumns[:lotColumnsWanted], ","))
		return false
	}
	b.column, b.width = map[string]int{}, len(header)
	for i, h := range header {
		h = strings.ToLower(strings.TrimSpace(h))
		if !slices.Contains(lotColumns, h) {
			b.add(1, "", "found column %q, want any of %s", h, strings.Join(lotColumns, ", "))
		} else if _, dup := b.column[h]; dup {
			b.add(1, h, "found this column twice, want it once")
		}
		b.column[h] = i
	}
	for _, c := range lotColumns[:lotColumnsWanted] {
		if _, ok := b.column[c]; !ok {
			b.add(1, "", "found a header without %s, want %s", c, strings.Join(lotColumns[:lotColumnsWanted], ","))
		}
	}
	return len(b.wrong) == 0
}

func (b *lotBook) read() {
	for {
		row, err := b.rows.Read()
		if errors.Is(err, io.EOF) {
			return
		}
		var bad *csv.ParseError
		if errors.As(err, &bad) {
			b.add(bad.Line, "", "found a row that is no CSV (%v), want %s", bad.Err, strings.Join(lotColumns, ","))
			return
		}
		line, _ := b.rows.FieldPos(0)
		if len(row) > b.width && strings.TrimSpace(strings.Join(row[b.width:], "")) != "" {
			b.add(line, "", "found %d cells under %d columns, want a comma between two cells alone; quote a note "+
				"that has one",
				len(row), b.width)
		}
		b.list = append(b.list, b.row(line, func(c string) string {
			if i, ok := b.column[c]; ok && i < len(row) {
				return strings.TrimSpace(row[i])
			}
			return ""
		}))
		if len(b.wrong) >= maxWrong {
			b.add(line, "", "more is wrong further down; mend this first")
			return
		}
	}
}

// row reads a row, of which cell returns the cell of a column.
func (b *lotBook) row(line int, cell func(string) string) LotRow {
	r := LotRow{Site: cell("site"), Species: cell("species")}
	r.Line = line
	r.Lot, r.Stand, r.SeedZone, r.Note = cell("lot"), cell("stand"), cell("seed_zone"), cell("note")
	for i, c := range lotColumns {
		if cell(c) == "" && i < lotColumnsWanted {
			b.add(line, c, "found nothing, want a value in every row")
		}
		if err := problem.CheckText(cell(c), mostNote, false); err != nil {
			b.add(line, c, "%v", err)
		}
	}
	var err error
	if text := cell("date"); text != "" {
		if r.Date, err = civil.Parse(text); err != nil {
			b.add(line, "date", "%v", err)
		}
	}
	if text := cell("what"); text != "" {
		r.What = calendar.LotStep(strings.ToLower(text))
		if !slices.Contains(calendar.LotSteps(), r.What) {
			b.add(line, "what", "found %q, want %s", text, oneOfThese(calendar.LotSteps()))
		}
	}
	has := 1.0
	r.Unit = calendar.LotUnit(strings.ToLower(cell("unit")))
	if is, ok := usLotUnits[r.Unit]; ok {
		r.Unit, has = is.unit, is.has
	} else if r.Unit != "" && !slices.Contains(calendar.LotUnits(), r.Unit) {
		b.add(line, "unit", "found %q, want %s", cell("unit"), lotUnits())
	}
	if text := cell("quantity"); text != "" {
		r.Quantity, err = strconv.ParseFloat(text, 64)
		switch {
		case err != nil || !(r.Quantity >= 0 && r.Quantity < 1e12):
			b.add(line, "quantity", "found %q, want a figure of 0 or more, such as 2.5", text)
		case r.Unit == "":
			b.add(line, "unit", "found a quantity without a unit, want %s", lotUnits())
		case strings.HasPrefix(string(r.Unit), "percent") && r.Quantity > 100:
			b.add(line, "quantity", "found %s percent, want 100 at most", text)
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

// order reports what cannot have been done with a lot: it is of one species and one site, is collected first, and is
// over once it was discarded.
func (b *lotBook) order() {
	byDay := slices.Clone(b.list)
	slices.SortStableFunc(byDay, func(x, y LotRow) int { return int(x.Date - y.Date) })
	first, last := map[string]LotRow{}, map[string]LotRow{}
	for _, r := range byDay {
		begun, known := first[r.Lot]
		switch {
		case !known && r.What != calendar.LotCollected && r.What != calendar.LotTooLate:
			b.add(r.Line, "what", "found lot %s %s before it is collected, want a row with collected first", r.Lot,
				r.What)
		case !known:
		case begun.Species != r.Species || begun.Site != r.Site:
			b.add(r.Line, "lot", "found lot %s of %s at %s, which is of %s at %s on line %d; want another name for "+
				"other seed",
				r.Lot, r.Species, r.Site, begun.Species, begun.Site, begun.Line)
		case last[r.Lot].What == calendar.LotDiscarded || last[r.Lot].What == calendar.LotTooLate:
			b.add(r.Line, "what", "found lot %s %s after it was %s on line %d, want nothing more of it",
				r.Lot, r.What, last[r.Lot].What, last[r.Lot].Line)
		case begun.Date < r.Date-maxLotDays:
			b.add(r.Line, "date", "found lot %s %s more than %d years after it was collected on %s; is the year right?",
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
