package page

import (
	"cmp"
	"fmt"
	"math"
	"strconv"
	"strings"

	"treewhen/calendar/page/markup"
	"treewhen/calendar/phrase"
	"treewhen/calendar/words"
	"treewhen/phenology"
	"treewhen/phenology/civil"
	"treewhen/phenology/weather"
)

// The drawing's measures, in CSS pixels.
const (
	weatherTop    = 20
	weatherHeight = 150
	weatherFoot   = 44 // run days and months
	weatherMargin = 11 // per cent of the width at either side, for the scales
)

// draw draws the temperatures as SVG 1.1, per cent across and pixels down, as the year is.
func (t *seasonTemperatures) draw(site *phenology.Site, as phrase.Speech) markup.HTML {
	low, high := t.bounds()
	y := func(c float64) float64 { return weatherTop + weatherHeight*(high-c)/(high-low) }
	n := len(t.days)
	px := func(v float64) string { return strconv.FormatFloat(v, 'f', 1, 64) }
	x := func(day float64) string { return percentOf(weatherMargin + (100-2*weatherMargin)*day/float64(n)) }
	height := weatherTop + weatherHeight + weatherFoot
	id := "temperatures-" + site.ID
	var b markup.Writer
	b.Put(`<svg class="weather" width="100%%" height="%d" role="img" aria-labelledby="%s-title">`+
		`<title id="%s-title">%s</title>`, height, id, id, fmt.Sprintf(words.PageFrameIn(as).Weather,
		site.Name, words.Day(t.span.First, as), words.LongDay(t.last(), as)))
	b.Put(`<svg x="%s" width="%s" height="%d" viewBox="0 0 %d %d" preserveAspectRatio="none">`,
		percentOf(weatherMargin), percentOf(100-2*weatherMargin), height, n, height)
	b.Put(`<path class="usual" d="%s"/>`, t.band(y))
	marks := scaleMarks(low, high, as.Units)
	for _, c := range marks {
		class := "grid"
		if c == 0 {
			class = "freezing"
		}
		b.Put(`<path class="%s" d="M0 %sH%d"/>`, class, px(y(c)), n)
	}
	var observed, forecast strings.Builder
	for i, day := range t.days {
		if !day.Complete() {
			continue
		}
		to := &observed
		if day.Flags&weather.Forecast != 0 {
			to = &forecast
		}
		fmt.Fprintf(to, "M%.1f %sV%s", float64(i)+0.5, px(y(day.Max)), px(y(day.Min)+0.1))
	}
	b.Put(`<path class="day" d="%s"/><path class="day forecast" d="%s"/></svg>`, observed.String(), forecast.String())
	for _, c := range marks {
		b.Put(`<text class="scale" x="0" y="%s">%s</text>`, px(y(c)+3.5), words.Degrees(c, as))
		if as.Units == "" {
			b.Put(`<text class="scale right" x="100%%" y="%s">%s °F</text>`, px(y(c)+3.5),
				phrase.US.Reading(c))
		}
	}
	at := weatherTop + weatherHeight + 12
	for i, p := range t.runs {
		if p >= likelyRun {
			class := "run"
			if t.span.First+civil.Date(i) > t.observed {
				class = "run forecast"
			}
			b.Put(`<circle class="%s" cx="%s" cy="%d" r="3"/>`, class, x(float64(i)+0.5), at)
		}
	}
	for m := t.span.First; m <= t.span.Last; {
		yr, mo, _ := m.Date()
		next := civil.Of(yr, mo+1, 1)
		first := float64(m - t.span.First)
		b.Put(`<line class="tick" x1="%s" x2="%s" y1="%d" y2="%d"/>`, x(first), x(first), at+10, at+16)
		b.Put(`<text class="month-name" x="%s" y="%d">%s</text>`, x(first+float64(next-m)/2), at+26,
			words.LongMonth(m, as))
		m = next
	}
	today := x(float64(t.asOf-t.span.First) + 0.5)
	b.Put(`<line class="today" x1="%s" x2="%s" y1="16" y2="%d"/><text class="today-name" x="%s" y="12">%s</text></svg>`,
		today, today, at+8, today, words.PageFrameIn(as).Today)
	return b.HTML()
}

// scaleMarks are the temperatures, in degrees Celsius, at which a scale from a low one to a high one has its lines:
// every ten degrees Celsius, or twenty Fahrenheit and freezing.
func scaleMarks(low, high float64, u phrase.Units) (marks []float64) {
	if u != phrase.US {
		for c := math.Ceil(low/10) * 10; c <= high; c += 10 {
			marks = append(marks, c)
		}
		return marks
	}
	const freezing, step = 32, 20
	for f := math.Ceil((low*1.8+freezing)/step) * step; f <= high*1.8+freezing; f += step {
		if math.Abs(f-freezing) > step/2 { // else its name would lie on that of freezing
			marks = append(marks, (f-freezing)/1.8)
		}
	}
	return append(marks, 0)
}

// bounds returns the lowest and highest temperature drawn, in degrees Celsius, on whole fives.
func (t *seasonTemperatures) bounds() (low, high float64) {
	low, high = 0, 0
	for i, d := range t.days {
		for _, v := range []float64{d.Min, d.Max, t.low[i], t.high[i]} {
			if !math.IsNaN(v) {
				low, high = min(low, v), max(high, v)
			}
		}
	}
	low, high = math.Floor(low/5)*5, math.Ceil(high/5)*5
	return low, cmp.Or(high, low+5)
}

// band is the outline of what is usual; it has a hole where too few years tell.
func (t *seasonTemperatures) band(y func(float64) float64) string {
	var b strings.Builder
	for i := 0; i < len(t.days); i++ {
		if math.IsNaN(t.low[i]) {
			continue
		}
		j := i
		for j < len(t.days) && !math.IsNaN(t.low[j]) {
			j++
		}
		fmt.Fprintf(&b, "M%d %.1f", i, y(t.high[i]))
		for k := i; k < j; k++ {
			fmt.Fprintf(&b, "L%.1f %.1f", float64(k)+0.5, y(t.high[k]))
		}
		fmt.Fprintf(&b, "L%d %.1fL%d %.1f", j, y(t.high[j-1]), j, y(t.low[j-1]))
		for k := j - 1; k >= i; k-- {
			fmt.Fprintf(&b, "L%.1f %.1f", float64(k)+0.5, y(t.low[k]))
		}
		fmt.Fprintf(&b, "L%d %.1fZ", i, y(t.low[i]))
		i = j
	}
	return b.String()
}
