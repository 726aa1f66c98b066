package page

import (
	_ "embed"
	"html/template"
	"io"
	"sync"

	"treewhen/calendar"
	"treewhen/calendar/phrase"
	"treewhen/calendar/seed"
	"treewhen/calendar/words"
)

//go:embed standsheet.html
var standSheetPage string

// standTask is a piece of work as a sheet has it.
type standTask struct {
	Title string
	Looks []string
}

var standSheetTemplate = sync.OnceValue(func() *template.Template {
	return template.Must(template.New("stand").Funcs(template.FuncMap{
		"long": phrase.LongDate, "head": words.StandHead, "mind": words.StandMind,
		"nothing": func() string { return words.NothingAtStand },
		"task": func(e *calendar.Entry) standTask {
			title, looks := words.StandTask(e)
			return standTask{title, looks}
		},
		"labels": words.LotLabels,
	}).Parse(standSheetPage))
})

// WriteStandSheetHTML writes a sheet to take to a stand as a page to print, with labels to cut out on pages of their
// own; it needs nothing but itself.
func WriteStandSheetHTML(w io.Writer, s *seed.StandSheet) error {
	return standSheetTemplate().Execute(w, s)
}
