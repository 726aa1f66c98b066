package weather

import (
	"bytes"
	"encoding/binary"
	"math"
	"time"

	"treewhen/phenology/civil"
)

// quick reads the rows that nearly every plain file consists of, straight from the buffer: no quotes, no blanks, a
// date in its place, plain numbers or nothing. Whatever else a row has, it and its problems are left to [plain.row];
// quick stops there, and before what the buffer does not hold whole.
type quick struct {
	columns    []role // of the header
	month      uint64 // "YYYY-MM-" of the row before, as it is written
	monthFirst civil.Date
	monthDays  uint
}

// quickColumns says what each column is for quick.
func (p *plain) quickColumns() []role {
	columns := make([]role, p.width)
	columns[p.date], columns[p.min], columns[p.max] = roleDate, roleMin, roleMax
	if p.flags >= 0 {
		columns[p.flags] = roleFlags
	}
	return columns
}

// read goes on as far as it can.
func (q *quick) read(f *file) {
	src := f.src
	if src.err != nil {
		return
	}
	end := bytes.LastIndexByte(src.buf[src.pos:src.end], '\n') + 1
	text := src.buf[src.pos : src.pos+end]
	for len(text) > 0 {
		d, low, high, size := q.row(text)
		if size == 0 {
			break
		}
		text = text[size:]
		src.pos += size
		src.lines++
		f.rows++
		if !f.days.putNext(d, src.lines, low, high) {
			f.days.put(f, d, src.lines, low, high, 0)
		}
	}
}

// row reads the row that text begins with, and says how many bytes it takes, 0 if it is none for quick. Text ends
// with a line feed, at which numbers and words end too.
func (q *quick) row(text []byte) (d civil.Date, low, high float64, size int) {
	i := 0
	for k, column := range q.columns {
		if k > 0 {
			if text[i] != ',' {
				return 0, 0, 0, 0
			}
			i++
		} else if column != roleDate && text[0] == '#' {
			return 0, 0, 0, 0
		}
		switch column {
		case roleDate:
			if len(text) < i+10 {
				return 0, 0, 0, 0
			}
			if month := binary.LittleEndian.Uint64(text[i:]); month != q.month || q.monthDays == 0 {
				if !q.turn(text[i : i+10]) {
					return 0, 0, 0, 0
				}
			}
			day := uint(text[i+8]-'0')*10 + uint(text[i+9]-'0')
			if text[i+8]-'0' > 9 || text[i+9]-'0' > 9 || day-1 >= q.monthDays {
				return 0, 0, 0, 0
			}
			d = q.monthFirst + civil.Date(day-1)
			i += 10
		case roleMin, roleMax:
			v, n := quickNumber(text[i:])
			if n < 0 {
				return 0, 0, 0, 0
			}
			if column == roleMin {
				low = v
			} else {
				high = v
			}
			i += n
		case roleFlags:
		default:
			for ; text[i] != ',' && text[i] != '\n'; i++ {
				if text[i] == '"' {
					return 0, 0, 0, 0
				}
			}
			if i > 0 && text[i] == '\n' && text[i-1] == '\r' {
				i--
			}
		}
	}
	if text[i] == '\r' {
		i++
	}
	if text[i] != '\n' || i >= MaxLine {
		return 0, 0, 0, 0
	}
	return d, low, high, i + 1
}

// turn goes on to the month of a date, and reports whether it is one.
func (q *quick) turn(cell []byte) bool {
	year, month, _, ok := civil.Split(cell)
	if !ok || month < 1 || month > 12 || year < earliest.Year() || year > latest.Year() {
		return false
	}
	q.month = binary.LittleEndian.Uint64(cell)
	q.monthFirst, q.monthDays = civil.Of(year, time.Month(month), 1), uint(daysIn(year, time.Month(month)))
	return true
}

// quickNumber reads the number that text begins with, or nothing as NaN, as [parseNumber] does, and says how many
// bytes it takes, a negative number if it is none of the plain ones.
func quickNumber(text []byte) (v float64, size int) {
	i := 0
	negative := text[0] == '-'
	if negative {
		i = 1
	}
	n, digits := 0, i
	for ; text[i]-'0' <= 9; i++ {
		n = n*10 + int(text[i]-'0')
	}
	digits, fraction := i-digits, 0
	if text[i] == '.' {
		from := i + 1
		for i++; text[i]-'0' <= 9; i++ {
			n = n*10 + int(text[i]-'0')
		}
		fraction = i - from
	}
	digits += fraction
	switch {
	case digits > 15:
		return 0, -1
	case digits == 0:
		if i == 0 {
			return math.NaN(), 0
		}
		return 0, -1
	}
	v = float64(n)
	if fraction > 0 {
		v /= powersOfTen[fraction]
	}
	if negative {
		v = -v
	}
	return v, i
}
