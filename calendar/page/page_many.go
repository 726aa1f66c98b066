package page

import (
	"cmp"
	"fmt"
	"slices"
	"strings"

	"treewhen/calendar"
	"treewhen/calendar/glance"
	"treewhen/calendar/page/markup"
	"treewhen/calendar/phrase"
	"treewhen/calendar/words"
	"treewhen/phenology/civil"
)

// Overview returns what a page of more than [MaxPageSites] sites shows of a site's work, so that nothing else need be
// kept.
func Overview(entries []*calendar.Entry, asOf civil.Date) []*calendar.Entry {
	ahead := glance.Ahead(entries, asOf)
	return slices.Clone(ahead[:min(len(ahead), 1+mostThen)])
}

// pageRow is a site among many: what is next there, and where its feed and its own page are.
type pageRow struct {
	pageNext
	Mini string // a path of what is next, over the next hundred days, a hundred wide and ten high
	Page string
	Feed string
}

// overview shows what is next at each of many sites, the soonest first, and on a map.
func (v *pageView) overview(p Page, links map[string][]FeedLink) {
	entries := map[string][]*calendar.Entry{}
	for _, e := range p.Schedule.Entries {
		entries[e.Site.ID] = append(entries[e.Site.ID], e)
	}
	var dots []glance.Dot
	for i, pl := range p.Plan.Places {
		site := pl.Site()
		row := pageRow{pageNext: v.Next[i]}
		if row.still {
			row.Moved = "" // a thousand times
		} else {
			v.ManyMoved++
		}
		if len(p.Plan.Places) <= mostMinis {
			row.Mini = mini(Overview(entries[site.ID], v.AsOf), v.AsOf)
		}
		for _, f := range links[site.ID] {
			if f.Activity == "" {
				row.Feed = f.Address
			}
		}
		if row.Page = p.Pages[site.ID]; row.Mini == "" && row.Page == "" {
			row.Page, row.Feed = row.Feed, ""
		}
		v.Many = append(v.Many, row)
		dots = append(dots, glance.Dot{
			Latitude: site.Latitude, Longitude: site.Longitude, Band: bandOf(row.act - v.AsOf),
		})
	}
	slices.SortStableFunc(v.Many, func(a, b pageRow) int {
		return cmp.Or(cmp.Compare(a.act, b.act), cmp.Compare(a.Site, b.Site))
	})
	if len(v.Many) <= mostMinis {
		v.ByName = slices.Clone(v.Many)
		slices.SortStableFunc(v.ByName, func(a, b pageRow) int { return cmp.Compare(a.Site, b.Site) })
	}
	v.Map = drawMap(glance.NewMap(dots, mapWide, mapHigh), v.as)
}

// The bands of a map's dots, by how soon something is next.
var bandNames = []string{"within a week", "within a month", "later"}

func bandOf(days civil.Date) int {
	switch {
	case days <= 7:
		return 0
	case days <= 31:
		return 1
	}
	return 2
}

// mostMinis is for how many sites each row has a small strip and a link to its calendar beside its own page; a page of
// a thousand stays below 300 kB without.
const mostMinis = 300

// miniDays is how many days the small strip beside a site has.
const miniDays = 100

// mini draws the windows of the next pieces of work as bars one above the other, each with its chance's height.
func mini(ahead []*calendar.Entry, asOf civil.Date) string {
	var b strings.Builder
	span := civil.Span{First: asOf, Last: asOf + miniDays - 1}
	for _, e := range ahead {
		if w := e.Window.Intersect(span); !w.Empty() {
			fmt.Fprintf(&b, "M%d 10V%.0fh%dV10", w.First-asOf, 10-10*e.Probability, max(1, w.Days()))
		}
	}
	return b.String()
}

const mapWide, mapHigh = 640.0, 400.0

// drawMap draws a map of dots.
func drawMap(m *glance.Map, as phrase.Speech) markup.HTML {
	if m == nil {
		return markup.HTML{}
	}
	var b markup.Writer
	b.Put(`<svg class="map" viewBox="0 0 %g %g" role="img"`+
		` aria-label="%s">`, m.Wide, m.High, words.PageFrameIn(as).Map)
	line := func(class string, lines [][]glance.Point) {
		var path strings.Builder
		for _, l := range lines {
			for i, p := range l {
				sign := "L"
				if i == 0 {
					sign = "M"
				}
				fmt.Fprintf(&path, "%s%.0f %.0f", sign, p.X, p.Y)
			}
		}
		if path.Len() > 0 {
			b.Put(`<path class="%s" d="%s"/>`, class, path.String())
		}
	}
	line("grid", m.Grid)
	line("coast", m.Coast)
	for band := len(bandNames) - 1; band >= 0; band-- {
		b.Put(`<g class="band%d">`, band)
		for _, d := range m.Dots {
			if d.Band == band {
				b.Put(`<circle cx="%.0f" cy="%.0f" r="%d"/>`, d.X, d.Y, 7-2*band)
			}
		}
		b.Put(`</g>`)
	}
	for _, l := range m.Labels {
		b.Put(`<text class="scale" x="%.0f" y="%.0f">%s</text>`, l.X, l.Y, l.Text)
	}
	b.Put(`</svg><ul class="key">`)
	for band, name := range bandNames {
		n := 0
		for _, d := range m.Dots {
			if d.Band == band {
				n++
			}
		}
		b.Put(`<li><svg width="16" height="16" class="band%d" aria-hidden="true">`+
			`<circle cx="8" cy="8" r="%d"/></svg>%s: %s</li>`,
			band, 7-2*band, phrase.Capital(name), phrase.Count(n, "site"))
	}
	b.Put(`</ul>`)
	return b.HTML()
}
