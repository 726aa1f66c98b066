package weather

import (
	"bytes"
	"compress/gzip"
	"errors"
	"fmt"
	"io"
	"math"
	"slices"
	"strings"
	"testing"
	"testing/iotest"
	"time"

	"github.com/google/go-cmp/cmp"
	"github.com/google/go-cmp/cmp/cmpopts"

	"treewhen/phenology/civil"
	"treewhen/phenology/problem"
)

var nan = math.NaN()

// sameDays compares temperatures to the millionth of a degree to which they are converted.
var sameDays = cmp.Options{cmpopts.EquateNaNs(), cmpopts.EquateApprox(0, 1e-6)}

func date(s string) civil.Date {
	d, err := civil.Parse(s)
	if err != nil {
		panic(err)
	}
	return d
}

func mustRead(t *testing.T, text string, opts Options) *Record {
	t.Helper()
	r, err := Read(strings.NewReader(text), "a.csv", opts)
	if err != nil {
		t.Fatalf("Read: %v", err)
	}
	return r
}

func wantSeries(t *testing.T, r *Record, first string, days ...Day) {
	t.Helper()
	if diff := cmp.Diff(Series{First: date(first), Days: days}, r.Series, sameDays); diff != "" {
		t.Errorf("series (-want +got):\n%s", diff)
	}
}

// wantNotes compares notes as "kind: file:line: text".
func wantNotes(t *testing.T, r *Record, want ...string) {
	t.Helper()
	var got []string
	for _, n := range r.Notes {
		got = append(got, string(n.Kind)+": "+n.String())
	}
	if diff := cmp.Diff(want, got); diff != "" {
		t.Errorf("notes (-want +got):\n%s", diff)
	}
}

func wantError(t *testing.T, text string, opts Options, want, hint string) {
	t.Helper()
	r, err := Read(strings.NewReader(text), "a.csv", opts)
	if err == nil {
		t.Fatalf("Read gave %v, want the error %q", r.Series, want)
	}
	if err.Error() != want {
		t.Errorf("error:\n got %s\nwant %s", err, want)
	}
	var l problem.List
	if !errors.As(err, &l) {
		t.Fatalf("error is a %T, want a problem.List", err)
	}
	if l[0].Hint != hint {
		t.Errorf("hint %q, want %q", l[0].Hint, hint)
	}
}

func gz(text string) string {
	var b bytes.Buffer
	w := gzip.NewWriter(&b)
	io.WriteString(w, text)
	w.Close()
	return b.String()
}

// oneOfEach is the same two days in each format. Format, text and what the series should be share nothing but the
// temperatures: -12.2 and -1.1, then 0.6 and 8.9 degrees Celsius.
var oneOfEach = []struct {
	format Format
	text   string
}{
	{FormatPlain, "date,tmin_c,tmax_c\n2027-03-09,-12.2,-1.1\n2027-03-10,0.6,8.9\n"},
	{FormatGHCNDly, dly("XXT00000001", 2027, 3, "TMAX", map[int]string{9: "  -11  S", 10: "   89  S"}) +
		dly("XXT00000001", 2027, 3, "TMIN", map[int]string{9: " -122  S", 10: "    6  S"})},
	{FormatGHCNCSV, "XXT00000001,20270309,TMAX,-11,,,S,0700\nXXT00000001,20270309,TMIN,-122,,,S,0700\n" +
		"XXT00000001,20270310,TMAX,89,,,S,0700\nXXT00000001,20270310,TMIN,6,,,S,0700\n"},
	{FormatCanada, canadaHeader + canadaRow("2027-03-09", "-1.1", "", "-12.2", "") + canadaRow("2027-03-10", "8.9", "", "0.6", "")},
	{FormatGridCell, gridHeader + "2027,68,40000.00,0.00,300.00,80.00,-1.10,-12.20,120.00\n2027,69,40200.00,0.00,310.00,80.00,8.90,0.60,130.00\n"},
}

func TestFormatsAgree(t *testing.T) {
	for _, e := range oneOfEach {
		for _, way := range []struct {
			name string
			text string
			opts Options
		}{
			{"as it is", e.text, Options{}},
			{"format named", e.text, Options{Format: e.format}},
			{"unit named", e.text, Options{Unit: Celsius}},
			{"gzip", gz(e.text), Options{}},
			{"gzip in two members", gz(e.text[:40]) + gz(e.text[40:]), Options{}},
			{"byte-order mark", "\ufeff" + e.text, Options{}},
			{"CRLF", strings.ReplaceAll(e.text, "\n", "\r\n"), Options{}},
			{"no last line ending", strings.TrimSuffix(e.text, "\n"), Options{}},
			{"blank line first", "\n" + e.text, Options{}},
			{"comment first", "# from the shed\n" + e.text, Options{}},
		} {
			t.Run(string(e.format)+"/"+way.name, func(t *testing.T) {
				r := mustRead(t, way.text, way.opts)
				if r.Format != e.format || r.Unit != Celsius {
					t.Errorf("format %s and unit %s, want %s and C", r.Format, r.Unit, e.format)
				}
				wantSeries(t, r, "2027-03-09", Day{Min: -12.2, Max: -1.1}, Day{Min: 0.6, Max: 8.9})
				wantNotes(t, r)
			})
		}
	}
}

// A byte at a time, no reader may lean on how the bytes come.
func TestReadByteByByte(t *testing.T) {
	for _, e := range oneOfEach {
		whole := mustRead(t, e.text, Options{})
		slow, err := Read(iotest.OneByteReader(strings.NewReader(e.text)), "a.csv", Options{})
		if err != nil {
			t.Fatalf("%s: %v", e.format, err)
		}
		if diff := cmp.Diff(whole, slow, sameDays); diff != "" {
			t.Errorf("%s: %s", e.format, diff)
		}
	}
}

func TestReaderErrorIsKept(t *testing.T) {
	broken := errors.New("disk on fire")
	for _, before := range []string{"", "date,tmin,tmax\n2027-03-09,-12.2,-1.1\n"} {
		_, err := Read(io.MultiReader(strings.NewReader(before), iotest.ErrReader(broken)), "a.csv", Options{})
		if !errors.Is(err, broken) || !strings.Contains(err.Error(), "a.csv") {
			t.Errorf("after %q: got %v, want it to wrap %v and name the file", before, err, broken)
		}
	}
}

func TestFileTooLarge(t *testing.T) {
	const limit = 1 << 20
	rows := "date,tmin,tmax\n" + strings.Repeat("2027-03-09,1,2\n", limit/15)
	bomb := gz(rows)
	for name, text := range map[string]string{"plain": rows, "gzip bomb": bomb} {
		_, err := read(strings.NewReader(text), "a.csv", Options{}, limit)
		if want := "a.csv: the file is larger than 1 MiB, want less"; err == nil || err.Error() != want {
			t.Errorf("%s (%d bytes): got %v, want %s", name, len(text), err, want)
		}
	}
	if len(bomb) > limit/100 {
		t.Errorf("the bomb has %d bytes, want few", len(bomb))
	}
}

func TestLineTooLong(t *testing.T) {
	head := "date,tmin_c,tmax_c,remark\n2027-03-09,1,2,\n"
	row := "2027-03-10,1,2,"
	fits := head + row + strings.Repeat("x", MaxLine-len(row)-1) + "\n"
	mustRead(t, fits, Options{})
	wantError(t, head+row+strings.Repeat("x", MaxLine-len(row))+"\n", Options{},
		"a.csv:3: found a line longer than 65536 bytes, which no daily temperature file has", "")
	wantError(t, head+row+strings.Repeat("x", 10*MaxLine), Options{},
		"a.csv:3: found a line longer than 65536 bytes, which no daily temperature file has", "")
}

func TestProblemsAreAllToldUpToALimit(t *testing.T) {
	var b strings.Builder
	b.WriteString("date,tmin_c,tmax_c\n")
	for i := range 500 {
		fmt.Fprintf(&b, "%s,cold,1\n", date("2027-01-01")+civil.Date(i))
	}
	_, err := Read(strings.NewReader(b.String()), "a.csv", Options{})
	lines := strings.Split(err.Error(), "\n")
	if len(lines) != 21 {
		t.Fatalf("%d lines, want 20 problems and a count", len(lines))
	}
	if want := `a.csv:21: tmin_c: found "cold", want a number in degrees Celsius such as 12.5, or nothing where it is missing`; lines[19] != want {
		t.Errorf("line 20 of the error:\n got %s\nwant %s", lines[19], want)
	}
	if want := "a.csv:21: the file has 480 problems more, not listed here"; lines[20] != want {
		t.Errorf("last line of the error:\n got %s\nwant %s", lines[20], want)
	}
}

// Only so many notes of a kind, the rest counted, and the days in it add up.
func TestNotesAreCapped(t *testing.T) {
	var b strings.Builder
	b.WriteString("date,tmin_c,tmax_c\n")
	first := date("2000-01-01")
	for i := range 3000 {
		low := 0
		if i%11 == 0 {
			low = 5 // minimum above maximum
		}
		for range 2 { // given twice, and a gap after each
			fmt.Fprintf(&b, "%s,%d,1\n", first+civil.Date(2*i), low)
		}
	}
	r := mustRead(t, b.String(), Options{})
	count := map[NoteKind]int{}
	for _, n := range r.Notes {
		count[n.Kind]++
	}
	want := map[NoteKind]int{NoteGap: maxNotes + 1, NoteDuplicate: maxNotes + 1, NoteReversed: maxNotes + 1}
	if diff := cmp.Diff(want, count); diff != "" {
		t.Errorf("notes by kind (-want +got):\n%s", diff)
	}
	if !slices.ContainsFunc(r.Notes, func(n Note) bool { return n.Text == "2979 gaps more, 2979 days together" }) {
		t.Errorf("no note counts the other 2979 of 2999 gaps: %v", r.Notes)
	}
	if !slices.IsSortedFunc(r.Notes, func(a, b Note) int { return a.Line - b.Line }) {
		t.Error("notes are not in order of line")
	}
}

// A file from the newest day to the oldest, over every year that is read, costs what the days cost.
func TestBackwardsFile(t *testing.T) {
	var b strings.Builder
	b.WriteString("date,tmin_c,tmax_c\n")
	for d := latest; d >= earliest; d-- {
		fmt.Fprintf(&b, "%s,%d,%d\n", d, d%10, d%10+10)
	}
	r := mustRead(t, b.String(), Options{})
	if r.Series.First != earliest || r.Series.Last() != latest {
		t.Fatalf("series covers %v, want %v/%v", r.Series.Span(), earliest, latest)
	}
	for i, d := range r.Series.Days {
		if want := float64((earliest + civil.Date(i)) % 10); d.Min != want || d.Max != want+10 {
			t.Fatalf("%v is %v, want a minimum of %v", earliest+civil.Date(i), d, want)
		}
	}
	wantNotes(t, r, "disorder: a.csv: the rows run from the latest day to the earliest; they were sorted by date")
}

func TestWrongContent(t *testing.T) {
	list := "want the first line of one of the formats that are read: a plain CSV whose header has date, tmin and tmax; " +
		"GHCN-Daily by station, fixed width (.dly); GHCN-Daily, CSV; the daily CSV of Environment and Climate Change Canada; " +
		"the single-pixel daily CSV of the North American 1-km grids"
	unpack := "save or unpack it as text: a CSV file in UTF-8"
	damaged := "the file was damaged, perhaps while it was being written: mend the line, or fetch the file again"
	for _, c := range []struct{ name, text, want, hint string }{
		{"empty", "", "a.csv: the file is empty, want daily temperatures", ""},
		{"empty gzip", gz(""), "a.csv: the file is empty, want daily temperatures", ""},
		{"blank", "\n\n# nothing yet\n", "a.csv: the file has nothing but blank lines and comments, want daily temperatures", ""},
		{"only a mark", "\ufeff", "a.csv: the file has nothing but blank lines and comments, want daily temperatures", ""},
		{"zip", "PK\x03\x04\x14\x00", "a.csv: the file is a zip archive or a spreadsheet, want text", unpack},
		{"UTF-16", "\xff\xfed\x00a\x00t\x00e\x00", "a.csv: the file is in UTF-16, want text", unpack},
		{"binary", "date\x00,tmin,tmax\n\x01\x02", "a.csv: the file is binary, want text", unpack},
		{"binary with line feeds", "\x89PNG\r\n\x1a\n\x00\x00", "a.csv: the file is binary, want text", unpack},
		{"NUL", "date,tmin_c,tmax_c\n2027-03-09,1,2\n\x00\x00\x00\x00\n2027-03-10,1,2\n", "a.csv:3: found a NUL, which no text has, want none", damaged},
		{"NUL far down", "date,tmin_c,tmax_c\n" + strings.Repeat("2027-03-09,1,2\n", 1e5) + "2027-03-10,\x00,2\n", "a.csv:100002: found a NUL, which no text has, want none", damaged},
		{"NUL in gzip", gz("date,tmin_c,tmax_c\n" + strings.Repeat("2027-03-09,1,2\n", 1e5) + "2027-03-10,1,2\x00"), "a.csv:100002: found a NUL, which no text has, want none", damaged},
		{"twice gzip", gz(gz("date")), "a.csv: the file is gzipped twice, want text", unpack},
		{"cut gzip", gz(strings.Repeat("date,tmin,tmax\n", 9))[:20], "a.csv: the file ends in the middle of its gzip data: it was cut short", "fetch it again"},
		{"no gzip behind its mark", "\x1f\x8bdate,tmin,tmax", "a.csv: the file is damaged: its gzip data do not decompress (gzip: invalid header)", "fetch it again"},
		{"prose", "Dear station,\n", `a.csv:1: found "Dear station,", ` + list, ""},
		{"prose after comments", "# c\n\nDear station,\n", `a.csv:3: found "Dear station,", ` + list, ""},
		{"web page", "<!DOCTYPE html>\n", `a.csv:1: found "<!DOCTYPE html>", ` + list, "this is a web page, perhaps the answer to a failed download"},
		{"semicolons", "date;tmin;tmax\n2027-03-09;-1,5;2,5\n", `a.csv:1: found "date;tmin;tmax", ` + list, "separate the columns by commas, and write numbers with decimal points"},
		{"old line endings", "date,tmin,tmax\r2027-03-09,1,2\r",
			"a.csv: the file ends its lines with a carriage return alone, want LF or CRLF", "save it with the line endings of today's systems"},
		{"header only", "date,tmin_c,tmax_c\n", "a.csv: the file has no rows under its header, want one for each day", ""},
	} {
		t.Run(c.name, func(t *testing.T) { wantError(t, c.text, Options{}, c.want, c.hint) })
	}
	wantError(t, "date,tmin,tmax\n", Options{Format: "spreadsheet"},
		`a.csv: the file was to be read in the format "spreadsheet", want one of: auto, plain, ghcn-dly, ghcn-csv, canada-csv and grid-cell-csv`, "")
}

func TestForcedFormatThatIsNot(t *testing.T) {
	text := "a,b\n1,2\n"
	for format, want := range map[Format]string{
		FormatPlain:    `a.csv:1: found the header "a,b", want also date, tmin and tmax`,
		FormatGHCNCSV:  `a.csv:1: found "a,b", want a header with STATION, DATE, TMAX and TMIN`,
		FormatCanada:   `a.csv: the file has no header with Date/Time, Max Temp (°C) and Min Temp (°C)`,
		FormatGridCell: `a.csv: the file has no header with year, yday, tmax (deg c) and tmin (deg c)`,
		FormatGHCNDly: `a.csv:1: found "a,b" (3 characters), want 269 characters: station, year, month, element and 31 values` + "\n" +
			`a.csv:2: found "1,2" (3 characters), want 269 characters: station, year, month, element and 31 values`,
	} {
		wantError(t, text, Options{Format: format}, want, "")
	}
}

func TestYearsOutsideThermometers(t *testing.T) {
	wantError(t, "date,tmin_c,tmax_c\n0207-03-09,1,2\n", Options{}, `a.csv:2: date: found "0207-03-09", want a year from 1700 to 2199`, "")
	r := mustRead(t, "date,tmin_c,tmax_c\n1700-01-01,1,2\n2199-12-31,1,2\n", Options{})
	if got := r.Series.Span(); got != (civil.Span{First: civil.Of(1700, time.January, 1), Last: civil.Of(2199, time.December, 31)}) {
		t.Errorf("series covers %v", got)
	}
}
