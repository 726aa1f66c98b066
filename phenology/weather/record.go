package weather

import (
	"fmt"
)

// Record is what one file or source held.
type Record struct {
	Name    string // the file, as the user named it
	Format  Format
	Unit    Unit    // of the file; Series is in degrees Celsius whatever this says
	Station Station // what the file says of where it was measured
	Series  Series
	Notes   []Note // what a reader had to decide or leave out, in order of line
	// Warnings sum up those of the notes that whoever uses the record must be told: minima above maxima, and days given
	// again with other temperatures, a warning each.
	Warnings []Note
}

// Station is what a file says of where it was measured.
type Station struct {
	ID, Name                       string
	Latitude, Longitude, Elevation *float64 // decimal degrees and metres; nil where the file does not say
}

// Unit is the unit of a file's temperatures.
type Unit string

// The units a file may be in. UnitUnknown lets the file say.
const (
	UnitUnknown Unit = ""
	Celsius     Unit = "C"
	Fahrenheit  Unit = "F"
)

// NoteKind says what a [Note] is about.
type NoteKind string

// What a reader may have to tell of a file that it could read.
const (
	NoteGap       NoteKind = "gap"       // days without a row or without both values
	NoteDuplicate NoteKind = "duplicate" // a day that the file gives more than once: the last row counts
	NoteDisorder  NoteKind = "disorder"  // a row earlier than the one before it
	NoteDropped   NoteKind = "dropped"   // a value its publisher marks as failed or that no thermometer shows
	NoteReversed  NoteKind = "reversed"  // a minimum above its maximum
	NoteUnit      NoteKind = "unit"      // how the unit was decided
	NoteStation   NoteKind = "station"   // a file of several stations, or without one
)

// Note tells of something in a readable file that a person should know.
type Note struct {
	Kind NoteKind
	File string
	Line int // 0 where no line is to blame
	Text string
}

// String gives "file:line: text".
func (n Note) String() string {
	if n.Line > 0 {
		return fmt.Sprintf("%s:%d: %s", n.File, n.Line, n.Text)
	}
	return n.File + ": " + n.Text
}
