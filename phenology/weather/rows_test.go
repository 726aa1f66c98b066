package weather

import (
	"encoding/csv"
	"io"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
	"pgregory.net/rapid"
)

// splitAll reads a text's rows, and the line each begins on.
func splitAll(text string) (cells [][]string, lines []int, f *file) {
	f = newFile("a.csv", Options{})
	f.src = newSource(strings.NewReader(text), MaxFileSize)
	r := &rows{f: f}
	for r.next() {
		var row []string
		for _, c := range r.cells {
			row = append(row, string(c))
		}
		cells, lines = append(cells, row), append(lines, r.line)
	}
	return cells, lines, f
}

// Whatever encoding/csv accepts, the rows here are the same and so are their lines.
func TestRowsAgreeWithEncodingCSV(t *testing.T) {
	piece := rapid.SampledFrom([]string{"a", "-1.5", ",", ",", "\n", "\r\n", `"`, `""`, "\"x,\ny\"", " ", "é", ""})
	rapid.Check(t, func(t *rapid.T) {
		text := strings.Join(rapid.SliceOfN(piece, 0, 40).Draw(t, "pieces"), "")
		r := csv.NewReader(strings.NewReader(text))
		r.FieldsPerRecord = -1
		var want [][]string
		var wantLines []int
		for {
			row, err := r.Read()
			if err == io.EOF {
				break
			}
			if err != nil {
				t.Skip("not CSV to encoding/csv")
			}
			if len(row) == 1 && strings.TrimSpace(row[0]) == "" {
				continue // a blank line, or as good as one
			}
			line, _ := r.FieldPos(0)
			want, wantLines = append(want, row), append(wantLines, line)
		}
		got, lines, f := splitAll(text)
		// A lone quoted nothing is a row to one and blank to the other; both are passed over by every format.
		var kept [][]string
		var keptLines []int
		for i, row := range got {
			if len(row) == 1 && strings.TrimSpace(row[0]) == "" {
				continue
			}
			for j := range row {
				row[j] = strings.ReplaceAll(row[j], "\r\n", "\n") // as encoding/csv does
			}
			kept, keptLines = append(kept, row), append(keptLines, lines[i])
		}
		if len(f.problems.list) > 0 {
			t.Fatalf("%q: %v", text, f.problems.list)
		}
		if diff := cmp.Diff(want, kept); diff != "" {
			t.Fatalf("%q (-encoding/csv +here):\n%s", text, diff)
		}
		if diff := cmp.Diff(wantLines, keptLines); diff != "" {
			t.Fatalf("%q: lines (-encoding/csv +here):\n%s", text, diff)
		}
	})
}
