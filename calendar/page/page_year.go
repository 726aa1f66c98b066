package page

import (
	"fmt"
	"strconv"
	"strings"
	"unicode/utf8"

	"treewhen/calendar"
	"treewhen/calendar/glance"
	"treewhen/calendar/page/markup"
	"treewhen/calendar/phrase"
	"treewhen/calendar/words"
	"treewhen/phenology"
)

// The measures of a year's drawing, in CSS pixels. Across, everything is in per cent of the width, so that words keep
// their size on a phone and on a wall.
const (
	yearHead = 50 // today, years and months above the first row
	rowName  = 21 // a row's name
	rowHigh  = 16 // what is certain is so high
	rowGap   = 12 // below it, with the alarms
	laneGap  = 4
)

// nameDays is how many days a spell's name takes where the drawing is narrowest, some 330 pixels: a letter six of them.
func nameDays(s calendar.Sight, as phrase.Speech) int {
	return 8 + 7*utf8.RuneCountInString(words.SpellName(s, as))
}

// yearDrawing draws a part of a year: some of its rows.
type yearDrawing struct {
	*glance.Year
	as   phrase.Speech
	site *phenology.Site
	part int // from 1
	b    markup.Writer
	y    int      // where the next row begins
	says []string // what is drawn, a sentence a row
}

// partHigh is how high a part of a year's drawing may be before another begins: on paper none is torn.
const partHigh = 620

// drawYear draws a place's year as SVG 1.1, in parts of some rows each. Height is chance: what is certain fills its
// row. A pin stands on the best day of a piece of work, full once nothing can move it; a triangle is an alarm.
func drawYear(site *phenology.Site, year *glance.Year, as phrase.Speech) (parts []markup.HTML) {
	d := &yearDrawing{Year: year, as: as, site: site, part: 1, y: yearHead}
	next := func(high int) {
		if d.y > yearHead && d.y+high > partHigh {
			parts = append(parts, d.close())
			d = &yearDrawing{Year: year, as: as, site: site, part: d.part + 1, y: yearHead}
		}
	}
	for _, r := range year.Work {
		next(rowName + rowHigh + rowGap)
		d.work(r)
	}
	for _, r := range year.Trees {
		next(rowName + r.Lanes()*(rowHigh+laneGap) + rowGap)
		d.tree(r)
	}
	return append(parts, d.close())
}

// close puts the months and today behind the rows.
func (d *yearDrawing) close() markup.HTML {
	rows := d.b.HTML()
	d.b = markup.Writer{}
	d.open()
	x := d.x(float64(d.AsOf) + 0.5)
	d.b.Put(`<line class="today" x1="%s" x2="%s" y1="16" y2="%d"/>`, x, x, d.y) // behind the names of rows
	d.b.Put(`%s`, rows)
	d.b.Put(`<text class="today-name" x="%s" y="12">%s</text></svg>`, x, words.PageFrameIn(d.as).Today)
	return d.b.HTML()
}

// open writes all that stands behind the rows.
func (d *yearDrawing) open() {
	id := fmt.Sprintf("year-%s-%d", d.site.ID, d.part)
	d.b.Put(`<svg class="year" width="100%%" height="%d" role="img" aria-labelledby="%s-title %s-desc">`,
		d.y, id, id)
	d.b.Put(`<title id="%s-title">%s</title>`, id,
		fmt.Sprintf(words.PageFrameIn(d.as).YearOf,
			d.site.Name, words.MonthOf(d.Span.First, d.as), words.MonthOf(d.Span.Last, d.as)))
	d.b.Put(`<desc id="%s-desc">%s %s</desc>`, id, strings.Join(d.says, " "),
		words.PageFrameIn(d.as).SameDays)
	for i, m := range d.Months {
		x, w := d.x(float64(m.First)), d.width(float64(m.Days()))
		if i%2 == 1 {
			d.b.Put(`<rect class="month" x="%s" y="32" width="%s" height="%d"/>`, x, w, d.y-32)
		}
		d.b.Put(`<text class="month-name" x="%s" y="46">%s</text>`, d.x(float64(m.First)+float64(m.Days())/2),
			words.Month(m.First, d.as))
		if i == 0 || m.First.Month() == 1 {
			d.b.Put(`<text class="year-name" x="%s" y="28">%s</text>`, x, m.First.Format("2006"))
		}
	}
}

// name writes a row's name and returns where what it holds begins.
func (d *yearDrawing) name(text, class string) int {
	d.b.Put(`<text class="%s" x="%s" y="%d">%s</text>`, class, d.x(float64(d.Span.First)), d.y+13, text)
	return d.y + rowName
}

// work draws a row of work.
func (d *yearDrawing) work(r glance.WorkRow) {
	name := words.RowName(r.Activity, r.Task, r.Species, d.as)
	d.says = append(d.says, ended(name+words.LabelsIn(d.as).Colon()+bestDays(r, d.as)))
	top := d.name(name, "row")
	base := top + rowHigh
	d.b.Put(`<g class="%s">`, r.Activity)
	if r.Activity == calendar.FieldTrip || r.Activity == calendar.TwigSurvey {
		for _, s := range d.Shut {
			if s = s.Intersect(d.Span); !s.Empty() {
				d.b.Put(`<rect class="shut" fill="url(#hatch)" x="%s" y="%d" width="%s" height="%d"/>`,
					d.x(float64(s.First)), top, d.width(float64(s.Days())), rowHigh)
			}
		}
	}
	d.b.Put(`<line class="base" x1="%s" x2="%s" y1="%d" y2="%d"/>`, d.x(float64(d.Span.First)),
		d.x(float64(d.Span.Last+1)), base, base)
	for _, e := range r.Entries {
		d.piece(e, top)
	}
	d.b.Put(`</g>`)
	d.y = base + rowGap
}

// ended ends a sentence with a stop, unless a French month has done so.
func ended(text string) string { return strings.TrimSuffix(text, ".") + "." }

// bestDays lists the best days of a row of work.
func bestDays(r glance.WorkRow, as phrase.Speech) string {
	var days []string
	for _, e := range r.Entries {
		days = append(days, words.Day(e.Best, as))
	}
	return fmt.Sprintf(words.PageFrameIn(as).Best, words.Join(days, as))
}

// piece draws one piece of work. Of a seed's way only the collection has room for its days; the rest are ticks.
func (d *yearDrawing) piece(e *calendar.Entry, top int) {
	base := top + rowHigh
	if e.Activity == calendar.SeedCollection && e.Task != calendar.TaskCollect {
		if d.Span.Contains(e.Best) {
			x := d.x(float64(e.Best) + 0.5)
			d.b.Put(`<line class="tick" x1="%s" x2="%s" y1="%d" y2="%d"/>`, x, x, base-6, base)
		}
		return
	}
	high := rowHigh * e.Probability
	if e.State.Over() {
		high = rowHigh
	}
	x, y := d.x(float64(e.Best)+0.5), float64(base)-high
	switch w := e.Window.Intersect(d.Span); {
	case e.Task == calendar.TaskRainDate:
		if d.Span.Contains(e.Best) {
			d.b.Put(`<circle class="pin rain" cx="%s" cy="%d" r="3"/>`, x, base-4)
		}
		return
	case w.Empty():
		return
	case e.Window.Days() == 1:
		d.b.Put(`<line class="shaft" x1="%s" x2="%s" y1="%.1f" y2="%d"/>`, x, x, y, base)
	default:
		left, wide := d.x(float64(w.First)), d.width(float64(w.Days()))
		d.b.Put(`<rect class="whole" x="%s" y="%d" width="%s" height="%d"/>`+
			`<rect class="area" x="%s" y="%.1f" width="%s" height="%.1f"/>`,
			left, top, wide, rowHigh, left, y, wide, high)
	}
	if d.Span.Contains(e.Best) {
		d.pin(e, x, top, y)
	}
	for _, r := range e.Reminders {
		if on := r.Day(); on >= d.AsOf && d.Span.Contains(on) && e.Activity != calendar.SeedCollection {
			d.b.Put(`<use href="#alarm" x="%s" y="%d"/>`, d.x(float64(on)+0.5), base+2)
		}
	}
}

// pin marks the best day of a piece of work, whose chance reaches up to y.
func (d *yearDrawing) pin(e *calendar.Entry, x string, top int, y float64) {
	class := "pin"
	if e.Settled || e.State != calendar.Open {
		class = "pin known"
	}
	d.b.Put(`<line class="stem" x1="%s" x2="%s" y1="%d" y2="%.1f"/>`, x, x, top, y)
	if e.Window.Days() > 1 {
		d.b.Put(`<line class="stem in" x1="%s" x2="%s" y1="%.1f" y2="%d"/>`, x, x, y, top+rowHigh)
	}
	d.b.Put(`<circle class="%s" cx="%s" cy="%d" r="4"/>`, class, x, top)
}

// yearMargin is what is kept free at either side, in per cent, so that no pin is cut.
const yearMargin = 1.5

// x returns where a moment lies, as a percentage of the width; days are counted as dates are, from their beginning.
func (d *yearDrawing) x(day float64) string {
	return percentOf(yearMargin + (100-2*yearMargin)*(day-float64(d.Span.First))/float64(d.Span.Days()))
}

// width returns how wide so many days are.
func (d *yearDrawing) width(days float64) string {
	return percentOf((100 - 2*yearMargin) * days / float64(d.Span.Days()))
}

func percentOf(x float64) string { return strconv.FormatFloat(x, 'f', 2, 64) + "%" }
