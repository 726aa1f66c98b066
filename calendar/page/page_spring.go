package page

import (
	"fmt"
	"io"
	"math"
	"strconv"
	"strings"

	"treewhen/calendar/glance"
	"treewhen/calendar/page/markup"
	"treewhen/calendar/phrase"
	"treewhen/calendar/words"
	"treewhen/phenology"
	"treewhen/phenology/civil"
)

// pageSpring is a spring against the years, drawn, in a sentence and as a table.
type pageSpring struct {
	Drawing markup.HTML
	Chief   string // by how much it is ahead
	By      string // by what
	Heat    string
	Alone   string   // where the picture is by itself; "" for nowhere
	Days    []string // every phase, each a sentence
}

func springView(s *glance.Spring, as phrase.Speech) *pageSpring {
	if s == nil {
		return nil
	}
	d := &springDrawing{Spring: s, as: as, scale: 1, x: func(day float64) string {
		return percentOf(yearMargin + (100-2*yearMargin)*(day-float64(s.Span.First))/float64(s.Span.Days()))
	}, id: "spring-" + s.Site.ID}
	v := &pageSpring{Drawing: d.draw(), Chief: chiefOf(s, as), By: chiefDay(s, as), Heat: heatOf(s, as)}
	for i := range s.Rows {
		day := springDay(&s.Rows[i])
		v.Days = append(v.Days, phrase.Capital(words.SpringAhead(day, as))+words.LabelsIn(as).Colon()+
			phrase.Uncapital(words.Spring(day, as)))
	}
	return v
}

func springDay(r *glance.SpringRow) words.SpringDay {
	return words.SpringDay{Species: r.Species, Phase: r.Phase, Early: r.Early, Middle: r.Middle, Late: r.Late,
		Come: r.Basis <= phenology.BasisReached, Usual: r.Usual, Years: len(r.Past)}
}

// chiefOf says in a few words how far ahead the spring is.
func chiefOf(s *glance.Spring, as phrase.Speech) string {
	return phrase.Capital(words.SpringAhead(springDay(&s.Rows[s.Chief]), as))
}

// chiefDay says by which phase.
func chiefDay(s *glance.Spring, as phrase.Speech) string {
	return words.Spring(springDay(&s.Rows[s.Chief]), as)
}

func heatOf(s *glance.Spring, as phrase.Speech) string {
	now, usual := s.Heat.Now()
	if s.Heat.Seen == 0 {
		return ""
	}
	return words.HeatSoFar(s.Span.First+civil.Date(s.Heat.Seen)-1, glance.HeatBase, now, usual, len(s.Heat.Past), as)
}

// springDrawing draws a spring: above the heat of this season over that of every past one, below each phase, this
// year's days as a spindle and the day of every past year as a dot.
type springDrawing struct {
	*glance.Spring
	as    phrase.Speech
	scale float64                  // of all heights
	x     func(day float64) string // where a moment lies
	id    string
	b     markup.Writer
}

// The measures of the drawing, in CSS pixels.
const (
	springHead = 18 // the month's names
	springHeat = 92
	springRow  = 50
	springFoot = 4
)

func (d *springDrawing) height() float64 {
	return springHead + springHeat + float64(len(d.Rows))*springRow + springFoot
}

// px writes a height at its scale.
func (d *springDrawing) px(y float64) string {
	return strconv.FormatFloat(math.Round(y*d.scale*10)/10, 'f', -1, 64)
}

func (d *springDrawing) draw() markup.HTML {
	d.b.Put(`<svg class="spring" width="100%%" height="%s" role="img" aria-labelledby="%s-title">`+
		`<title id="%s-title">%s</title>`, d.px(d.height()), d.id, d.id, fmt.Sprintf(words.PageFrameIn(d.as).SpringOf,
		d.Site.Name, words.PastYears(len(d.Heat.Past), d.as), chiefOf(d.Spring, d.as)))
	d.rows()
	d.b.Put(`</svg>`)
	return d.b.HTML()
}

// rows draws all that is in the drawing.
func (d *springDrawing) rows() {
	y, mo, _ := d.Span.First.Date()
	for i := range 6 {
		m := civil.Span{First: civil.Of(y, mo, 1), Last: civil.Of(y, mo+1, 1) - 1}
		if mo++; i%2 == 1 {
			d.box("month", m, springHead, d.height()-springHead, "", m.Days())
		}
		d.b.Put(`<text class="month-name" x="%s" y="%s">%s</text>`, d.x(float64(m.First)+float64(m.Days())/2),
			d.px(springHead-5), words.Month(m.First, d.as))
	}
	today := d.x(float64(d.AsOf) + 0.5)
	if d.Span.Contains(d.AsOf) {
		d.b.Put(`<line class="today" x1="%s" x2="%s" y1="%s"`+
			` y2="%s"/>`, today, today, d.px(springHead), d.px(d.height()))
	}
	d.heat()
	for i := range d.Rows {
		d.row(&d.Rows[i], springHead+springHeat+float64(i)*springRow)
	}
}

// box draws a path, or where there is none a box, over some days, in units of days across and of a hundredth down.
func (d *springDrawing) box(class string, days civil.Span, y, high float64, path string, wide int) {
	if path == "" {
		path = fmt.Sprintf("M0 0H%dV100H0Z", wide)
	}
	first, last := d.x(float64(days.First)), d.x(float64(days.Last+1))
	unit := strings.TrimLeft(first, "0123456789.-")
	from, _ := strconv.ParseFloat(strings.TrimSuffix(first, unit), 64)
	to, _ := strconv.ParseFloat(strings.TrimSuffix(last, unit), 64)
	d.b.Put(`<svg x="%s" y="%s" width="%s%s" height="%s" viewBox="0 0 %d 100"`+
		` preserveAspectRatio="none"><path class="%s" d="%s"/></svg>`,
		first, d.px(y), strconv.FormatFloat(to-from, 'f', 2, 64), unit, d.px(high), wide, class, path)
}

// heatAhead is for how many days from the last observed one on the heat of past years is on the scale.
const heatAhead = 40

// heat draws the heat of every season.
func (d *springDrawing) heat() {
	most := 1.0
	for _, p := range d.Heat.Past { // the rest of the year is off the scale
		most = max(most, p[min(len(p), d.Heat.Seen+heatAhead)-1])
	}
	if n := len(d.Heat.This); n > 0 {
		most = max(most, d.Heat.This[n-1])
	}
	curve := func(list []float64, from int) string {
		var b strings.Builder
		sign := "M"
		for i := from; i < len(list); i++ {
			if (i-from)%4 == 0 || i == len(list)-1 {
				fmt.Fprintf(&b, "%s%d %.1f", sign, i+1, 100*(1-list[i]/most))
				sign = "L"
			}
		}
		return b.String()
	}
	var past strings.Builder
	for _, p := range d.Heat.Past {
		past.WriteString(curve(p, 0))
	}
	d.box("years", d.Span, springHead, springHeat-8, past.String(), d.Span.Days())
	if n := d.Heat.Seen; n > 0 {
		d.box("this", d.Span, springHead, springHeat-8, curve(d.Heat.This[:n], 0), d.Span.Days())
		if len(d.Heat.This) > n {
			d.box("this forecast", d.Span, springHead, springHeat-8, curve(d.Heat.This, n-1), d.Span.Days())
		}
	}
	d.b.Put(`<text class="scale" x="%s" y="%s">%s</text>`, d.x(float64(d.Span.First)+2),
		d.px(springHead+13), words.PageFrameIn(d.as).Heat)
}

// row draws one phase.
func (d *springDrawing) row(r *glance.SpringRow, y float64) {
	at := func(day civil.Date) string { return d.x(float64(day) + 0.5) }
	d.b.Put(`<g class="%s">`, toneOf(r.Phase))
	d.b.Put(`<line class="base" x1="%s" x2="%s" y1="%s" y2="%s"/>`, d.x(float64(d.Span.First)),
		d.x(float64(d.Span.Last+1)), d.px(y+springRow-2), d.px(y+springRow-2))
	d.b.Put(`<text class="row" x="%s" text-anchor="start" y="%s">%s, %s</text>`, d.x(float64(d.Span.First)+2),
		d.px(y+13), words.TreeName(r.Species, d.as), words.Phase(r.Phase, d.as))
	d.b.Put(`<text class="ahead" x="%s" text-anchor="end" y="%s">%s</text>`, d.x(float64(d.Span.Last)),
		d.px(y+13), words.Ahead(r.Ahead(), d.as))
	stack := map[civil.Date]int{}
	for _, p := range r.Past {
		if d.Span.Contains(p) {
			d.b.Put(`<circle class="dot" cx="%s" cy="%s"`+
				` r="%s"/>`, at(p),
				d.px(y+springRow-7-float64(min(stack[p], 2))*4), d.px(2))
			stack[p]++
		}
	}
	first, last := max(r.Early, d.Span.First), min(r.Late, d.Span.Last)
	if last > first {
		days := civil.Span{First: first, Last: last}
		d.box("spread", days, y+18, 12, spindle(100*(float64(r.Middle-first)+0.5)/float64(days.Days())), 100)
	}
	class := "pin"
	if r.Basis <= phenology.BasisReached {
		class = "pin known"
	}
	d.b.Put(`<circle class="%s" cx="%s" cy="%s" r="%s"/></g>`, class, at(r.Middle), d.px(y+24), d.px(4))
}

// spindle is an outline in a box of 100 by 100 that begins and ends in points and is thickest at a place along it.
func spindle(at float64) string {
	return fmt.Sprintf("M0 50L%.1f 5L100 50L%.1f 95Z", at, at)
}

// A picture of a spring that stands alone is so large: what those who show links show beside them.
const (
	pictureWide, pictureHigh = 1200, 630
	pictureMargin            = 48.0
)

// WriteSpring writes a spring against the years as a picture of its own, SVG 1.1, 1200 by 630 pixels.
func WriteSpring(w io.Writer, s *glance.Spring, as phrase.Speech) error {
	d := &springDrawing{Spring: s, as: as, id: "spring"}
	d.x = func(day float64) string {
		share := (day - float64(s.Span.First)) / float64(s.Span.Days())
		return strconv.FormatFloat(pictureMargin+(pictureWide-2*pictureMargin)*share, 'f', 1, 64)
	}
	const top, foot = 164.0, 34.0
	d.scale = (pictureHigh - top - foot) / d.height()
	d.b.Put(`<svg xmlns="http://www.w3.org/2000/svg" class="picture" width="%d" height="%d"`+
		` viewBox="0 0 %d %d" role="img" aria-labelledby="t"><title id="t">%s%s%s</title><style>%s</style>`,
		pictureWide, pictureHigh, pictureWide, pictureHigh, s.Site.Name, words.LabelsIn(as).Colon(),
		chiefOf(s, as), markup.File(pictureStyle()))
	d.b.Put(`<rect class="ground" width="%d" height="%d"/>`, pictureWide, pictureHigh)
	d.b.Put(`<text class="title" x="48" y="48">%s</text>`+
		`<text class="chief" x="48" y="98">%s</text><text class="what" x="48" y="134">%s</text>`,
		words.SpringTitle(fit(s.Site.Name, 50), s.Season.Year, s.AsOf, as), chiefOf(s, as),
		fit(chiefDay(s, as), 110))
	d.b.Put(`<svg y="%g" width="%d" height="%g" overflow="visible">`, top, pictureWide, pictureHigh-top-foot)
	d.rows()
	d.b.Put(`</svg>`+
		`<text class="foot" x="48" y="%d">%s %s</text></svg>`+"\n",
		pictureHigh-14, words.PageFrameIn(as).SpringFoot, heatOf(s, as))
	_, err := io.WriteString(w, d.b.HTML().String())
	return err
}

// pictureStyle is the style of a picture that stands alone, which is to look the same to everybody.
func pictureStyle() string {
	light, _, _ := strings.Cut(paletteCSS, "@media")
	return light + pictureCSS
}

// fit cuts a text to so many letters, at a space.
func fit(text string, most int) string {
	if len([]rune(text)) <= most {
		return text
	}
	cut := string([]rune(text)[:max(most-1, 0)])
	if i := strings.LastIndexByte(cut, ' '); i > 0 {
		cut = cut[:i]
	}
	return strings.TrimRight(cut, ",;:") + "…"
}
