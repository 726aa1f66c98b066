package page

import (
	_ "embed"
	"io"
	"strings"

	"treewhen/calendar/outing"
	"treewhen/calendar/page/markup"
	"treewhen/calendar/phrase"
	"treewhen/calendar/seed"
	"treewhen/calendar/words"
)

// The styles of pages for print.
var (
	//go:embed sheet.css
	sheetCSS string
	//go:embed letter.css
	letterCSS string
	//go:embed standsheet.css
	standSheetCSS string
)

// printed writes a page for print, that needs nothing but itself. Its body is of a class, "" for none.
func printed(to io.Writer, lang, title string, style markup.HTML, class string, body markup.HTML) error {
	var w markup.Writer
	w.Put(`<!doctype html>
<html lang="%s">
<head>
<meta charset="utf-8">
<meta name="viewport" content="width=device-width, initial-scale=1">
<title>%s</title>
<style>
%s</style>
</head>
`, lang, title, style)
	if class == "" {
		w.Put("<body>\n")
	}
	w.Some(`<body class="%s">`+"\n", class)
	w.Put("%s</body>\n</html>\n", body)
	return write(to, w.HTML())
}

// write writes a page. No line of it ends before a sign of per cent.
func write(to io.Writer, page markup.HTML) error {
	_, err := io.WriteString(to, strings.ReplaceAll(page.String(), " %", "\u00a0%"))
	return err
}

// listed writes a list below a heading; nothing where it is empty.
func listed(w *markup.Writer, heading string, items []string) {
	if len(items) > 0 {
		w.Put("<h2>%s</h2>\n<ul>", heading)
		w.Each("<li>%s</li>", items)
		w.Put("</ul>\n")
	}
}

// WriteLetterHTML writes a sheet's outing as a letter to parents and office, a page to print.
func WriteLetterHTML(to io.Writer, s *outing.Sheet) error {
	var w markup.Writer
	title := words.SheetTitle(s) + ", " + phrase.LongDate(s.Date)
	w.Put("<h1>%s</h1>\n<dl>", title)
	for _, line := range words.Letter(s) {
		w.Put("<dt>%s</dt><dd>%s</dd>\n", line.Label, line.Text)
	}
	w.Put("</dl>\n" + `<div class="slip">`)
	w.Each("<div>%s <span></span></div>\n", words.LetterSlip())
	w.Put("</div>\n")
	return printed(to, "en", title, markup.File(letterCSS), "", w.HTML())
}

// WriteSheetHTML writes a sheet as a page to print.
func WriteSheetHTML(to io.Writer, s *outing.Sheet) error {
	var w markup.Writer
	title, day := words.SheetTitle(s)+": "+s.Site.Name, phrase.LongDate(s.Date)
	w.Put("<h1><span>%s</span> <span>%s</span></h1>\n", title, day)
	w.Put("<p>%s; %s", words.Hours(s.Hours), words.Sun(s.Conditions))
	w.Some("; %s", words.Ride(s.Ride))
	if s.Rain != nil {
		w.Put("; rain date %s", phrase.LongDate(*s.Rain))
	}
	w.Put(". %s.</p>\n", phrase.Capital(words.Warmth(s.Conditions, s.Speech)))
	w.Each("<p>Bring: %s</p>\n", words.OutingKit(s.Kit, s.Activity))
	listed(&w, "The day was chosen for", words.Sights(s.Sights))
	w.Put("<h2>Look for, from afar to the hand</h2>\n")
	w.Some("<p>%s</p>\n", words.SheetCommon(s))
	for _, x := range s.Species {
		sheetSpecies(&w, s, x)
	}
	if s.Level != outing.Primary {
		listed(&w, "Apart today?", words.SheetCare(s, 4))
	}
	w.Put("<h2>Mind</h2>\n" + `<ul class="small">`)
	w.Each("<li>%s</li>", words.SheetMind(s))
	w.Put("</ul>\n<h2>Notes</h2>\n" + `<div class="notes"><div></div><div></div><div></div></div>` + "\n")
	sheetKey(&w, s)
	if terms := words.Glossary(s); len(terms) > 0 {
		w.Put("<h2>What the words mean</h2>\n" + `<div class="terms">`)
		for _, t := range terms {
			w.Put("<div>%s<span><b>%s</b>: %s</span></div>\n", draw(t), t.Word, t.Text)
		}
		w.Put("</div>\n")
	}
	w.Put("<h2>Tree by tree</h2>\n" + `<table class="tally"><tr><th>tree</th><th>what it is</th>` +
		"<th>by which character</th><th>what it is doing: just, before, not yet</th></tr>\n")
	for range tallyRows {
		w.Put("<tr><td></td><td></td><td></td><td></td></tr>\n")
	}
	w.Put("</table>\n")
	class := ""
	if len(s.Species) > outing.MostShown {
		class = "crowded"
	}
	return printed(to, "en", title+", "+day, markup.File(sheetCSS), class, w.HTML())
}

// sheetSpecies writes what there is to see of a species, as much as has room on a page.
func sheetSpecies(w *markup.Writer, s *outing.Sheet, x outing.SheetSpecies) {
	w.Put(`<div class="species"><h3>%s (<i>%s</i>)</h3>`+"\n", phrase.Capital(x.Species.Name()), x.Species.Botanical)
	best := x.Best(s.MostTraits(min(max(45/len(s.Species), 3), 8)))
	if len(best) == 0 {
		w.Put("<p>Nothing that its profile describes is likely today.</p>\n</div>\n")
		return
	}
	w.Put(`<ul class="ticks">`)
	for _, t := range best {
		w.Put("<li>%s", words.Trait(t.Trait, s.Speech))
		if s.Level != outing.Primary && t.P < 0.95 {
			w.Put(", %s", phrase.Percent(t.P))
		}
		if t.NeedsHandling {
			w.Put(" (the leader cuts, breaks or scrapes)")
		}
		w.Put("</li>")
	}
	w.Some("<li>%s</li>", words.Ground(x.Ground, s.Speech))
	w.Put("</ul>\n</div>\n")
}

// sheetKey writes the key to a sheet's species on a page of its own, if it has one.
func sheetKey(w *markup.Writer, s *outing.Sheet) {
	key := s.Key()
	if key == nil {
		return
	}
	w.Put(`<h2 class="page">Which tree is it?</h2>
<p class="small">Go on where the right one of two answers sends you.</p>
<table class="key">`)
	for _, a := range words.Key(key, s.Speech) {
		w.Put(`<tr><th>%s</th><td>%s</td><td class="to">`, a.Number, a.Text)
		if a.Ends {
			w.Put("<b>%s</b>", a.To)
		} else {
			w.Put("go to %s", a.To)
		}
		w.Put("</td></tr>\n")
	}
	w.Put("</table>\n")
}

// WriteStandSheetHTML writes a sheet to take to a stand as a page to print, with labels to cut out on pages of their
// own.
func WriteStandSheetHTML(to io.Writer, s *seed.StandSheet) error {
	var w markup.Writer
	w.Put("<h1>%s</h1>\n", s.Stand.Name)
	w.Each("<div>%s</div>\n", words.StandHead(s))
	for _, e := range s.Work {
		title, looks := words.StandTask(e)
		w.Put(`<div class="task"><b>%s</b><ul>`, title)
		w.Each("<li>%s</li>", looks)
		w.Put("</ul></div>\n")
	}
	if len(s.Work) == 0 {
		w.Put("<p>%s</p>\n", words.NothingAtStand)
	} else {
		w.Put("<h2>Take care</h2>\n<ul>")
		w.Each("<li>%s</li>\n", words.StandMind(s))
		w.Put("</ul>\n")
	}
	if labels := words.LotLabels(s); len(labels) > 0 {
		w.Put(`<div class="labels" aria-label="Labels, one in each bag and one on it">`)
		for _, lines := range labels {
			w.Put(`<div class="label">`)
			w.Each("<p>%s</p>", lines)
			w.Put("</div>\n")
		}
		w.Put("</div>\n")
	}
	return printed(to, "en", s.Stand.Name+", "+phrase.LongDate(s.Days.First), markup.File(standSheetCSS), "", w.HTML())
}
