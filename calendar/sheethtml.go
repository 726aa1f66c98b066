package calendar

import (
	_ "embed"
	"html/template"
	"io"

	"treewhen/calendar/phrase"
)

//go:embed sheet.html
var sheetPage string

var sheetTemplate = template.Must(template.New("sheet").Funcs(template.FuncMap{
	"long":     phrase.LongDate,
	"longRain": func(s *FieldSheet) string { return phrase.LongDate(*s.Rain) },
	"capital":  phrase.Capital, "lower": phrase.Name, "percent": phrase.Percent,
	"best":   func(s *FieldSheet, x SheetSpecies) []SheetTrait { return x.best(min(max(40/len(s.Species), 2), 8)) }, // a page's worth
	"mind":   (*FieldSheet).mind,
	"common": (*FieldSheet).commonText,
	"care":   func(s *FieldSheet) []string { return s.careText(4) },
}).Parse(sheetPage))

// WriteSheetHTML writes a sheet as a page to print, that needs nothing but itself.
func WriteSheetHTML(w io.Writer, s *FieldSheet) error { return sheetTemplate.Execute(w, s) }
