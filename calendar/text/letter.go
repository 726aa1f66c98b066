package text

import (
	"bufio"
	"io"
	"strings"

	"treewhen/calendar/outing"
	"treewhen/calendar/phrase"
	"treewhen/calendar/words"
)

// WriteLetter writes a sheet's outing as a letter to parents and office, a page of text 80 columns wide.
func WriteLetter(w io.Writer, s *outing.Sheet) error {
	t := &textWriter{w: bufio.NewWriter(w)}
	t.line(words.SheetTitle(s) + ", " + phrase.LongDate(s.Date))
	t.line("")
	const label = 13 // columns
	for _, l := range words.Letter(s) {
		t.indent(l.Label+strings.Repeat(" ", label-len(l.Label))+l.Text, label)
	}
	t.line("")
	t.line(strings.Repeat("- ", textWidth/2-1))
	for _, l := range words.LetterSlip() {
		t.line("")
		t.line(l + " " + strings.Repeat("_", textWidth-len(l)-1))
	}
	return t.w.Flush()
}
