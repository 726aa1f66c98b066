package busy

import (
	"bytes"
	"fmt"
	"io"

	"treewhen/calendar/contentline"
	"treewhen/phenology/civil"
	"treewhen/phenology/problem"
)

// The limits of what is read. A school's calendar of several years is a tenth of each.
const (
	MaxBytes   = 32 << 20 // of a file
	MaxEvents  = 100_000  // components
	maxTimes   = 500_000  // times of events within the days asked for
	maxLine    = 256 << 10
	maxParams  = 32   // of a property, and their values
	maxProps   = 5000 // kept of a component
	maxZones   = 500
	maxChanges = 200     // STANDARD and DAYLIGHT components of a zone
	maxOnsets  = 100_000 // changes of the clocks that all zones of a file make until [zoneHorizon]
	maxWrong   = 20      // problems listed
)

// Read reads the days of span in a calendar file of [MaxBytes] at most. Everything wrong with the file comes back
// at once, as a [problem.List]. What an event takes is decided by these words first, then by the rules that are built
// in.
func (w Words) Read(r io.Reader, name string, span civil.Span) (*Diary, error) {
	data, err := io.ReadAll(io.LimitReader(r, MaxBytes+1))
	if err != nil {
		return nil, fmt.Errorf("%s: %w", name, err)
	}
	f := &file{name: name, zones: map[string]fileZone{}, known: map[string]zone{}, judge: newJudge(w)}
	if len(data) > MaxBytes {
		f.wrong.Add(name, 0, "", "found more than %d MiB, want a calendar of %d MiB at most", MaxBytes>>20,
			MaxBytes>>20)
		return nil, f.wrong.Err()
	}
	f.read(data)
	if err := f.wrong.Err(); err != nil {
		return nil, err
	}
	d := f.expand(span)
	if err := f.wrong.Err(); err != nil {
		return nil, err
	}
	if len(d.Free) == MostFree {
		d.Remarks = append(d.Remarks, fmt.Sprintf("Of events that take nothing, %d times are listed.", MostFree))
	}
	d.sort()
	d.Notes = f.notes
	return d, nil
}

// file is a calendar file being read.
type file struct {
	name   string
	wrong  problem.List
	events []component
	zones  map[string]fileZone
	known  map[string]zone // by TZID, once looked up; nil: nobody knows it
	judge  *judge
	notes  []string // what was not read, and the like

	endsAreLast bool // the ends of whole days are their last days

	quiet bool // what is wrong is of no account
	spent bool // a limit of the whole file is reached: nothing behind it is read
	told  bool // and that has been said

	rules, barren, emitted, onsets, times int // what has been worked out so far, against the limits
}

// note keeps what was not read, or otherwise than the file may mean it.
func (f *file) note(line int, format string, args ...any) {
	const most = 20
	switch {
	case f.quiet || len(f.notes) > most:
	case len(f.notes) == most:
		f.notes = append(f.notes, f.name+": more of this kind is not told")
	default:
		f.notes = append(f.notes, fmt.Sprintf("%s:%d: %s", f.name, line, fmt.Sprintf(format, args...)))
	}
}

func (f *file) add(line int, path, format string, args ...any) {
	switch {
	case f.quiet && !f.spent:
	case f.told: // what goes beyond the limits of the whole file is said once
	case f.spent:
		f.told = true
		f.wrong.Add(f.name, line, path, format, args...)
	case len(f.wrong) < maxWrong:
		f.wrong.Add(f.name, line, path, format, args...)
	case len(f.wrong) == maxWrong:
		f.wrong.Add(f.name, line, "", "more is wrong further down; mend this first")
	}
}

// good reports whether there is no error, and notes what is wrong with a property if there is one.
func (f *file) good(p contentline.Line, err error) bool {
	if err != nil {
		f.add(p.Number, p.Name, "%v", err)
	}
	return err == nil
}

func (f *file) full() bool { return f.told || len(f.wrong) > maxWrong }

// read takes the file apart into components.
func (f *file) read(data []byte) {
	r := contentline.NewReader(bytes.TrimPrefix(data, []byte("\xef\xbb\xbf")), keptBytes, nil)
	n := &nesting{file: f, Reader: r}
	for !f.full() && r.Next() {
		if len(bytes.TrimSpace(r.Text)) > 0 && !n.line() { // an empty line says nothing
			return
		}
	}
	n.finish()
}
