package planfile

import (
	"bufio"
	"bytes"
	"cmp"
	"encoding/csv"
	"errors"
	"fmt"
	"io"
	"slices"
	"strings"

	"treewhen/phenology/civil"
	"treewhen/phenology/problem"
)

// csvTable is a CSV file with a header that names its columns, in any order.
type csvTable struct {
	what     string   // such as "an observations file"
	largest  int      // bytes
	columns  []string // that are read
	must     int      // so many of the first must be there
	wants    string   // the header in messages
	wantsRow string   // and a row, where the header does not say it best
	optional string   // and what may be in it beside
	strict   bool     // another column is wrong; else it is left alone
}

// csvFile is a table as it is read, row by row. What is wrong with it is collected.
type csvFile struct {
	csvTable
	name   string
	rows   *csv.Reader
	at     map[string]int // the columns that are there
	width  int            // of the header
	row    []string       // used again for the next
	line   int            // of the row
	wrong  problem.List
	failed error // of the file system
}

// open reads a whole file, and its header.
func (t csvTable) open(r io.Reader, name string) *csvFile {
	f := &csvFile{csvTable: t, name: name}
	data, err := io.ReadAll(io.LimitReader(r, int64(t.largest)+1))
	switch {
	case err != nil:
		f.failed = fmt.Errorf("%s: %w", name, err)
	case len(data) > t.largest:
		f.bad("", "found more than %d bytes, want %s of %d at most", t.largest, t.what, t.largest)
	default:
		f.lacks(f.header(bytes.NewReader(data)))
	}
	return f
}

// header reads the header and finds the columns; nil where there is none.
func (f *csvFile) header(r io.Reader) []string {
	const byteOrderMark = "\ufeff"
	buffered := bufio.NewReader(r)
	if begins, _ := buffered.Peek(len(byteOrderMark)); string(begins) == byteOrderMark {
		buffered.Discard(len(byteOrderMark)) // never fails: they are in the buffer
	}
	f.rows = csv.NewReader(buffered)
	f.rows.FieldsPerRecord = -1
	f.rows.TrimLeadingSpace = true
	f.rows.ReuseRecord = true
	f.line = 1
	header, err := f.rows.Read()
	switch {
	case errors.Is(err, io.EOF):
		f.bad("", "found an empty file, want a header: %s", f.wants)
		return nil
	case err != nil:
		f.bad("", "found %v, want a header: %s", err, f.wants)
		return nil
	}
	f.at, f.width = map[string]int{}, len(header)
	for i, h := range header {
		h = strings.ToLower(strings.TrimSpace(h))
		if known := slices.Contains(f.columns, h); f.strict && !known {
			f.bad("", "found column %q, want any of %s", h, strings.Join(f.columns, ", "))
		} else if known && f.has(h) {
			f.bad(h, "found this column twice, want it once")
		}
		f.at[h] = i
	}
	return header
}

// lacks notes what a header is without: columns that must be there, and what else is missing.
func (f *csvFile) lacks(header []string, more ...string) {
	missing := append(slices.DeleteFunc(slices.Clone(f.columns[:f.must]), f.has), more...)
	if header != nil && len(missing) > 0 {
		f.bad("", "found a header without %s: %.200q, want %s%s", strings.Join(missing, ", "),
			strings.Join(header, ","), f.wants, f.optional)
	}
}

// has reports whether there is a column.
func (f *csvFile) has(column string) bool {
	_, ok := f.at[column]
	return ok
}

// read goes on to the next row. It returns false where there is none, or too much is wrong to go on.
func (f *csvFile) read() bool {
	switch {
	case f.failed != nil || f.row == nil && len(f.wrong) > 0: // it has no header
		return false
	case len(f.wrong) >= maxWrong:
		f.bad("", "more is wrong further down; mend this first")
		return false
	}
	var err error
	f.row, err = f.rows.Read()
	var bad *csv.ParseError
	switch {
	case errors.Is(err, io.EOF):
		return false
	case errors.As(err, &bad):
		f.line = bad.Line
		f.bad("", "found a row that is no CSV (%v), want %s", bad.Err, cmp.Or(f.wantsRow, f.wants))
		return false
	case err != nil:
		f.failed = fmt.Errorf("%s: %w", f.name, err)
		return false
	}
	f.line, _ = f.rows.FieldPos(0)
	return true
}

// next is read, and looks at the cells of the row before.
func (f *csvFile) next() bool {
	if f.row != nil {
		if more := f.row[min(f.width, len(f.row)):]; strings.TrimSpace(strings.Join(more, "")) != "" {
			f.bad("", "found %d cells under %d columns (%.60q is left over), want a comma between two cells alone; "+
				"quote a note that has one", len(f.row), f.width, more[0])
		}
		for _, column := range f.columns {
			if err := problem.CheckText(f.of(column), mostNote, false); err != nil {
				f.bad(column, "%v", err)
			}
		}
	}
	return f.read()
}

// of returns the cell of a column in the row, trimmed; "" where there is none.
func (f *csvFile) of(column string) string {
	if i, ok := f.at[column]; ok && i < len(f.row) {
		return strings.TrimSpace(f.row[i])
	}
	return ""
}

// date returns the row's date.
func (f *csvFile) date() (d civil.Date) {
	if text := f.of("date"); text != "" {
		var err error
		if d, err = civil.Parse(text); err != nil {
			f.bad("date", "%v", err)
		}
	}
	return d
}

// required notes each of the columns that is empty in the row.
func (f *csvFile) required(columns ...string) {
	for _, column := range columns {
		if f.of(column) == "" {
			f.bad(column, "found nothing, want a value in every row")
		}
	}
}

// bad notes what is wrong with a column of the row, or with the row, or the header.
func (f *csvFile) bad(column, format string, args ...any) {
	f.wrong.Add(f.name, f.line, column, format, args...)
}

// err returns everything that is wrong with the file, as a [problem.List], or the error of the file system.
func (f *csvFile) err() error {
	if f.failed != nil {
		return f.failed
	}
	return f.wrong.Err()
}

// mostNote is how long a note or any other cell may be, in characters.
const mostNote = 1000

// maxWrong is how many problems of a file are listed.
const maxWrong = 20
