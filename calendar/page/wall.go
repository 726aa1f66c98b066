package page

import (
	"cmp"
	_ "embed"
	"io"
	"slices"

	"treewhen/calendar"
	"treewhen/calendar/glance"
	"treewhen/calendar/page/markup"
	"treewhen/calendar/phrase"
	"treewhen/calendar/words"
	"treewhen/phenology/civil"
)

//go:embed wall.css
var wallCSS string

// Wall is a site's year for the wall: the work of twelve months as a strip, drawn as large as there is room.
type Wall struct {
	Name    string
	Drawing markup.HTML
}

// WriteWall writes a page for print, a sheet for each site, on paper of any size that lies across.
func WriteWall(to io.Writer, title string, as phrase.Speech, walls []Wall) error {
	var w markup.Writer
	w.Put(`<svg width="0" height="0" style="position:absolute" aria-hidden="true"><defs>` +
		`<pattern id="hatch" width="2" height="2" patternUnits="userSpaceOnUse">` +
		`<path class="hatch" d="M0 2L2 0"/></pattern>` +
		"</defs></svg>\n")
	for _, wall := range walls {
		w.Put(`<section class="sheet">%s</section>`+"\n", wall.Drawing)
	}
	return printed(to, words.PageFrameIn(as).Lang, phrase.OneLine(title), markup.File(pictureStyle()+"\n"+wallCSS), "",
		w.HTML())
}

// WallPolicy returns the Content-Security-Policy of that page: it has styles and nothing else.
func WallPolicy() string { return "default-src 'none'; style-src 'unsafe-inline'" }

// The measures of a sheet in millimetres of A4; on other paper it grows or shrinks as a whole. From three metres a
// letter of four millimetres can be read by who sees as most people do: five minutes of arc, the line of an eye chart
// that counts as normal (Snellen 1862, from memory).
const (
	wallWide, wallHigh = 277.0, 190.0
	wallTop, wallFoot  = 38.0, 9.0 // above the first row, below the last
	mostWallRows       = 14
	widestRow          = 18.0
	wallLetter         = 0.6  // of a row: how large its letters are
	letterWide         = 0.47 // of its size: how wide a letter of the sheet's type is, about
)

// NewWall draws a place's year for the wall.
func NewWall(pl *calendar.Place, entries []*calendar.Entry, asOf civil.Date, as phrase.Speech) Wall {
	year := glance.NewYear(soonest(pl, entries, 1), entries, asOf, func(see calendar.Sight) int {
		return nameDays(see, as)
	})
	rows, left := wallRows(entries, year.Span)
	d := &wallDrawing{Year: year, as: as, row: min(widestRow, (wallHigh-wallTop-wallFoot)/float64(max(1, len(rows))))}
	name := pl.Site().Name
	d.b.Put(`<svg viewBox="0 0 %g %g" preserveAspectRatio="xMidYMin meet" role="img" aria-label="%s">`+
		`<text class="name" x="0" y="12">%s</text>`,
		wallWide, wallHigh, name, fit(name, 46))
	d.months()
	for i, e := range rows {
		d.piece(e, wallTop+float64(i)*d.row)
	}
	if len(rows) == 0 {
		d.b.Put(`<text class="month-name" x="%g" y="%g">%s</text>`, wallWide/2, wallHigh/2, words.WallEmpty(as))
	}
	d.b.Put(`<text class="foot" x="0" y="%g">%s</text></svg>`, wallHigh-2,
		words.WallFoot(asOf, left, len(year.Shut) > 0, as))
	return Wall{Name: name, Drawing: d.b.HTML()}
}

// wallRows chooses what stands on a wall, by its best day, and how much is left out: of seed the collections alone if
// all of its way has no room, and no more than can be read from afar. What a forecast brings, runs and spells of
// weather, is past before the sheet is.
func wallRows(entries []*calendar.Entry, span civil.Span) (rows []*calendar.Entry, left int) {
	all, chief := 0, []*calendar.Entry{}
	for _, e := range entries {
		if !e.Window.Overlaps(span) || e.Task.OfSite() || e.Task == calendar.TaskRainDate {
			continue
		}
		all++
		rows = append(rows, e)
		if e.Activity != calendar.SeedCollection || e.Task == calendar.TaskCollect {
			chief = append(chief, e)
		}
	}
	if len(rows) > mostWallRows {
		rows = chief
	}
	slices.SortStableFunc(rows, func(a, b *calendar.Entry) int { return cmp.Compare(a.Best, b.Best) })
	rows = rows[:min(len(rows), mostWallRows)]
	return rows, all - len(rows)
}

// wallDrawing draws a year on a sheet.
type wallDrawing struct {
	*glance.Year
	as  phrase.Speech
	row float64 // how high a row is
	b   markup.Writer
}

func (d *wallDrawing) x(day civil.Date) float64 {
	return wallWide * float64(day-d.Span.First) / float64(d.Span.Days())
}

// months draws the months behind the rows, with the days on which nobody goes out.
func (d *wallDrawing) months() {
	for i, m := range d.Months {
		x, wide := d.x(m.First), d.x(m.Last+1)-d.x(m.First)
		if i%2 == 1 {
			d.b.Put(`<rect class="month" x="%.1f" y="20" width="%.1f" height="%g"/>`, x, wide, wallHigh-wallFoot-20)
		}
		d.b.Put(`<text class="month-name" x="%.1f" y="30">%s</text>`, x+wide/2, words.Month(m.First, d.as))
	}
	for _, s := range d.Shut {
		if s = s.Intersect(d.Span); !s.Empty() {
			d.b.Put(`<rect fill="url(#hatch)" x="%.1f" y="%g" width="%.1f" height="3"/>`, d.x(s.First), wallTop-5,
				d.x(s.Last+1)-d.x(s.First))
		}
	}
}

// piece draws a piece of work as a bar, as full as it is likely, and its day and name beside it.
func (d *wallDrawing) piece(e *calendar.Entry, y float64) {
	days := e.Window.Intersect(d.Span)
	x, end := d.x(days.First), max(d.x(days.Last+1), d.x(days.First)+1.5)
	high, full := d.row*0.8, 1.0
	if !e.State.Over() {
		full = e.Probability
	}
	size := d.row * wallLetter
	d.b.Put(`<g class="%s" font-size="%.1f"><rect class="whole" x="%.1f" y="%.1f" width="%.1f" height="%.1f"/>`+
		`<rect class="area" x="%.1f" y="%.1f" width="%.1f" height="%.1f"/>`,
		e.Activity, size, x, y, end-x, high, x, y+high*(1-full), end-x, high*full)
	if e.Window.Days() > 1 && d.Span.Contains(e.Best) {
		best := (d.x(e.Best) + d.x(e.Best+1)) / 2
		d.b.Put(`<line class="best" x1="%.1f" x2="%.1f" y1="%.1f" y2="%.1f"/>`, best, best, y, y+high)
	}
	day, name := words.WallDay(e), words.EntryName(e)
	at, anchor, room := end+2, "start", wallWide-end-2
	if room < x-2 && room < size*letterWide*float64(len([]rune(day+name))+1) {
		at, anchor, room = x-2, "end", x-2
	}
	d.b.Put(`<text x="%.1f" y="%.1f" text-anchor="%s"><tspan class="on">%s</tspan> %s</text></g>`,
		at, y+high/2+size*0.35, anchor, day,
		fit(name, int(room/size/letterWide)-len([]rune(day))-1))
}
