package page

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"strconv"
	"strings"

	"treewhen/calendar"
	"treewhen/calendar/page/markup"
	"treewhen/calendar/phrase"
	"treewhen/calendar/words"
	"treewhen/phenology"
	"treewhen/phenology/civil"
	"treewhen/phenology/weather"
)

// pageWeather is this season's temperatures against the record.
type pageWeather struct {
	Drawing markup.HTML
	Caption string
	Runs    string   // in words; "" where no species here is tapped
	RunDays []string // month by month
	Rule    string
}

// seasonTemperatures are the days around the as-of day, and what other years had on them.
type seasonTemperatures struct {
	span     civil.Span
	asOf     civil.Date
	days     []weather.Day // of span; missing where there is none yet
	low      []float64     // the minimum that one other year in ten is below, of span; NaN where too few years
	high     []float64     // the maximum that one other year in ten is above
	mean     []float64     // the mean of minimum and maximum in other years
	years    int           // other years that went in
	observed civil.Date
	runs     []float64 // how likely sap runs, of span; nil where no species is tapped; NaN where unknown
	rule     *phenology.RunRule
}

// likelyRun is the likelihood from which a day is marked as a run day.
const likelyRun = 0.5

// newSeasonTemperatures collects two months before the as-of day's and the month after; nil and why if there is nothing
// to show.
func newSeasonTemperatures(pl *calendar.Place, asOf civil.Date, as phrase.Speech) (*seasonTemperatures, string) {
	temps := pl.Outlook.Temps
	if temps == nil {
		return nil, words.NoTemperatures(words.PlaceAlone, 0, as)
	}
	series := temps.Series()
	y, m, _ := asOf.Date()
	t := &seasonTemperatures{
		span: civil.Span{First: civil.Of(y, m-2, 1), Last: civil.Of(y, m+2, 1) - 1}, asOf: asOf, observed: temps.Observed(),
	}
	some := false
	for d := t.span.First; d <= t.span.Last; d++ {
		day := series.At(d)
		if d > asOf && day.Flags&weather.Forecast == 0 || day.Flags&weather.Synthetic != 0 {
			day = weather.Missing
		}
		some = some || day.Complete()
		t.days = append(t.days, day)
	}
	if !some {
		if t.observed < series.First {
			if temps.BuiltIn() > 0 {
				return nil, words.NoTemperatures(words.OnClimate, 0, as)
			}
			return nil, words.NoTemperatures(words.NoRecord, 0, as)
		}
		return nil, words.NoTemperatures(words.RecordEnds, t.observed, as)
	}
	t.addRecord(series)
	for _, sp := range pl.Species {
		if sp.Sap.Run != nil && sp.Sap.Tapped != phenology.TappedNever && slices.Contains(pl.Activities, calendar.Tapping) {
			t.rule = sp.Sap.Run
			t.addRuns(series)
			break
		}
	}
	return t, ""
}

// aroundDays is how many days to either side of a day stand for it in other years, so that thirty years give four
// hundred days and the band is no comb.
const aroundDays = 7

// addRecord works out what other years had on each day.
func (t *seasonTemperatures) addRecord(series weather.Series) {
	years := map[int]bool{}
	for i := range t.days {
		d := t.span.First + civil.Date(i)
		var mins, maxs []float64
		for year := series.First.Year(); year <= series.Last().Year()+1; year++ {
			if year == d.Year() {
				continue
			}
			for k := civil.Date(-aroundDays); k <= aroundDays; k++ {
				on := d.AddYears(year-d.Year()) + k
				day := series.At(on)
				// Days of this very season would be compared with themselves.
				if day.Complete() && !day.Flags.Invented() && on < t.span.First-300 {
					mins, maxs = append(mins, day.Min), append(maxs, day.Max)
					years[year] = true
				}
			}
		}
		if len(mins) < phenology.MinYears*(2*aroundDays+1) {
			t.low, t.high, t.mean = append(t.low, math.NaN()), append(t.high, math.NaN()), append(t.mean, math.NaN())
			continue
		}
		sum := 0.0
		for k := range mins {
			sum += (mins[k] + maxs[k]) / 2
		}
		t.low, t.high, t.mean = append(t.low, phenology.QuantileOf(mins, 0.1)), append(t.high, phenology.QuantileOf(maxs, 0.9)), append(t.mean, sum/float64(len(mins)))
	}
	t.years = len(years)
}

func (t *seasonTemperatures) addRuns(series weather.Series) {
	runs := t.rule.Likelihoods(series)
	for i, day := range t.days {
		if !day.Complete() {
			t.runs = append(t.runs, math.NaN())
			continue
		}
		t.runs = append(t.runs, runs[t.span.First+civil.Date(i)-series.First].Likelihood)
	}
}

func weatherView(pl *calendar.Place, asOf civil.Date, as phrase.Speech) (*pageWeather, string) {
	t, why := newSeasonTemperatures(pl, asOf, as)
	if t == nil {
		return nil, why
	}
	v := &pageWeather{Drawing: t.draw(pl.Site(), as), Caption: t.caption(as)}
	if t.runs != nil {
		past, ahead := 0, 0
		byMonth := map[string][]string{}
		var months []string
		for i, p := range t.runs {
			if !(p >= likelyRun) {
				continue
			}
			d := t.span.First + civil.Date(i)
			if d > t.observed {
				ahead++
			} else {
				past++
			}
			month := words.LongMonth(d, as)
			if byMonth[month] == nil {
				months = append(months, month)
			}
			byMonth[month] = append(byMonth[month], strconv.Itoa(d.Day()))
		}
		observed := civil.Span{First: t.span.First, Last: t.observed}
		v.Runs = phrase.Capital(words.LikelyRuns(past, observed, ahead, t.last(), as))
		for _, m := range months {
			v.RunDays = append(v.RunDays, m+words.LabelsIn(as).Colon()+strings.Join(byMonth[m], ", "))
		}
		v.Rule = words.RunDay(t.rule, as)
	}
	return v, ""
}

// last returns the last day of the span that has temperatures.
func (t *seasonTemperatures) last() civil.Date {
	for i := len(t.days) - 1; i >= 0; i-- {
		if t.days[i].Complete() {
			return t.span.First + civil.Date(i)
		}
	}
	return t.span.First - 1
}

// caption says in words what the drawing shows: how the last thirty observed days compare with other years.
func (t *seasonTemperatures) caption(as phrase.Speech) string {
	n, sum := 0, 0.0
	for d := t.observed; d > t.observed-30 && d >= t.span.First; d-- {
		i := int(d - t.span.First)
		if i < len(t.days) && t.days[i].Complete() && !math.IsNaN(t.mean[i]) {
			n, sum = n+1, sum+(t.days[i].Min+t.days[i].Max)/2-t.mean[i]
		}
	}
	if n < 10 {
		n = 0
	}
	return words.WeatherCaption(t.years, n, sum/float64(max(n, 1)), as)
}

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
	b.Put(`<svg class="weather" width="100%%" height="%d" role="img" aria-labelledby="%s-title"><title id="%s-title">%s</title>`,
		height, id, id, fmt.Sprintf(words.PageFrameIn(as).Weather, site.Name, words.Day(t.span.First, as), words.LongDay(t.last(), as)))
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
		b.Put(`<line class="tick" x1="%s" x2="%s" y1="%d" y2="%d"/>`, x(float64(m-t.span.First)), x(float64(m-t.span.First)), at+10, at+16)
		b.Put(`<text class="month-name" x="%s" y="%d">%s</text>`, x(float64(m-t.span.First)+float64(next-m)/2), at+26, words.LongMonth(m, as))
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
