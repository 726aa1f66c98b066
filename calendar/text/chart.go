package text

import (
	"bufio"
	"fmt"
	"io"
	"math"
	"strings"
	"time"
	"unicode/utf8"

	"treewhen/calendar"
	"treewhen/calendar/glance"
	"treewhen/calendar/phrase"
	"treewhen/calendar/words"
	"treewhen/phenology/civil"
)

// ChartOptions are how [DrawYear] and [WriteYears] draw.
type ChartOptions struct {
	ASCII bool // nothing but ASCII, for terminals of another character set
	Color bool // terminal colours, never the only sign of anything
	As    phrase.Speech
}

// chartSigns are what a chart is drawn with.
type chartSigns struct {
	heights []string // a chance, from the least to certain
	today   string
	best    string // the best day of work
	known   string // the same, where nothing can move it
	rain    string // a rain date
	shut    string // a closed day, where there is nothing else
}

var (
	chartUnicode = chartSigns{
		heights: strings.Split("▁▂▃▄▅▆▇█", ""), today: "┊", best: "○", known: "●", rain: "◌", shut: "/",
	}
	chartASCII = chartSigns{
		heights: strings.Split("123456789", ""), today: "!", best: "o", known: "*", rain: "r", shut: "/",
	}
)

const (
	chartLabel = 20                     // columns of the rows' names
	chartCols  = textWidth - chartLabel // columns of the year: some six days each
)

// YearChart is the drawn year of one place.
type YearChart struct{ text string }

func (opt ChartOptions) signs() chartSigns {
	if opt.ASCII {
		return chartASCII
	}
	return chartUnicode
}

// DrawYear draws the year of one place with its work, so that a plan of thousands can be drawn place by place.
func DrawYear(pl *calendar.Place, entries []*calendar.Entry, asOf civil.Date, opt ChartOptions) YearChart {
	var b strings.Builder
	t := &textWriter{w: bufio.NewWriter(&b), opt: TextOptions{Color: opt.Color}}
	// Every spell has a line of its own, with its name before it.
	v := glance.NewYear(pl, entries, asOf, func(calendar.Sight) int { return 0 })
	t.line(t.bold(asciiIf(opt.ASCII, phrase.OneLine(pl.Site().Name))))
	c := &chart{year: v, signs: opt.signs(), opt: opt}
	for _, line := range c.head() {
		t.line(line)
	}
	for _, r := range v.Work {
		t.line(c.work(r))
	}
	for _, r := range v.Trees {
		for _, line := range c.tree(r) {
			t.line(line)
		}
	}
	t.w.Flush() // into memory: it does not fail
	return YearChart{b.String()}
}

// WriteYears writes drawn years one below the other, and the key to them.
func WriteYears(w io.Writer, charts []YearChart, opt ChartOptions) error {
	t := &textWriter{w: bufio.NewWriter(w), opt: TextOptions{Color: opt.Color}}
	for i, c := range charts {
		if i > 0 {
			t.line("")
		}
		t.w.WriteString(c.text)
	}
	t.line("")
	s, frame := opt.signs(), words.ScheduleFrameIn(opt.As)
	height := frame.Height
	if opt.ASCII {
		height = frame.HeightASCII
	}
	t.indent(fmt.Sprintf(frame.Key, height, s.best, s.known, s.rain, s.shut, s.today), 0)
	return t.w.Flush()
}

type chart struct {
	year  *glance.Year
	signs chartSigns
	opt   ChartOptions
}

// column returns the column of a day, 0 to chartCols-1.
func (c *chart) column(d civil.Date) int {
	s := c.year.Span
	n := int(math.Floor(float64(d-s.First) * chartCols / float64(s.Days())))
	return min(max(n, 0), chartCols-1)
}

// head writes the months; each stands at its first day.
func (c *chart) head() []string {
	years, months := blank(), blank()
	today := c.column(c.year.AsOf)
	as := c.opt.As
	label := asciiIf(c.opt.ASCII, fmt.Sprintf("%s %s, %s", c.signs.today, words.ScheduleFrameIn(as).Today,
		words.YearDay(c.year.AsOf, as)))
	put(years, today, label)
	for i, m := range c.year.Months {
		at := c.column(m.First)
		room := chartCols - at + 1
		if i+1 < len(c.year.Months) {
			room = c.column(c.year.Months[i+1].First) - at
		}
		put(months, at, asciiIf(c.opt.ASCII, words.ChartMonth(m.First, room, as)))
		if i == 0 || m.First.Month() == time.January && at > today+utf8.RuneCountInString(label) {
			put(years, at, m.First.Format("2006")) // today is in the second month, five columns on
		}
	}
	return []string{
		strings.TrimRight(strings.Repeat(" ", chartLabel)+strings.Join(years, ""), " "),
		strings.Repeat(" ", chartLabel) + strings.TrimRight(strings.Join(months, ""), " "),
	}
}

// height is the sign of a chance.
func (c *chart) height(p float64) string {
	n := len(c.signs.heights)
	return c.signs.heights[min(n-1, int(p*float64(n)))]
}

// line is a row with today in it.
func (c *chart) line() []string {
	cells := blank()
	cells[c.column(c.year.AsOf)] = c.signs.today
	return cells
}

func (c *chart) label(text string, cells []string) string {
	label := clip(asciiIf(c.opt.ASCII, text), chartLabel)
	return strings.TrimRight(label+strings.Join(cells, ""), " ")
}

// work draws a row of work: of a seed's way the days of collection, and the best day of every step.
func (c *chart) work(r glance.WorkRow) string {
	cells := c.line()
	if r.Activity == calendar.FieldTrip || r.Activity == calendar.TwigSurvey {
		c.shut(cells)
	}
	for _, e := range r.Entries {
		if r.Activity == calendar.SeedCollection && e.Task != calendar.TaskCollect {
			continue
		}
		w := e.Window.Intersect(c.year.Span)
		for n := c.column(w.First); n <= c.column(w.Last); n++ {
			cells[n] = c.height(e.Probability)
		}
	}
	for _, e := range r.Entries {
		sign := c.signs.best
		switch {
		case !c.year.Span.Contains(e.Best):
			continue
		case e.Task == calendar.TaskRainDate:
			sign = c.signs.rain
		case e.Settled || e.State != calendar.Open:
			sign = c.signs.known
		}
		if c.opt.Color {
			sign = "\x1b[1m" + sign + "\x1b[0m"
		}
		cells[c.column(e.Best)] = sign
	}
	return c.label(words.RowName(r.Activity, r.Task, r.Species, c.opt.As), cells)
}

// shut marks the columns of which all days are closed.
func (c *chart) shut(cells []string) {
	for _, s := range c.year.Shut {
		first, last := c.column(s.First), c.column(s.Last)
		if c.column(s.First-1) == first {
			first++
		}
		if c.column(s.Last+1) == last {
			last--
		}
		for n := first; n <= last; n++ {
			cells[n] = c.signs.shut
		}
	}
}

// tree draws one species: its name, then a line for each thing to see.
func (c *chart) tree(r glance.TreeRow) []string {
	if len(r.Spells) == 0 {
		return nil
	}
	var names []string
	cells := map[string][]string{} // spells of two seasons share a line
	for i := range r.Spells {
		name := "  " + words.SpellName(r.Spells[i].See, c.opt.As)
		if cells[name] == nil {
			names, cells[name] = append(names, name), c.line()
		}
		for n := range chartCols {
			if p := c.most(&r.Spells[i], n); p > 0 {
				cells[name][n] = c.height(p)
			}
		}
	}
	lines := []string{asciiIf(c.opt.ASCII, words.TreeName(r.Species, c.opt.As))}
	for _, name := range names {
		lines = append(lines, c.label(name, cells[name]))
	}
	return lines
}

// most returns the greatest chance of a spell on the days of a column; 0 where it has none.
func (c *chart) most(s *glance.Spell, column int) float64 {
	p := 0.0
	days := float64(c.year.Span.Days())
	first := c.year.Span.First + civil.Date(float64(column)*days/chartCols)
	for d := first; d <= c.year.Span.Last && c.column(d) <= column; d++ {
		if c.column(d) == column && s.Days.Contains(d) {
			p = max(p, s.Chance[d-s.Days.First])
		}
	}
	return p
}

func blank() []string {
	cells := make([]string, chartCols)
	for i := range cells {
		cells[i] = " "
	}
	return cells
}

// put writes a text into cells, as much of it as there is room for.
func put(cells []string, at int, text string) {
	for _, r := range text {
		if at >= len(cells) {
			return
		}
		cells[at] = string(r)
		at++
	}
}

// plain writes what French and its names have beyond ASCII without its marks.
var plain = strings.NewReplacer("à", "a", "â", "a", "ç", "c", "é", "e", "è", "e", "ê", "e", "ë", "e", "î", "i",
	"ï", "i", "ô", "o", "ù", "u", "û", "u", "ü", "u", "œ", "oe", "À", "A", "Â", "A", "Ç", "C", "É", "E", "È", "E", "Ê",
	"E", "Î",
	"I", "Ô", "O", "Œ", "Oe", "\u00a0", " ", "’", "'", "–", "-", "−", "-")

// asciiIf replaces what is not ASCII, if that is asked for.
func asciiIf(yes bool, s string) string {
	if !yes || isASCII(s) {
		return s
	}
	return strings.Map(func(r rune) rune {
		if r >= utf8.RuneSelf {
			return '?'
		}
		return r
	}, plain.Replace(s))
}
