package weather

import (
	"fmt"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
	"github.com/google/go-cmp/cmp/cmpopts"
	"pgregory.net/rapid"
)

// A file reads the same whether its rows are taken straight from the buffer or, since every cell of it is quoted, one cell
// after the other: the same days, notes, warnings and errors, down to their lines.
func TestQuickRowsReadAsQuotedOnes(t *testing.T) {
	number := rapid.OneOf(
		rapid.StringMatching(`-?[0-9]{1,2}(\.[0-9]{0,2})?`), rapid.StringMatching(`[+-]?[0-9]{0,17}(\.[0-9]{0,17})?`),
		rapid.SampledFrom([]string{"", "NA", "nan", "-0", "-", ".", "-.5", "5.", "1e1", " 3", "3 ", "cold", "999", "0x1", "1_0", "−3"}))
	day := rapid.OneOf(
		rapid.StringMatching(`2027-0[1-3]-[0-2][0-9]`), rapid.StringMatching(`20[0-9]{2}-[01][0-9]-[0-3][0-9]`),
		rapid.SampledFrom([]string{"", "2027-02-29", "2028-02-29", "2027-13-01", "1699-12-31", "2027-3-09", "2027-03-9x", "2027/03/09", "# x", "2027-03-09T"}))
	word := rapid.SampledFrom([]string{"", "x", "estimated", "a b", "\r", "#", "2027-01-01"})
	rapid.Check(t, func(t *rapid.T) {
		columns := rapid.Permutation([]string{"date", "tmin_c", "tmax_c", "remark", "flags"}[:rapid.IntRange(3, 5).Draw(t, "columns")]).Draw(t, "header")
		header := strings.Join(columns, ",")
		bare, quoted := header+"\n", header+"\n"
		end := rapid.SampledFrom([]string{"\n", "\r\n"}).Draw(t, "line ending")
		for range rapid.IntRange(0, 30).Draw(t, "rows") {
			var cells []string
			for _, c := range columns {
				from := word
				switch c {
				case "date":
					from = day
				case "tmin_c", "tmax_c":
					from = number
				}
				cells = append(cells, from.Draw(t, c))
			}
			if strings.HasPrefix(cells[0], "#") {
				cells[0] = "" // a comment, which a quotation mark would make a row
			}
			if rapid.IntRange(0, 5).Draw(t, "cut") == 0 {
				cells = cells[:len(cells)-1]
			}
			if strings.Join(cells, "") == "" || strings.HasSuffix(cells[len(cells)-1], "\r") {
				continue
			}
			bare += strings.Join(cells, ",") + end
			for i, c := range cells {
				cells[i] = `"` + c + `"`
			}
			quoted += strings.Join(cells, ",") + end
		}
		got, gotErr := Read(strings.NewReader(bare), "a.csv", Options{})
		want, wantErr := Read(strings.NewReader(quoted), "a.csv", Options{})
		if fmt.Sprint(gotErr) != fmt.Sprint(wantErr) {
			t.Fatalf("%q\ngot %v\nwant %v", bare, gotErr, wantErr)
		}
		if diff := cmp.Diff(want, got, cmpopts.EquateNaNs()); diff != "" {
			t.Fatalf("%s\n(-quoted +bare):\n%s", bare, diff)
		}
	})
}

// Rows of which the buffer holds a part, and days on both sides of a block's edge, are whole.
func TestQuickRowsAcrossBuffers(t *testing.T) {
	s := inventedWeather(5, earliest, 90)
	text := plainFile(s, "date,tmin_c,tmax_c")
	if len(text) < 2*bufferSize {
		t.Fatalf("the file has %d bytes, want several buffers of %d", len(text), bufferSize)
	}
	r := mustRead(t, text, Options{})
	if diff := cmp.Diff(s, r.Series); diff != "" {
		t.Error(diff)
	}
	wantNotes(t, r)
	wantWarnings(t, r)
}
