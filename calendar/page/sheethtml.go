package page

import (
	_ "embed"
	"html/template"
	"io"
	"sync"

	"treewhen/calendar/outing"
	"treewhen/calendar/phrase"
	"treewhen/calendar/words"
)

//go:embed sheet.html
var sheetPage string

var sheetTemplate = sync.OnceValue(func() *template.Template {
	return template.Must(template.New("sheet").Funcs(template.FuncMap{
		"long": phrase.LongDate, "capital": phrase.Capital, "percent": phrase.Percent,
		"title": words.SheetTitle, "sun": words.Sun, "warmth": words.Warmth, "sights": words.Sights, "trait": words.Trait,
		"key": func(s *outing.Sheet) []words.KeyAnswer {
			if k := s.Key(); k != nil {
				return words.Key(k)
			}
			return nil
		},
		"common": words.SheetCommon, "mind": words.SheetMind,
		"hours": words.Hours,
		"kit":   func(s *outing.Sheet) []string { return words.OutingKit(s.Kit, s.Activity) },
		"care":  func(s *outing.Sheet) []string { return words.SheetCare(s, 4) },
		"best": func(s *outing.Sheet, x outing.SheetSpecies) []outing.SheetTrait {
			return x.Best(min(max(40/len(s.Species), 2), 8)) // a page's worth
		},
	}).Parse(sheetPage))
})

// WriteSheetHTML writes a sheet as a page to print, that needs nothing but itself.
func WriteSheetHTML(w io.Writer, s *outing.Sheet) error { return sheetTemplate().Execute(w, s) }
