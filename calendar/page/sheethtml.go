package page

import (
	_ "embed"
	"html/template"
	"io"
	"sync"

	"treewhen/calendar/outing"
	"treewhen/calendar/phrase"
)

//go:embed sheet.html
var sheetPage string

var sheetTemplate = sync.OnceValue(func() *template.Template {
	return template.Must(template.New("sheet").Funcs(template.FuncMap{
		"long":     phrase.LongDate,
		"longRain": func(s *outing.FieldSheet) string { return phrase.LongDate(*s.Rain) },
		"capital":  phrase.Capital, "lower": phrase.Name, "percent": phrase.Percent,
		"best": func(s *outing.FieldSheet, x outing.SheetSpecies) []outing.SheetTrait {
			return x.Best(min(max(40/len(s.Species), 2), 8))
		}, // a page's worth
		"mind":   (*outing.FieldSheet).Mind,
		"common": (*outing.FieldSheet).CommonText,
		"care":   func(s *outing.FieldSheet) []string { return s.CareText(4) },
	}).Parse(sheetPage))
})

// WriteSheetHTML writes a sheet as a page to print, that needs nothing but itself.
func WriteSheetHTML(w io.Writer, s *outing.FieldSheet) error { return sheetTemplate().Execute(w, s) }
