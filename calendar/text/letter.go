package text

import (
	"bufio"
	"encoding/csv"
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

// WriteForm writes what may just have come on a sheet's day as rows of an observations file, to be filled in after the
// outing: nobody has looked until seen says just, before or not-yet.
func WriteForm(w io.Writer, s *outing.Sheet) error {
	out := csv.NewWriter(w)
	rows := [][]string{{"date", "site", "species", "phase", "seen", "note"}}
	for _, x := range s.Species {
		for _, p := range x.Coming {
			rows = append(rows, []string{s.Date.String(), s.Site.ID, x.Species.ID, p.String(), planSeenUnknown, ""})
		}
	}
	return out.WriteAll(rows)
}

// planSeenUnknown is what observations files have under seen where nobody has looked.
const planSeenUnknown = "?"
