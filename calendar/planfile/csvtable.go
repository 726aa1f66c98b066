package planfile

import (
	"bytes"
	"encoding/csv"
	"errors"
	"fmt"
	"io"
	"slices"
	"strings"

	"treewhen/phenology/problem"
)

// csvTable is a CSV file with a header that names its columns, in any order. Columns that it does not know are left
// alone.
type csvTable struct {
	what     string   // "an observations file"
	columns  []string // the first wanted ones must be there
	wanted   int
	largest  int    // bytes
	wants    string // the header in messages
	optional string // and what may be in it beside
}

// cells is a row of a table.
type cells struct {
	line  int
	of    func(column string) string // trimmed; "" where there is none
	wrong func(column, format string, args ...any)
}

// read calls row for every row. Everything wrong with the file comes back at once, as a [problem.List].
func (t csvTable) read(r io.Reader, name string, row func(cells)) error {
	data, err := io.ReadAll(io.LimitReader(r, int64(t.largest)+1))
	if err != nil {
		return fmt.Errorf("%s: %w", name, err)
	}
	var wrong problem.List
	if len(data) > t.largest {
		wrong.Add(name, 0, "", "found more than %d bytes, want %s of %d at most", t.largest, t.what, t.largest)
		return wrong.Err()
	}
	rows := csv.NewReader(bytes.NewReader(bytes.TrimPrefix(data, []byte("\xef\xbb\xbf"))))
	rows.FieldsPerRecord = -1
	rows.TrimLeadingSpace = true
	rows.ReuseRecord = true
	header, err := rows.Read()
	if err != nil {
		wrong.Add(name, 1, "", "found %s, want a header: %s", what(err), t.wants)
		return wrong.Err()
	}
	at := t.header(header, name, &wrong)
	if len(wrong) > 0 {
		return wrong.Err()
	}
	width := len(header) // the reader uses the row again
	for {
		got, err := rows.Read()
		if errors.Is(err, io.EOF) {
			return wrong.Err()
		}
		var bad *csv.ParseError
		if errors.As(err, &bad) {
			wrong.Add(name, bad.Line, "", "found a row that is no CSV (%v), want %s", bad.Err, t.wants)
			return wrong.Err()
		}
		line, _ := rows.FieldPos(0)
		c := cells{line: line, of: func(column string) string {
			if i, ok := at[column]; ok && i < len(got) {
				return strings.TrimSpace(got[i])
			}
			return ""
		}, wrong: func(column, format string, args ...any) { wrong.Add(name, line, column, format, args...) }}
		row(c)
		if len(got) > width && strings.TrimSpace(strings.Join(got[width:], "")) != "" {
			c.wrong("", "found %d cells under %d columns (%.60q is left over), want a comma between two cells alone; "+
				"quote a note that has one", len(got), width, got[width])
		}
		for _, column := range t.columns {
			if err := problem.CheckText(c.of(column), mostNote, false); err != nil {
				c.wrong(column, "%v", err)
			}
		}
		if len(wrong) >= maxWrong {
			c.wrong("", "more is wrong further down; mend this first")
			return wrong.Err()
		}
	}
}

// header finds the columns.
func (t csvTable) header(header []string, name string, wrong *problem.List) map[string]int {
	at := map[string]int{}
	for i, h := range header {
		h = strings.ToLower(strings.TrimSpace(h))
		if _, dup := at[h]; dup && slices.Contains(t.columns, h) {
			wrong.Add(name, 1, h, "found this column twice, want it once")
		}
		at[h] = i
	}
	var missing []string
	for _, c := range t.columns[:t.wanted] {
		if _, ok := at[c]; !ok {
			missing = append(missing, c)
		}
	}
	if len(missing) > 0 {
		wrong.Add(name, 1, "", "found a header without %s: %q, want %s%s", strings.Join(missing, ", "),
			strings.Join(header, ","), t.wants, t.optional)
	}
	return at
}

// mostNote is how long a note or any other cell may be, in characters.
const mostNote = 1000

// maxWrong is how many problems of a file are listed.
const maxWrong = 20

func what(err error) string {
	if errors.Is(err, io.EOF) {
		return "an empty file"
	}
	return err.Error()
}
