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
		"title": words.SheetTitle, "sun": words.Sun, "sights": words.Sights,
		"warmth": words.Warmth, "trait": words.Trait,
		"key": func(s *outing.Sheet) []words.KeyAnswer {
			if k := s.Key(); k != nil {
				return words.Key(k, s.Speech)
			}
			return nil
		},
		"common": words.SheetCommon, "mind": words.SheetMind,
		"hours": words.Hours, "ride": words.Ride, "ground": words.Ground,
		"kit": func(s *outing.Sheet) []string { return words.OutingKit(s.Kit, s.Activity) },
		"care": func(s *outing.Sheet) []string {
			if s.Level == outing.Primary {
				return nil
			}
			return words.SheetCare(s, 4)
		},
		"chance":   func(s *outing.Sheet, p float64) bool { return s.Level != outing.Primary && p < 0.95 },
		"crowded":  func(s *outing.Sheet) bool { return len(s.Species) > outing.MostShown },
		"glossary": words.Glossary, "draw": draw,
		"rows": func() []int { return make([]int, tallyRows) },
		"best": func(s *outing.Sheet, x outing.SheetSpecies) []outing.SheetTrait {
			return x.Best(s.MostTraits(min(max(45/len(s.Species), 3), 8))) // a page's worth
		},
	}).Parse(sheetPage))
})

//go:embed letter.html
var letterPage string

var letterTemplate = sync.OnceValue(func() *template.Template {
	return template.Must(template.New("letter").Funcs(template.FuncMap{
		"long": phrase.LongDate, "title": words.SheetTitle, "letter": words.Letter, "slip": words.LetterSlip,
	}).Parse(letterPage))
})

// WriteLetterHTML writes a sheet's outing as a letter to parents and office, a page to print.
func WriteLetterHTML(w io.Writer, s *outing.Sheet) error { return letterTemplate().Execute(w, s) }

// WriteSheetHTML writes a sheet as a page to print, that needs nothing but itself.
func WriteSheetHTML(w io.Writer, s *outing.Sheet) error { return sheetTemplate().Execute(w, s) }
