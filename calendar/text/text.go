package text

import (
	"bufio"
	"cmp"
	"fmt"
	"io"
	"math"
	"slices"
	"strings"

	"treewhen/calendar"
	"treewhen/calendar/phrase"
	"treewhen/calendar/words"
	"treewhen/phenology/civil"
)

// TextOptions are how a schedule is written as text.
type TextOptions struct {
	Color   bool // terminal colours, never the only sign of anything
	Details bool // reasons, what to look for, cautions and sources with every entry
}

// textWidth is the width that text keeps to, in columns.
const textWidth = 80

// WriteText writes a schedule for people to read: what is open now first, then month by month.
func WriteText(w io.Writer, s *calendar.Schedule, opt TextOptions) error {
	t := &textWriter{w: bufio.NewWriter(w), opt: opt, as: s.Speech}
	t.line(t.bold(s.Title))
	frame := words.ScheduleFrameIn(s.Speech)
	t.wrap("", words.ScheduleAsOf(s))
	for _, n := range words.Notes(s.Notes, s.Speech) {
		t.wrap(frame.Note, n)
	}
	if len(s.Entries) == 0 {
		t.line("")
		t.line(frame.Nothing)
	}
	entries := slices.Clone(s.Entries)
	closes := func(e *calendar.Entry) civil.Date { // of what is open, which comes first
		if s.IsOpen(e) {
			return e.Window.Last
		}
		return math.MaxInt32
	}
	slices.SortStableFunc(entries, func(a, b *calendar.Entry) int { return cmp.Compare(closes(a), closes(b)) })
	heading := ""
	for _, e := range entries {
		h := strings.ToUpper(words.MonthOf(e.Window.First, s.Speech))
		if s.IsOpen(e) {
			h = frame.Open
		}
		if h != heading {
			t.line("")
			t.line(t.bold(h))
			heading = h
		} else if opt.Details {
			t.line("")
		}
		t.entry(e, s.AsOf)
	}
	if !opt.Details {
		t.cautions(s.Entries)
	}
	return t.w.Flush()
}

type textWriter struct {
	w   *bufio.Writer
	opt TextOptions
	as  phrase.Speech
}

// entry writes the two lines of an entry, and its details if they are wanted.
func (t *textWriter) entry(e *calendar.Entry, asOf civil.Date) {
	say := words.Brief
	if t.opt.Details {
		say = words.Say
	}
	said := say(e)
	frame := words.ScheduleFrameIn(t.as)
	left := "  " + Pad(words.Days(e.Window, t.as), frame.Wide) + " " + said.Summary
	hours := ""
	if Width(left)+2+Width(e.Site.Name) <= textWidth {
		t.line(t.bold(left) + padBetween(left, e.Site.Name) + e.Site.Name)
	} else {
		t.line(t.bold(left))
		hours = e.Site.Name + frame.At
	}
	if e.Hours != (calendar.Hours{}) {
		hours += words.Hours(e.Hours) + "; "
	}
	best := Pad(words.ScheduleBest(e, asOf), frame.Wide)
	t.indent(fmt.Sprintf("  %s %s%s; %s", best, hours, said.Sure(), said.Basis), frame.Wide+3)
	if !t.opt.Details {
		return
	}
	t.block(frame.Doubt, said.Doubts)
	t.detail(frame.Do, said.Verdict)
	t.detail(frame.Chance, said.Chance())
	t.block(frame.Why, said.Reasons)
	t.block(frame.LookFor, said.LookFor)
	t.block(frame.Bring, said.Kit)
	t.block(frame.TakeCare, words.Minded(said.Cautions))
	t.block(frame.Sources, said.Sources)
}

// padBetween returns the space between a left and a right text so that the right one ends at the width; on a line too
// long for both, two spaces.
func padBetween(left, right string) string {
	return strings.Repeat(" ", max(2, textWidth-Width(left)-Width(right)))
}

// detail writes a label and what it is of, unless that is nothing.
func (t *textWriter) detail(label, text string) {
	if text != "" {
		t.block(label, []string{text})
	}
}

func (t *textWriter) block(label string, items []string) {
	wide := words.ScheduleFrameIn(t.as).Wide
	for i, item := range items {
		if i > 0 {
			label = ""
		}
		t.indent(fmt.Sprintf("  %*s %s", wide, label, item), wide+3)
	}
}

// cautions writes every caution of the entries once: what goes with several activities first, then each activity's own.
// What is the same for several species is written once, with all their names.
func (t *textWriter) cautions(entries []*calendar.Entry) {
	var order []words.Caution
	where := map[words.Caution][]calendar.Activity{}
	for _, e := range entries {
		for _, c := range words.Cautions(e) {
			if where[c] == nil {
				order = append(order, c)
			}
			if !slices.Contains(where[c], e.Activity) {
				where[c] = append(where[c], e.Activity)
			}
		}
	}
	for _, a := range append([]calendar.Activity{""}, calendar.Activities()...) {
		heading := words.ScheduleFrameIn(t.as).Always
		if a != "" {
			heading = words.CareOf(a, t.as)
		}
		var list []words.Caution
		for _, c := range order {
			if several := len(where[c]) > 1; several == (a == "") && (several || where[c][0] == a) {
				list = append(list, c)
			}
		}
		t.bullets(heading, words.MindedOnce(list))
	}
}

func (t *textWriter) bold(s string) string {
	if !t.opt.Color {
		return s
	}
	return "\x1b[1m" + s + "\x1b[0m"
}

// bullets writes a heading and items under it, each once; nothing if there are none.
func (t *textWriter) bullets(heading string, items []string) {
	for i, item := range items {
		if i == 0 {
			t.line("")
			t.line(t.bold(heading))
		}
		if !slices.Contains(items[:i], item) {
			t.indent("  - "+item, 4)
		}
	}
}

// line writes a line. What goes wrong is told by the writer's Flush.
func (t *textWriter) line(s string) {
	t.w.WriteString(s)
	t.w.WriteByte('\n')
}

func (t *textWriter) wrap(label, s string) { t.indent(label+s, len(label)) }

// indent writes a text wrapped to the width, its second and later lines indented.
func (t *textWriter) indent(s string, by int) {
	if len(s) <= textWidth {
		t.line(s)
		return
	}
	for i, line := range wrapText(s, textWidth, by) {
		if i > 0 {
			t.w.WriteString(strings.Repeat(" ", by))
		}
		t.line(line)
	}
}

// wrapText breaks a text at spaces so that lines keep to a width; all lines after the first leave room for an indent.
// Leading spaces of the text are kept. A word longer than the line stands alone.
func wrapText(s string, width, indent int) []string {
	lead := s[:len(s)-len(strings.TrimLeft(s, " "))]
	// Columns inside the first line are kept by breaking only in what would overflow.
	var lines []string
	rest := s
	room := width
	for Width(rest) > room {
		cut := lastSpace(rest, room, len(lead))
		if cut < 0 {
			break
		}
		lines = append(lines, strings.TrimRight(rest[:cut], " "))
		rest = strings.TrimLeft(rest[cut:], " ")
		room, lead = width-indent, ""
	}
	return append(lines, rest)
}
