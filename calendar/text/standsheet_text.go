package text

import (
	"bufio"
	"io"
	"strings"

	"treewhen/calendar/seed"
	"treewhen/calendar/words"
)

// WriteStandSheet writes a sheet to take to a stand, as plain text of 80 columns: what is to be done, what to mind, and
// labels for the bags with lines to cut along.
func WriteStandSheet(w io.Writer, s *seed.StandSheet) error {
	t := &textWriter{w: bufio.NewWriter(w)}
	t.line(strings.ToUpper(s.Stand.Name))
	for _, line := range words.StandHead(s) {
		t.indent(line, 0)
	}
	t.line("")
	if len(s.Work) == 0 {
		t.line(words.NothingAtStand)
		return t.w.Flush()
	}
	for _, e := range s.Work {
		title, looks := words.StandTask(e)
		t.indent("[ ] "+title, 4)
		for _, look := range looks {
			t.indent("    - "+look, 6)
		}
	}
	t.line("")
	t.line("TAKE CARE")
	for _, c := range words.StandMind(s) {
		t.indent("  - "+c, 4)
	}
	labels := words.LotLabels(s)
	if len(labels) == 0 {
		return t.w.Flush()
	}
	cut := strings.Repeat("- ", textWidth/2-4) + "8<"
	t.line("")
	t.line("LABELS, one in each bag and one on it")
	t.line(cut)
	for _, lines := range labels {
		for _, line := range lines {
			t.indent("  "+line, 2)
		}
		t.line(cut)
	}
	return t.w.Flush()
}
