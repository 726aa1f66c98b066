package weather

import (
	"bufio"
	"bytes"
	"compress/flate"
	"compress/gzip"
	"errors"
	"fmt"
	"io"
)

// Options say what the user knows of a file. The zero Options let the content decide.
type Options struct {
	Format  Format // "" is FormatAuto
	Unit    Unit   // for a file that does not name its unit; one that names another is refused
	Station string // which station to read from a file of several: its identifier or its name, in any case
}

// Limits of what is read, so that a hostile or mistaken file costs a bounded amount of time and memory.
const (
	MaxFileSize = 512 << 20 // bytes, after decompression: thousands of station-years of the widest format
	MaxLine     = 64 << 10  // bytes, with its line ending; also of a row whose quoted cells hold line breaks
)

// Read reads one file of daily temperatures, gzipped or not and of [MaxFileSize] unpacked at most, in any [Format].
// Its content, not its name, says which it is; name is only what notes and errors call it.
//
// Whatever the file's order, unit and gaps, the record's series is in order of days, in degrees Celsius, with a
// [Missing] day wherever the file has none, and runs from the first to the last day with a temperature. What had to
// be decided or left out on the way is in the record's notes. A file whose rows are all empty gives an empty series
// and a note: agencies publish such files on the first days of a year.
//
// What cannot be read is a [problem.List], with the lines to blame; an error of r itself is wrapped. With an error,
// the record is nil.
func Read(r io.Reader, name string, opts Options) (*Record, error) {
	return read(r, name, opts, MaxFileSize)
}

func read(r io.Reader, name string, opts Options, limit int64) (*Record, error) {
	f := newFile(name, opts)
	defer f.release()
	if err := f.open(r, limit); err != nil {
		return nil, err
	}
	format := f.format()
	if len(f.problems.list) > 0 {
		return nil, f.problems.err()
	}
	s, ok := f.readAs(format)
	if !ok {
		f.problems.add(0, "", "", "the file was to be read in the format %q, want one of: %s", string(format),
			formatNames())
		return nil, f.problems.err()
	}
	if f.src.err != nil { // rows broken by the break itself are not worth a line
		return nil, f.sourceErr(f.src.err)
	}
	f.finish(s)
	if err := f.problems.err(); err != nil {
		return nil, err
	}
	return &f.record, nil
}

// formats are the formats in the order in which errors list them. A format's reader puts a file's days where [file]
// collects them and says in which unit it found them.
var formats = []struct {
	format Format
	about  string
	read   func(*file) scale
}{
	{FormatPlain, "a plain CSV whose header has date, tmin and tmax", readPlain},
	{FormatGHCNDly, "GHCN-Daily by station, fixed width (.dly)", readDly},
	{FormatGHCNCSV, "GHCN-Daily, CSV", readGHCNCSV},
	{FormatCanada, "the daily CSV of Environment and Climate Change Canada", readCanada},
	{FormatGridCell, "the single-pixel daily CSV of the North American 1-km grids", readGridCell},
}

// readAs reads the file in a format; false if there is no such format.
func (f *file) readAs(format Format) (scale, bool) {
	for _, known := range formats {
		if known.format == format {
			f.record.Format = format
			return known.read(f), true
		}
	}
	return scale{}, false
}

// file is a file while it is being read.
type file struct {
	name     string
	opts     Options
	holds    string // what is wanted in it
	src      *source
	gzipped  bool
	rows     int // of data, also those that turned out broken
	problems problems
	notes    notes
	days     days
	stations stations
	record   Record
}

func newFile(name string, opts Options) *file {
	f := &file{name: name, opts: opts, holds: "daily temperatures", record: Record{Name: name, Unit: Celsius}}
	f.problems.file, f.notes.file = name, name
	f.days.minName, f.days.maxName = "tmin", "tmax"
	f.stations.want = opts.Station
	return f
}

// release gives back what a file needs only while it is being read.
func (f *file) release() {
	f.days.release()
	if f.src != nil {
		buffers.Put(f.src.lent)
		f.src = nil
	}
}

// open finds the text in r: behind gzip and a byte-order mark, and refuses what is no text.
func (f *file) open(r io.Reader, limit int64) error {
	b := bufio.NewReaderSize(r, 32<<10)
	if magic, _ := b.Peek(2); bytes.Equal(magic, []byte{0x1f, 0x8b}) {
		f.gzipped = true
		z, err := gzip.NewReader(b)
		if err != nil {
			return f.sourceErr(err)
		}
		f.src = newSource(z, limit)
	} else {
		f.src = newSource(b, limit)
	}
	head := f.src.peek()
	if what := notText(head); what != "" {
		f.problems.add(0, "", "save or unpack it as text: a CSV file in UTF-8", "the file is %s, want text", what)
		return f.problems.err()
	}
	if f.src.err != nil {
		return f.sourceErr(f.src.err)
	}
	if len(head) == 0 {
		f.problems.add(0, "", "", "the file is empty, want %s", f.holds)
	}
	if i := bytes.IndexByte(head, '\r'); i >= 0 && i < len(head)-1 && bytes.IndexByte(head, '\n') < 0 {
		f.problems.add(0, "", "save it with the line endings of today's systems",
			"the file ends its lines with a carriage return alone, want LF or CRLF")
	}
	if bytes.HasPrefix(head, utf8BOM) {
		f.src.skip(len(utf8BOM))
	}
	return f.problems.err()
}

var utf8BOM = []byte{0xef, 0xbb, 0xbf}

// signatures are the first bytes of what people most often hand over instead of text.
var signatures = []struct{ magic, what string }{
	{"PK\x03\x04", "a zip archive or a spreadsheet"},
	{"\xd0\xcf\x11\xe0", "an old spreadsheet"},
	{"%PDF", "a PDF document"},
	{"\x1f\x8b", "gzipped twice"},
	{"BZh", "compressed with bzip2"},
	{"\xfd7zXZ", "compressed with xz"},
	{"\x28\xb5\x2f\xfd", "compressed with zstd"},
	{"\xff\xfe", "in UTF-16"},
	{"\xfe\xff", "in UTF-16"},
	{"\x89HDF", "in HDF5 or NetCDF"},
	{"CDF\x01", "in NetCDF"},
	{"CDF\x02", "in NetCDF"},
}

// notText says what a file that is no text is; "" for text, even if a NUL got into a line of it after the first.
func notText(head []byte) string {
	for _, s := range signatures {
		if bytes.HasPrefix(head, []byte(s.magic)) {
			return s.what
		}
	}
	before, _, found := bytes.Cut(head, []byte{0})
	control := func(r rune) bool { return r < ' ' && r != '\t' && r != '\r' && r != '\n' }
	if found && (bytes.IndexByte(before, '\n') < 0 || bytes.ContainsFunc(before, control)) {
		return "binary"
	}
	return ""
}

// sourceErr tells of what stopped the reading before the file's end.
func (f *file) sourceErr(err error) error {
	var corrupt flate.CorruptInputError
	var tooLarge sizeError
	var nul nulError
	f.problems.list, f.problems.more = nil, 0
	switch {
	case errors.As(err, &tooLarge):
		f.problems.add(0, "", "split it by station or by years", "the file is larger than %s, want less",
			size(int64(tooLarge)))
	case errors.As(err, &nul):
		f.problems.add(int(nul), "", "the file was damaged, perhaps while it was being written: mend the line, or "+
			"fetch the file again", "found a NUL, which no text has, want none")
	case errors.Is(err, errLongLine):
		f.problems.add(f.src.line, "", "", "found a line longer than %d bytes, which no daily temperature file has",
			MaxLine)
	case f.gzipped && errors.Is(err, io.ErrUnexpectedEOF):
		f.problems.add(0, "", "fetch it again", "the file ends in the middle of its gzip data: it was cut short")
	case f.gzipped && (errors.Is(err, gzip.ErrChecksum) || errors.Is(err, gzip.ErrHeader) || errors.As(err, &corrupt)):
		f.problems.add(0, "", "fetch it again", "the file is damaged: its gzip data do not decompress (%v)", err)
	default:
		return fmt.Errorf("%s: %w", f.name, err)
	}
	return f.problems.err()
}

func size(n int64) string {
	if n >= 1<<20 {
		return fmt.Sprintf("%d MiB", n>>20)
	}
	return fmt.Sprintf("%d bytes", n)
}

// finish turns what was collected into the record, in degrees Celsius.
func (f *file) finish(s scale) {
	if !f.stations.check(f) {
		return
	}
	if len(f.problems.list) > 0 && s == (scale{}) {
		return // the unit was never decided
	}
	if f.rows == 0 && len(f.problems.list) == 0 {
		f.problems.add(0, "", "", "the file has no rows under its header, want one for each day")
		return
	}
	f.record.Unit = s.unit
	f.record.Series = f.days.series(f, s)
	f.record.Notes = f.notes.all()
	f.record.Warnings = f.days.warnings(f.name)
}

// celsiusOnly is the scale of a format that fixes its unit; asking for another is a mistake worth telling.
func (f *file) celsiusOnly(s scale) scale {
	if f.opts.Unit == Fahrenheit {
		f.problems.add(0, "", "leave the unit out", "the file is in %s by its format, but degrees Fahrenheit were "+
			"asked for", s)
	}
	return s
}
