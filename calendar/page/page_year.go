package page

import (
	"fmt"
	"html"
	"html/template"
	"strconv"
	"strings"

	"treewhen/calendar/glance"
	"treewhen/calendar/phrase"
	"treewhen/phenology"
	"treewhen/phenology/civil"
)

// phaseGroup is what a phase belongs to; a drawing has one colour a group.
func phaseGroup(p phenology.Phase) string {
	switch p {
	case phenology.SapStart, phenology.SapEnd:
		return "sap"
	case phenology.BudSwell, phenology.BudBreak, phenology.LeafOut:
		return "leaf"
	case phenology.Flowering, phenology.FloweringEnd:
		return "flower"
	case phenology.FruitRipe, phenology.SeedFall, phenology.SeedFallEnd:
		return "seed"
	default:
		return "fall"
	}
}

// The drawing's measures, in CSS pixels. Across, everything is in per cent of the width, so that letters keep their size
// on a phone and on a wall.
const (
	yearHead   = 56 // today, years and months above the first row
	yearName   = 20 // a species' name
	yearLane   = 19
	yearRibbon = 9
	yearGap    = 9
	budRadius  = 8
)

// drawYear draws a place's year as SVG 1.1. Each phase is a spindle from the day by which it has come in one year of ten
// to that of nine in ten, thickest at the middle day, where its bud sits: full if it was seen or reached, hollow if not.
// The suffix tells its ids from those of another drawing of the place.
// yearView is a year as it is drawn.
type yearView struct{ glance.View }

func drawYear(site *phenology.Site, v yearView, suffix string) template.HTML {
	height := yearHead
	for _, r := range v.Rows {
		height += yearName + r.Lanes()*yearLane + yearRibbon + yearGap
	}
	var b strings.Builder
	id := "year-" + site.ID + suffix
	fmt.Fprintf(&b, `<svg class="year" width="100%%" height="%d" role="img" aria-labelledby="%s-title %s-desc">`, height, id, id)
	fmt.Fprintf(&b, `<title id="%s-title">The year at %s, %s to %s</title>`, id, html.EscapeString(site.Name), v.Span.First.Format("January 2006"), v.Span.Last.Format("January 2006"))
	fmt.Fprintf(&b, `<desc id="%s-desc">%s The table below has the same dates.</desc>`, id, html.EscapeString(v.describe()))
	for i, m := range v.Months {
		x, w := v.x(float64(m.First)), v.width(float64(m.Days()))
		if i%2 == 1 {
			fmt.Fprintf(&b, `<rect class="month" x="%s" y="32" width="%s" height="%d"/>`, x, w, height-32)
		}
		fmt.Fprintf(&b, `<text class="month-name" x="%s" y="46">%s</text>`, v.x(float64(m.First)+float64(m.Days())/2), m.First.Format("Jan"))
		if i == 0 || m.First.Month() == 1 {
			fmt.Fprintf(&b, `<text class="year-name" x="%s" y="28">%s</text>`, x, m.First.Format("2006"))
		}
	}
	y := yearHead
	for _, r := range v.Rows {
		y = v.drawRow(&b, r, y)
	}
	x := v.x(float64(v.AsOf) + 0.5)
	fmt.Fprintf(&b, `<line class="today" x1="%s" x2="%s" y1="16" y2="%d"/><text class="today-name" x="%s" y="12">today</text></svg>`, x, x, height, x)
	return template.HTML(b.String())
}

func (v yearView) drawRow(b *strings.Builder, r glance.Row, y int) int {
	fmt.Fprintf(b, `<text class="species" x="%s" y="%d">%s</text>`, v.x(float64(v.Span.First)), y+14, html.EscapeString(r.Species.Name()))
	y += yearName
	twig := y + r.Lanes()*yearLane + yearRibbon/2
	fmt.Fprintf(b, `<line class="twig" x1="%s" x2="%s" y1="%d" y2="%d"/>`, v.x(float64(v.Span.First)), v.x(float64(v.Span.Last+1)), twig, twig)
	for _, l := range r.Leaf {
		fmt.Fprintf(b, `<rect class="crown %s" x="%s" y="%d" width="%s" height="6" rx="3"/>`, l.State, v.x(float64(l.First)), twig-3, v.width(float64(l.Days())))
	}
	for _, m := range r.Marks {
		top := y + m.Lane*yearLane
		kind := "bud"
		if m.Basis <= phenology.BasisReached {
			kind = "bud known"
		}
		first, last := max(m.Early, v.Span.First), min(m.Late, v.Span.Last)
		days := float64(last - first + 1)
		fmt.Fprintf(b, `<g class="mark %s">`, phaseGroup(m.Phase))
		if last > first {
			at := 100 * (float64(m.Middle-first) + 0.5) / days
			fmt.Fprintf(b, `<svg x="%s" y="%d" width="%s" height="16" viewBox="0 0 100 16" preserveAspectRatio="none"><path class="spread" d="%s"/></svg>`,
				v.x(float64(first)), top+1, v.width(days), spindle(at))
		}
		x := v.x(float64(m.Middle) + 0.5)
		fmt.Fprintf(b, `<circle class="%s" cx="%s" cy="%d" r="%d"/><text x="%s" y="%d">%s</text></g>`,
			kind, x, top+9, budRadius, x, top+13, glance.PhaseLetter(m.Phase))
	}
	return twig + yearRibbon/2 + yearGap + 1
}

// spindle is an outline in a box of 100 by 16 that begins and ends in points and is thickest at a place along it.
func spindle(at float64) string {
	n := func(x float64) string { return strconv.FormatFloat(x, 'f', 1, 64) }
	left, right := n(at*0.6), n(at+(100-at)*0.4)
	return "M0 8C" + left + " 7 " + left + " 1 " + n(at) + " 1C" + right + " 1 " + right + " 7 100 8C" +
		right + " 9 " + right + " 15 " + n(at) + " 15C" + left + " 15 " + left + " 9 0 8Z"
}

// yearMargin is what is kept free at either side, in per cent, so that no bud is cut.
const yearMargin = 1.5

// x returns where a moment lies, as a percentage of the width; days are counted as dates are, from their beginning.
func (v yearView) x(day float64) string {
	return percentOf(yearMargin + (100-2*yearMargin)*(day-float64(v.Span.First))/float64(v.Span.Days()))
}

// width returns how wide so many days are.
func (v yearView) width(days float64) string {
	return percentOf((100 - 2*yearMargin) * days / float64(v.Span.Days()))
}

func percentOf(x float64) string { return strconv.FormatFloat(x, 'f', 2, 64) + "%" }

// describe says the drawing in a sentence a species, for those who do not see it: what has come, and what comes next.
func (v yearView) describe() string {
	var list []string
	for _, r := range v.Rows {
		var last, next *glance.Mark
		for i := range r.Marks {
			if m := &r.Marks[i]; m.Middle <= v.AsOf {
				last = m
			} else if next == nil {
				next = m
			}
		}
		var parts []string
		say := func(m *glance.Mark, word string) {
			if m != nil {
				parts = append(parts, fmt.Sprintf("%s, %s, %s", word, glance.PhaseWords[m.Phase], dateWords(m)))
			}
		}
		say(last, "last")
		say(next, "next")
		if parts != nil {
			list = append(list, r.Species.Name()+": "+strings.Join(parts, "; ")+".")
		}
	}
	return strings.Join(list, " ")
}

func dateWords(m *glance.Mark) string {
	if m.Early == m.Late {
		return phrase.ShortDate(m.Middle)
	}
	return fmt.Sprintf("%s, eight years in ten %s", phrase.ShortDate(m.Middle), phrase.Span(civil.Span{First: m.Early, Last: m.Late}))
}
