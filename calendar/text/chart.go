package text

import (
	"bufio"
	"fmt"
	"io"
	"maps"
	"math"
	"strings"
	"time"
	"unicode/utf8"

	"treewhen/calendar"
	"treewhen/calendar/glance"
	"treewhen/calendar/phrase"
	"treewhen/phenology"
	"treewhen/phenology/civil"
)

// ChartOptions are how [DrawYear] and [WriteYears] draw.
type ChartOptions struct {
	ASCII bool // nothing but ASCII, for terminals of another character set
	Color bool // terminal colours, never the only sign of anything
}

// chartSigns are what a chart is drawn with.
type chartSigns struct {
	soft, twig, leaf, opening, color, today, known, month string
}

var (
	chartUnicode = chartSigns{soft: "░", twig: "─", leaf: "█", opening: "▄", color: "▓", today: "┊", known: "●", month: "│"}
	chartASCII   = chartSigns{soft: ".", twig: "-", leaf: "#", opening: "+", color: "%", today: "!", known: "*", month: "|"}
)

const (
	chartLabel = 16                     // columns of the species' names
	chartCols  = textWidth - chartLabel // columns of the year: 5.7 days each
)

// YearChart is the drawn year of one place.
type YearChart struct {
	text string
	used map[phenology.Phase]bool
}

func (opt ChartOptions) signs() chartSigns {
	if opt.ASCII {
		return chartASCII
	}
	return chartUnicode
}

// DrawYear draws the year of one place, so that a plan of thousands can be drawn place by place.
func DrawYear(pl *calendar.Place, asOf civil.Date, opt ChartOptions) YearChart {
	var b strings.Builder
	t := &textWriter{w: bufio.NewWriter(&b), opt: TextOptions{Color: opt.Color}}
	used := map[phenology.Phase]bool{}
	v := glance.NewView(pl, asOf, 6, 6) // a column is a little under six days
	t.line(t.bold(asciiIf(opt.ASCII, phrase.OneLine(pl.Site().Name))))
	c := &chart{view: v, signs: opt.signs(), opt: opt}
	for _, line := range c.head() {
		t.line(line)
	}
	for _, r := range v.Rows {
		for _, m := range r.Marks {
			used[m.Phase] = true
		}
		for _, line := range c.row(r) {
			t.line(line)
		}
	}
	t.w.Flush() // into memory: it does not fail
	return YearChart{b.String(), used}
}

// WriteYears writes drawn years one below the other, and the key to them.
func WriteYears(w io.Writer, charts []YearChart, opt ChartOptions) error {
	t := &textWriter{w: bufio.NewWriter(w), opt: TextOptions{Color: opt.Color}}
	used := map[phenology.Phase]bool{}
	for i, c := range charts {
		if i > 0 {
			t.line("")
		}
		t.w.WriteString(c.text)
		maps.Copy(used, c.used)
	}
	t.line("")
	var key []string
	for _, ph := range phenology.Phases() {
		if used[ph] {
			key = append(key, glance.PhaseLetter(ph)+" "+glance.PhaseWords[ph])
		}
	}
	signs := opt.signs()
	t.indent(strings.Join(key, ", "), 0)
	t.indent(fmt.Sprintf("%s%s from one year of ten to nine of ten, the letter on the middle day, a capital once seen or reached; %s today",
		signs.soft, signs.soft, signs.today), 0)
	t.indent(fmt.Sprintf("%s bare twig, %s leaves opening, %s in leaf, %s coloring", signs.twig, signs.opening, signs.leaf, signs.color), 0)
	return t.w.Flush()
}

type chart struct {
	view  glance.View
	signs chartSigns
	opt   ChartOptions
}

// column returns the column of a day, 0 to chartCols-1.
func (c *chart) column(d civil.Date) int {
	s := c.view.Span
	n := int(math.Floor(float64(d-s.First) * chartCols / float64(s.Days())))
	return min(max(n, 0), chartCols-1)
}

// head writes the months; each stands at its first day.
func (c *chart) head() []string {
	years, months := blank(), blank()
	today := c.column(c.view.AsOf)
	label := c.signs.today + " today, " + c.view.AsOf.Format("2 Jan 2006")
	put(years, today, label)
	for i, m := range c.view.Months {
		at := c.column(m.First)
		put(months, at, m.First.Format("Jan"))
		if i == 0 || m.First.Month() == time.January && at > today+utf8.RuneCountInString(label) {
			put(years, at, m.First.Format("2006")) // today is in the second month, five columns on
		}
	}
	return []string{
		strings.TrimRight(strings.Repeat(" ", chartLabel)+strings.Join(years, ""), " "),
		strings.Repeat(" ", chartLabel) + strings.TrimRight(strings.Join(months, ""), " "),
	}
}

// row draws one species: its lanes, then its twig.
func (c *chart) row(r glance.Row) []string {
	lanes := make([][]string, r.Lanes())
	for i := range lanes {
		lanes[i] = blank()
		lanes[i][c.column(c.view.AsOf)] = c.signs.today
	}
	for _, m := range r.Marks {
		lane := lanes[m.Lane]
		for n := c.column(m.Early); n <= c.column(m.Late); n++ {
			lane[n] = c.signs.soft
		}
	}
	for _, m := range r.Marks {
		letter := glance.PhaseLetter(m.Phase)
		if m.Basis <= phenology.BasisReached {
			letter = strings.ToUpper(letter)
		}
		if c.opt.Color {
			letter = "\x1b[1m" + letter + "\x1b[0m"
		}
		lanes[m.Lane][c.column(m.Middle)] = letter
	}
	twig := blank()
	for n := range twig {
		twig[n] = c.signs.twig
	}
	for _, l := range r.Leaf {
		sign := map[string]string{"opening": c.signs.opening, "leaf": c.signs.leaf, "color": c.signs.color}[l.State]
		for n := c.column(l.First); n <= c.column(l.Last); n++ {
			twig[n] = sign
		}
	}
	twig[c.column(c.view.AsOf)] = c.signs.today
	label := clip(asciiIf(c.opt.ASCII, r.Species.Name()), chartLabel)
	var lines []string
	for _, lane := range append(lanes, twig) {
		lines = append(lines, strings.TrimRight(label+strings.Join(lane, ""), " "))
		label = strings.Repeat(" ", chartLabel)
	}
	return lines
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

// asciiIf replaces what is not ASCII, if that is asked for.
func asciiIf(yes bool, s string) string {
	if !yes {
		return s
	}
	return strings.Map(func(r rune) rune {
		if r >= utf8.RuneSelf {
			return '?'
		}
		return r
	}, s)
}
