package weather

import "bytes"

// maxRowLines is how many lines a row may span through line breaks in quoted cells; a row of more is a quotation mark
// that was never closed.
const maxRowLines = 100

// rows splits a source into rows of cells as RFC 4180 (2005) describes CSV, section 2, with cells separated by commas
// and possibly quoted. Beyond it, line endings may be LF, blank lines and lines that start with # are passed over,
// blanks before an opening quotation mark are ignored, and a quotation mark inside an unquoted cell is itself.
type rows struct {
	f     *file
	cells [][]byte // of the current row, good until the next
	line  int      // its first line
}

// next goes on to the next row that is well formed; the others are problems.
func (r *rows) next() bool {
	src := r.f.src
	for src.next() {
		record := src.record()
		if len(record) == 0 || record[0] == '#' || len(bytes.TrimSpace(record)) == 0 {
			continue
		}
		var state splitState
		r.line = src.line
		r.cells, state = split(record, r.cells[:0])
		for n := 1; state == openQuote; n++ {
			if n == maxRowLines || !src.extend() {
				if src.err == nil || src.err == errLongLine {
					src.err = nil
					r.f.problems.add(r.line, "", "", "found a quotation mark that is never closed, want one at the "+
						"cell's end")
				}
				return false
			}
			r.cells, state = split(src.record(), r.cells[:0])
		}
		if state == afterQuote {
			r.f.rows++
			r.f.problems.add(r.line, "", "", "found text between a closing quotation mark and the next comma, want "+
				"none")
			continue
		}
		return true
	}
	return false
}

type splitState int

const (
	wellFormed splitState = iota
	openQuote             // a quoted cell does not end
	afterQuote            // something stands between a quoted cell's end and the comma
)

// split appends a record's cells to cells. It changes no byte of record.
func split(record []byte, cells [][]byte) ([][]byte, splitState) {
	if bytes.IndexByte(record, '"') < 0 { // most rows of most files
		from := 0
		for i, c := range record {
			if c == ',' {
				cells = append(cells, record[from:i])
				from = i + 1
			}
		}
		return append(cells, record[from:]), wellFormed
	}
	for {
		if cell := bytes.TrimLeft(record, " \t"); len(cell) > 0 && cell[0] == '"' {
			value, rest, ok := quoted(cell[1:])
			if !ok {
				return cells, openQuote
			}
			cells = append(cells, value)
			rest = bytes.TrimLeft(rest, " \t")
			if len(rest) == 0 {
				return cells, wellFormed
			}
			if rest[0] != ',' {
				return cells, afterQuote
			}
			record = rest[1:]
			continue
		}
		i := bytes.IndexByte(record, ',')
		if i < 0 {
			return append(cells, record), wellFormed
		}
		cells = append(cells, record[:i])
		record = record[i+1:]
	}
}

// quoted splits what follows an opening quotation mark into the cell's value and what follows its closing one.
func quoted(s []byte) (value, rest []byte, ok bool) {
	doubled := false
	for i := 0; i < len(s); i++ {
		j := bytes.IndexByte(s[i:], '"')
		if j < 0 {
			break
		}
		i += j
		if i+1 < len(s) && s[i+1] == '"' {
			doubled = true
			i++
			continue
		}
		value, rest = s[:i], s[i+1:]
		if doubled {
			value = bytes.ReplaceAll(value, []byte(`""`), []byte(`"`))
		}
		return value, rest, true
	}
	return nil, nil, false
}

// ofStation goes on to the next row that holds anything, has as many cells as the header, and is of the station that is
// read. Id and name are the columns in which rows say of which station they are, -1 for none.
func (r *rows) ofStation(header, id, name int) bool {
	for r.next() {
		if r.blank() {
			continue
		}
		r.f.rows++
		if !r.wide(header) {
			continue
		}
		if id < 0 || r.f.stations.take(trim(r.cells[id]), trim(cell(r.cells, name))) {
			return true
		}
		if r.f.stations.hopeless() {
			return false
		}
	}
	return false
}

// blank reports whether no cell of the row holds anything, as in the rows that spreadsheets leave below a table.
func (r *rows) blank() bool {
	for _, c := range r.cells {
		if len(bytes.TrimSpace(c)) > 0 {
			return false
		}
	}
	return true
}

// wide reports whether the row has as many cells as the header; if not, that is a problem.
func (r *rows) wide(header int) bool {
	if len(r.cells) == header {
		return true
	}
	hint := ""
	if len(r.cells) > header {
		hint = "a decimal comma cuts a number in two: export the file with decimal points"
	}
	r.f.problems.add(r.line, "", hint, "found %s, want the header's %d", plural(len(r.cells), "column"), header)
	return false
}
