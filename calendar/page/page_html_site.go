package page

import (
	"fmt"
	"strconv"
	"strings"
)

// site writes a site in full.
func (w *pageWriter) site(s *pageSite) {
	w.Put(`<section class="site" id="%s" aria-labelledby="%s-name">
<div class="head">
<h2 id="%s-name">%s</h2>
`, s.ID, s.ID, s.ID, s.Name)
	w.Some(`<p class="kinds">%s</p>`, s.Kind)
	w.Put("\n</div>\n")
	for i := range s.Sap {
		w.sap(&s.Sap[i])
	}
	w.glance(s)
	if len(s.Moved) > 0 {
		w.Put(`<div class="moves">`+"\n<h3>%s</h3>\n", w.t.Moved)
		for _, m := range s.Moved {
			w.Put(`<p class="label">%s</p>`+"\n<ul>", m.Since)
			w.Each("<li>%s</li>", m.What)
			w.Put("</ul>\n")
		}
		w.Put("</div>\n")
	}
	w.Put(`<div class="beside">` + "\n")
	if s.Spring != nil {
		w.spring(s.Spring)
	}
	w.temperatures(s)
	w.Put("</div>\n")
	w.work(s)
	w.Put(`<div class="after">` + "\n")
	if s.Feeds != nil {
		w.feeds(s.Feeds)
	}
	if len(s.Cautions) > 0 {
		w.Put(`<div class="care">`+"\n<h3>%s</h3>\n<ul>\n", w.t.TakeCare)
		w.Each("<li>%s</li>\n", s.Cautions)
		w.Put("</ul>\n</div>\n")
	}
	w.Put("</div>\n</section>\n")
}

// sap writes a season of sap.
func (w *pageWriter) sap(s *pageSap) {
	w.Put(`<div class="sap-season">`+"\n<h3>%s</h3>\n", s.Heading)
	if len(s.Verdicts) > 0 {
		w.Put("<div>\n")
		w.Each(`<p class="verdict">%s</p>`+"\n", s.Verdicts)
		if len(s.Shares) > 0 {
			w.shares(s)
		}
		w.Put("</div>\n")
	}
	w.Put("<div>\n")
	if s.Buds != "" {
		w.Put("<figure>%s<figcaption>%s</figcaption></figure>\n", s.Far, s.Buds)
	}
	w.Each("<p>%s</p>\n", s.Facts)
	w.table(w.t.Runs, s.Heading, fmt.Sprintf(w.t.RunsOf, s.Heading), w.t.RunColumns[:], s.Runs)
	w.Put("</div>\n</div>\n")
}

// shares writes what holes catch, by the day on which they are begun.
func (w *pageWriter) shares(s *pageSap) {
	w.Put(`<table class="shares">` + "\n<thead><tr>")
	for i, c := range w.t.ShareColumns {
		w.Put(`<th scope="col">%s</th>`, c)
		if i == 1 {
			w.Put(`<td class="drawn"></td>`)
		}
	}
	w.Put("<td></td></tr></thead>\n<tbody>\n")
	for _, r := range s.Shares {
		w.Put(`<tr><th scope="row">%s</th><td>%s</td>`, r.Day, r.Share)
		w.Put(`<td class="drawn"><svg class="bar" width="100" height="10" aria-hidden="true">`+
			`<rect class="area" width="%d" height="10"/></svg></td>`, r.Wide)
		w.Put(`<td>%s</td><td>%s</td><td class="which">%s</td></tr>`+"\n", r.Hours, r.OfBest, r.Which)
	}
	w.Put("</tbody>\n</table>\n"+`<p class="how">%s</p>`+"\n", s.Catches)
}

// glance writes a site's year: drawn, as a table and what could not be dated.
func (w *pageWriter) glance(s *pageSite) {
	w.Put(`<div class="glance">`+"\n<h3>%s</h3>\n<figure>\n", w.t.Year)
	for _, part := range s.Year {
		w.Put("%s\n", part)
	}
	hatched := ""
	if s.Hatched {
		hatched = w.t.Hatched
	}
	w.Put(`<figcaption>
<p class="how">%s <svg width="8" height="7" aria-hidden="true"><use href="#alarm" x="4" y="0"/></svg> %s%s.</p>
</figcaption>
</figure>
`, w.t.YearHow, w.t.IsAlarm, hatched)
	w.table(w.t.Dates, s.Name, fmt.Sprintf(w.t.DatesAt, s.Name), w.t.DateColumns[:], s.Dates)
	if s.Left > 0 {
		w.Put(`<p class="how">%s</p>`+"\n", fmt.Sprintf(w.t.Left, s.Left))
	}
	w.fold(w.t.Undated, s.Name, s.Undated)
	w.Put("</div>\n")
}

// spring writes a spring against the years.
func (w *pageWriter) spring(s *pageSpring) {
	w.Put(`<div class="spring-years">
<h3>%s</h3>
<p class="chief">%s</p>
<p>%s</p>
<figure>
%s
<figcaption>
<p class="how">%s %s</p>
</figcaption>
</figure>
`, w.t.Spring, s.Chief, s.By, s.Drawing, s.Heat, w.t.SpringHow)
	w.fold(w.t.InWords, "", s.Days)
	if s.Alone != "" {
		w.Put(`<p class="how"><a href="%s" type="image/svg+xml">%s</a></p>`+"\n", s.Alone, w.t.Alone)
	}
	w.Put("</div>\n")
}

// temperatures writes this season's temperatures, or why there are none.
func (w *pageWriter) temperatures(s *pageSite) {
	v := s.Weather
	if v == nil {
		w.Put(`<div class="temperatures empty">`+"\n<h3>%s</h3>\n"+`<p class="none">%s</p>`+"\n</div>\n",
			w.t.Temperatures, s.NoWeather)
		return
	}
	w.Put(`<div class="temperatures">`+"\n<h3>%s</h3>\n<figure>\n%s\n<figcaption>\n", w.t.Temperatures, v.Drawing)
	if v.Runs != "" {
		w.Put(`<p class="runs"><strong>%s</strong> <span class="dot sap" aria-hidden="true"></span> %s %s</p>`+"\n",
			v.Runs, w.t.Marks, v.Rule)
	}
	w.Put(`<p class="how">%s</p>`+"\n</figcaption>\n</figure>\n", v.Caption)
	w.fold(w.t.RunsByDate, "", v.RunDays)
	w.Put("</div>\n")
}

// work writes the work, open and ahead.
func (w *pageWriter) work(s *pageSite) {
	w.Put(`<div class="ahead">` + "\n")
	if len(s.Open) > 0 {
		w.Put("<h3>%s</h3>\n", w.t.OpenNow)
		w.entries(s.Open)
	}
	w.Put("<h3>%s</h3>\n", w.t.Ahead)
	for _, m := range s.Months {
		if m.Folded == "" {
			w.Put("<h4>%s</h4>\n", m.Name)
			w.entries(m.Entries)
			continue
		}
		w.Put(`<details class="later"><summary><h4>%s</h4> <span class="how">%s</span></summary>`+"\n",
			m.Name, m.Folded)
		w.entries(m.Entries)
		w.Put("</details>\n")
	}
	if len(s.Months) == 0 {
		w.Put(`<p class="none">%s</p>`+"\n", w.t.NothingDue)
	}
	if s.MoreWork > 0 {
		w.Put(`<p class="how">%s</p>`+"\n", fmt.Sprintf(w.t.MoreWork, s.MoreWork))
	}
	if len(s.Sources) > 0 {
		w.Put(`<details class="sources">`+"\n"+`<summary>%s<span class="unseen">%s%s</span></summary>`+"\n<ol>",
			w.t.Sources, w.colon, s.Name)
		w.Each("<li>%s</li>", s.Sources)
		w.Put("</ol>\n</details>\n")
	}
	w.Put("</div>\n")
}

func (w *pageWriter) entries(list []pageEntry) {
	w.Put(`<ol class="list">` + "\n")
	for i := range list {
		w.entry(&list[i])
	}
	w.Put("</ol>\n")
}

// entry writes one piece of work.
func (w *pageWriter) entry(e *pageEntry) {
	w.Put(`<li class="entry %s">
<p class="when"><time datetime="%s">%s</time></p>
<div class="what">
<p class="task"><strong>%s</strong>`, e.Activity, e.First, e.When, e.What)
	w.Some(", %s", e.Where)
	w.Some(` <span class="kind">%s</span>`, e.Kind)
	w.Put("</p>\n")
	w.Each(`<p class="doubt">%s</p>`+"\n", e.Doubts)
	w.Some(`<p class="verdict">%s</p>`+"\n", e.Verdict)
	w.Put(`<p class="sure">`)
	w.chance(e.Chance)
	w.Put("%s", e.Sure)
	w.Some(` <span class="of">%s</span>`, e.Of)
	w.Put("</p>\n" + `<p class="basis">`)
	if best := e.Best; best != "" {
		if e.Hours != "" {
			best += ", " + e.Hours
		}
		w.Put("%s ", ended(w.t.BestDay+best))
	}
	w.Put("%s</p>\n", ended(w.t.BasedOn+e.Basis))
	if len(e.Reasons) > 0 || len(e.LookFor) > 0 || len(e.Kit) > 0 || len(e.Sources) > 0 {
		w.why(e)
	}
	w.Put("\n</div>\n</li>\n")
}

// why writes what stands behind a piece of work, folded away.
func (w *pageWriter) why(e *pageEntry) {
	w.Put("<details>\n"+`<summary>%s<span class="unseen">%s%s, %s</span></summary>`+"\n",
		w.t.Why, w.colon, e.What, e.When)
	for _, list := range []struct {
		label string
		items []string
	}{{w.t.WhyDays, e.Reasons}, {w.t.LookFor, e.LookFor}, {w.t.Bring, e.Kit}} {
		if len(list.items) > 0 {
			w.Put(`<p class="label">%s</p><ul>`, list.label)
			w.Each("<li>%s</li>", list.items)
			w.Put("</ul>")
		}
		w.Put("\n")
	}
	if len(e.Sources) > 0 {
		numbers := make([]string, len(e.Sources))
		for i, n := range e.Sources {
			numbers[i] = strconv.Itoa(n)
		}
		w.Put(`<p class="from">%s%s%s</p>`, w.t.Sources, w.colon, strings.Join(numbers, ", "))
	}
	w.Put("\n</details>")
}

// feeds writes where to subscribe.
func (w *pageWriter) feeds(f *pageFeeds) {
	w.Put(`<div class="subscribe">`+"\n<h3>%s</h3>\n"+`<ul class="feeds">`+"\n", w.t.OnCalendar)
	for _, l := range f.List {
		w.Put("<li>\n"+`<span class="feed-name">%s</span>`+"\n"+`<span class="ways">`, l.Name)
		if l.Webcal != "" {
			w.Put(`<a class="webcal" href="%s" aria-label="%s">%s</a>`,
				l.Webcal, fmt.Sprintf(w.t.SubscribeTo, l.Name), w.t.Subscribe)
		}
		w.Put(`
<a class="address" href="%s" type="text/calendar" aria-label="%s">%s</a>
<button type="button" class="copy" hidden aria-label="%s">%s</button></span>
</li>
`, l.Address, fmt.Sprintf(w.t.AddressOf, l.Name), w.t.Address, fmt.Sprintf(w.t.CopyOf, l.Name), w.t.Copy)
	}
	w.Put("</ul>\n")
	if !f.Code.Empty() {
		w.Put(`<div class="scan">%s<p class="how">%s</p></div>`+"\n", f.Code, w.t.Scan)
	}
	w.Put("\n"+`<p class="how"><a href="#subscribing">%s</a></p>`+"\n</div>\n", w.t.HowToSubscribe)
}
