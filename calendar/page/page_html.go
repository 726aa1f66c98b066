package page

import (
	"fmt"

	"treewhen/calendar/page/markup"
	"treewhen/calendar/words"
)

// pageWriter writes what a page shows, as elements of HTML.
type pageWriter struct {
	markup.Writer
	t     *words.PageFrame
	colon string
}

// page writes a page from beginning to end.
func (w *pageWriter) page(v *pageView) {
	w.Put(`<!DOCTYPE html>
<html lang="%s">
<head>
<meta charset="utf-8">
<meta http-equiv="Content-Security-Policy" content="%s">
<meta name="viewport" content="width=device-width, initial-scale=1">
<meta name="color-scheme" content="light dark">
<meta name="referrer" content="no-referrer">
<title>%s</title>
`, w.t.Lang, PagePolicy(), v.Title)
	// A leaf, for the tab of a browser.
	w.Put(`<link rel="icon" href="data:image/svg+xml,%%3Csvg%%20xmlns=%%27http://www.w3.org/2000/svg%%27%%20` +
		`viewBox=%%270%%200%%2016%%2016%%27%%3E` +
		`%%3Cpath%%20d=%%27M2%%2014C2%%206%%207%%202%%2014%%202c0%%207-4%%2012-12%%2012z%%27` +
		`%%20fill=%%27%%23567a2e%%27/%%3E` +
		`%%3Cpath%%20d=%%27M2%%2014%%2010%%206%%27%%20stroke=%%27%%23f6f1e4%%27/%%3E%%3C/svg%%3E">`)
	w.Put(`
<style>%s</style>
</head>
<body>
<a class="skip" href="#sites">%s</a>
`, markup.File(pageCSS), w.t.Skip)
	w.Put("%s", markup.File(shapes))
	w.Put("<header>\n<h1>%s</h1>\n", v.Title)
	if v.All != "" {
		w.Put(`<p><a href="%s">%s</a></p>`+"\n", v.All, w.t.AllSites)
	}
	if v.Wall != "" {
		w.Put(`<p><a href="%s">%s</a></p>`+"\n", v.Wall, w.t.ForTheWall)
	}
	w.Put(`<p class="day"><time datetime="%s">%s</time></p>`+"\n", v.AsOf, words.PageDay(v.AsOf, !v.Script, v.as))
	w.Each(`<p class="doubt">%s</p>`+"\n", v.Doubts)
	w.Put("</header>\n" + `<main id="sites">` + "\n")
	w.first(v)
	w.many(v)
	w.notes(v)
	for i := range v.Sites {
		w.site(&v.Sites[i])
	}
	if len(v.Programs) > 0 {
		w.Put(`<section class="subscribing" id="subscribing" aria-labelledby="subscribing-name">
<h2 id="subscribing-name">%s</h2>
<p>%s</p>
<dl>
`, w.t.Subscribing, w.t.Copies)
		for _, p := range v.Programs {
			w.Put("<dt>%s</dt><dd>%s</dd>\n", p.Name, fmt.Sprintf(w.t.Program, p.How, p.Fetches, p.Rings))
		}
		w.Put("</dl>\n</section>\n")
	}
	w.Put("</main>\n<footer>\n<p>%s</p>\n", fmt.Sprintf(w.t.Until, words.FullDay(v.Span.Last, v.as)))
	w.Each("<p>%s</p>\n", v.Credit)
	w.Put("<p>%s</p>\n", w.t.Estimates)
	w.Some("<p>%s</p>\n", v.Climate)
	if v.Script {
		w.Put(`<p class="unseen" id="said" role="status" data-copied="%s" data-cannot="%s"`+
			` data-subscribe="%s"></p>`+"\n", w.t.Copied, w.t.CannotCopy, w.t.Subscribe)
	}
	w.Put("</footer>\n")
	if v.Script {
		w.Put("<script>%s</script>\n", markup.File(pageJS))
	}
	w.Put("</body>\n</html>\n")
}

// first writes the first screen: what is next at each site, and the turns of a crew.
func (w *pageWriter) first(v *pageView) {
	if len(v.Sites) > 0 {
		class := "first"
		switch len(v.Next) {
		case 1:
			class = "first alone"
		case 2:
			class = "first two"
		}
		w.Put(`<nav class="%s" aria-label="%s"><ol class="nexts">`+"\n", class, w.t.Next)
		for i := range v.Next {
			w.next(&v.Next[i])
			w.Put("\n")
		}
		w.Put("</ol></nav>\n")
	}
	if len(v.Crew) > 0 {
		w.Put(`<section class="crew" aria-label="%s">`+"\n<p><b>%s</b></p>\n<ol>\n", w.t.Crew, v.Crew[0])
		w.Each("<li>%s</li>\n", v.Crew[1:])
		w.Put("</ol>\n</section>\n")
	}
}

// next writes what is next at a site.
func (w *pageWriter) next(n *pageNext) {
	w.Put(`<li class="next %s">`+"\n"+`<h2><a href="#%s">%s</a></h2>`+"\n", n.Activity, n.ID, n.Site)
	if n.Do == "" {
		w.Put(`<p class="do none">%s</p>`+"\n", words.NoNext(n.as))
	} else {
		w.Put(`<p class="do">%s</p>`+"\n"+`<p class="on"><b>%s</b>`, n.Do, n.On)
		if n.Days != "" {
			w.Put("; %s", fmt.Sprintf(w.t.AnyDay, n.Days))
		}
		w.Some("; %s", n.Last)
		w.Put("</p>\n" + `<p class="sure">`)
		w.chance(n.Chance)
		w.Put(`%s <span class="of">%s</span></p>`+"\n", n.Sure, n.Of)
	}
	if n.Moved != "" {
		w.Put(`<p class="moved">`)
		w.Some(`<span class="arrow" aria-hidden="true">%s</span> `, n.Arrow)
		w.Put("%s</p>\n", n.Moved)
	}
	w.Each(`<p class="of-sap">%s</p>`+"\n", n.Sap)
	w.Each(`<p class="of-sap more">%s</p>`+"\n", n.More)
	w.Some(`<p class="then">%s</p>`+"\n", n.Then)
	w.Put("</li>")
}

// chance draws a chance as leaves of ten.
func (w *pageWriter) chance(c pageChance) {
	if c >= 0 {
		w.Put(`<svg class="ten" aria-hidden="true"><use href="#ten"/><svg width="%g">`+
			`<use href="#ten" class="fill"/></svg></svg> `, c.Wide())
	}
}

// many writes what is next at each of many sites, and where it is.
func (w *pageWriter) many(v *pageView) {
	if len(v.Many) == 0 {
		return
	}
	moved := w.t.ManyStill
	if v.ManyMoved > 0 {
		moved = fmt.Sprintf(w.t.ManyMoved, v.ManyMoved)
	}
	w.Put(`<section class="many" aria-labelledby="many-name">
<h2 id="many-name">%s</h2>
<p class="moved">%s</p>
<figure>%s</figure>
`, fmt.Sprintf(w.t.Many, len(v.Many)), moved, v.Map)
	if len(v.ByName) > 0 {
		w.Put(`<details class="names">`+"\n<summary>%s</summary>\n<ul>\n", w.t.ByName)
		for i := range v.ByName {
			w.Put(`<li><a href="#%s">%s</a></li>`+"\n", v.ByName[i].ID, v.ByName[i].Site)
		}
		w.Put("</ul>\n</details>\n")
	}
	w.Put(`<ol class="rows">` + "\n")
	for i := range v.Many {
		w.row(&v.Many[i])
	}
	w.Put("</ol>\n")
	if !v.Script {
		w.Put(`<p class="how">%s</p>`+"\n", w.t.InFull)
	}
	w.Put("</section>\n")
}

// row writes what is next at one of many sites.
func (w *pageWriter) row(r *pageRow) {
	w.Put(`<li id="%s" class="%s">`, r.ID, r.Activity)
	w.Some(`<svg class="mini" viewBox="0 0 100 10" preserveAspectRatio="none" aria-hidden="true">`+
		`<path d="%s"/></svg>`, r.Mini)
	if r.Page != "" {
		w.Put(`<a href="%s">%s</a>`, r.Page, r.Site)
	} else {
		w.Put("<b>%s</b>", r.Site)
	}
	if r.Do != "" {
		w.Put(" <b>%s</b> %s", r.On, r.Do)
		w.Some("; %s", r.Last)
		w.Put("; %s", r.Sure)
		w.Some("; %s", r.Moved)
	} else {
		w.Put(" %s", words.NoNext(r.as))
	}
	if r.Feed != "" {
		w.Put(` <a class="address" href="%s" type="text/calendar">%s<span class="unseen">%s%s</span></a>`,
			r.Feed, w.t.Calendar, w.colon, r.Site)
	}
	w.Put("</li>\n")
}

// notes writes what is to be known of the plan.
func (w *pageWriter) notes(v *pageView) {
	if len(v.Notes) == 0 {
		return
	}
	w.Put(`<div class="notes">` + "\n")
	w.Each(`<p class="note">%s</p>`+"\n", v.Notes)
	if len(v.MoreNotes) > 0 {
		w.Put("<details>\n<summary>%s</summary>\n<ul>\n", fmt.Sprintf(w.t.MoreNotes, len(v.MoreNotes)))
		w.Each("<li>%s</li>\n", v.MoreNotes)
		w.Put("</ul>\n</details>\n")
	}
	w.Put("</div>\n")
}

// fold writes a list that is folded away below a summary; nothing where it is empty. Of says for those who hear it what
// it belongs to; "" for nothing.
func (w *pageWriter) fold(summary, of string, items []string) {
	if len(items) > 0 {
		w.summary(summary, of)
		w.Put("<ul>")
		w.Each("<li>%s</li>", items)
		w.Put("</ul>\n</details>\n")
	}
}

func (w *pageWriter) summary(summary, of string) {
	w.Put(`<details class="dates">`+"\n<summary>%s", summary)
	if of != "" {
		w.Put(`<span class="unseen">%s%s</span>`, w.colon, of)
	}
	w.Put("</summary>\n")
}

// table writes a table that is folded away below a summary; nothing where it is empty.
func (w *pageWriter) table(summary, of, label string, columns []string, rows [][]string) {
	if len(rows) == 0 {
		return
	}
	w.summary(summary, of)
	w.Put(`<div class="scroll" role="region" aria-label="%s" tabindex="0">`+"\n<table>\n<thead><tr>", label)
	w.Each(`<th scope="col">%s</th>`, columns)
	w.Put("</tr></thead>\n<tbody>\n")
	for _, row := range rows {
		w.Put(`<tr><th scope="row">%s</th>`, row[0])
		w.Each("<td>%s</td>", row[1:])
		w.Put("</tr>\n")
	}
	w.Put("</tbody>\n</table>\n</div>\n</details>\n")
}
