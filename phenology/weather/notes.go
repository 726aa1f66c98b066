package weather

import (
	"cmp"
	"fmt"
	"slices"

	"treewhen/phenology/civil"
)

// maxNotes is how many notes of a kind a record holds one by one; of the rest it holds the count.
const maxNotes = 20

// notes collects what a person should know of a readable file.
type notes struct {
	file    string
	list    []Note
	tally   map[NoteKind]*tally
	gapDays int // in the gaps that are only counted
}

type tally struct {
	told, more int
	line       int // of the first that is only counted
}

var noDays = civil.Span{First: 0, Last: -1}

// add keeps a note, or only counts it where there are enough of its kind, and reports which.
func (n *notes) add(kind NoteKind, line int, text string, args ...any) (told bool) {
	t := n.tally[kind]
	if t == nil {
		if n.tally == nil {
			n.tally = make(map[NoteKind]*tally)
		}
		t = new(tally)
		n.tally[kind] = t
	}
	if t.told == maxNotes {
		if t.more == 0 || line < t.line {
			t.line = line
		}
		t.more++
		return false
	}
	t.told++
	n.list = append(n.list, Note{Kind: kind, File: n.file, Line: line, Text: fmt.Sprintf(text, args...)})
	return true
}

// all returns the notes in order of line.
func (n *notes) all() []Note {
	rest := []struct {
		kind NoteKind
		what string
	}{
		{NoteGap, "gaps"}, {NoteDuplicate, "days given more than once"}, {NoteDisorder, "rows out of order"},
		{NoteDropped, "values left out"}, {NoteReversed, "days with a minimum above the maximum"},
	}
	for _, r := range rest {
		t := n.tally[r.kind]
		if t == nil || t.more == 0 {
			continue
		}
		text := fmt.Sprintf("%d %s more", t.more, r.what)
		if r.kind == NoteGap {
			text = fmt.Sprintf("%d gaps more, %d days together", t.more, n.gapDays)
		}
		n.list = append(n.list, Note{Kind: r.kind, File: n.file, Line: t.line, Text: text})
	}
	slices.SortStableFunc(n.list, func(a, b Note) int { return cmp.Compare(a.Line, b.Line) })
	return n.list
}

// drop forgets the notes of a kind, for one that says more.
func (n *notes) drop(kind NoteKind) {
	delete(n.tally, kind)
	n.list = slices.DeleteFunc(n.list, func(note Note) bool { return note.Kind == kind })
}
