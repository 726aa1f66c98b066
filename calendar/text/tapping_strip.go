package text

import (
	"bufio"
	"fmt"
	"io"
	"math"
	"slices"
	"strings"

	"treewhen/calendar/phrase"
	"treewhen/calendar/tapping"
	"treewhen/calendar/words"
	"treewhen/phenology"
	"treewhen/phenology/civil"
)

// WriteSap writes seasons of sap for people to read: what to do, the price of a week, the season on one strip, the
// runs.
func WriteSap(w io.Writer, title string, asOf civil.Date, seasons []*tapping.Season, notes []string) error {
	t := &textWriter{w: bufio.NewWriter(w)}
	t.line(title)
	t.line("sap as of " + phrase.LongDate(asOf))
	for _, n := range notes {
		t.wrap("note: ", n)
	}
	for _, s := range seasons {
		t.line("")
		head := fmt.Sprintf("%s, season %d", s.Species.Name(), s.Season.Year)
		t.line(head + padBetween(head, s.Place.Site().Name) + s.Place.Site().Name)
		t.season(s)
	}
	if crew := tapping.CrewOrder(seasons); crew != nil {
		t.line("")
		t.line("ONE CREW FOR ALL OF THEM")
		for _, l := range words.CrewOrder(crew) {
			t.indent("  "+l, 4)
		}
	}
	var how, rests, mind []string
	for _, s := range seasons {
		how = append(how, words.TapGuidance(s.Species, s.Options.TapsByDiameter)...)
		rests = append(rests, "Run day: "+s.Species.Sap.Run.Source.String()+".")
		for _, source := range s.GatherFacts().Sources {
			rests = append(rests, phrase.Capital(source.String())+".")
		}
		mind = append(mind, words.Minded(words.SapCautions(s.Species))...)
	}
	t.eachOnce("HOW TO TAP", how)
	t.eachOnce("TAKE CARE", mind)
	t.eachOnce("BASED ON", rests)
	return t.w.Flush()
}

// eachOnce writes a heading and its items, each once.
func (t *textWriter) eachOnce(heading string, items []string) {
	seen := map[string]bool{}
	for _, item := range items {
		if seen[item] {
			continue
		}
		if len(seen) == 0 {
			t.line("")
			t.line(heading)
		}
		seen[item] = true
		t.indent("  - "+item, 4)
	}
}

func (t *textWriter) season(s *tapping.Season) {
	tap, gather := s.TapFacts(), s.GatherFacts()
	for _, d := range words.Doubts(s.Doubts, s.Speech) {
		t.indent("  "+d, 2)
	}
	t.indent("  "+words.TapVerdict(tap), 2)
	t.line("")
	for _, line := range strip(s) {
		t.line("  " + line)
	}
	if d := s.Decision; d != nil && !d.Late {
		t.line("")
		t.line("  begin drilling   share of the season's run days that holes catch")
		best := fmt.Sprintf("best; %s to %s are within %s of it", phrase.ShortDate(s.Season.Date(d.First)),
			phrase.ShortDate(s.Season.Date(d.Last)), phrase.Percent(tapping.Plateau))
		for _, weeks := range []int{-2, -1, 0, 1, 2} {
			day := d.Best + phenology.SeasonDay(7*weeks)
			share := d.Share(day)
			if math.IsNaN(share) {
				continue
			}
			what := map[int]string{-2: "two weeks earlier", -1: "a week earlier", 0: best, 1: "a week later",
				2: "two weeks later"}[weeks]
			t.line(fmt.Sprintf("  %-16s %5s   %s", s.Season.Date(day).Format("Mon 2 Jan"), phrase.Percent(share),
				what))
		}
		t.indent("  "+words.TapPrice(tap, false), 2)
		t.indent(fmt.Sprintf("  %s chance %s.", phrase.Percent(s.WellTimed), words.WellTimed), 2)
		if n := d.Terms.DaysToTap; n > 1 {
			t.indent(fmt.Sprintf("  Counts %d days of drilling, an equal part of the taps each day.", n), 2)
		}
		t.indent("  "+words.HoleLife(tap.Hole), 2)
		if x := words.HoleExtremes(s.Extremes()); x != "" {
			t.indent("  "+x, 2)
		}
		t.indent("  Based on: "+words.TapBasis(tap.Evidence)+".", 2)
	}
	t.line("")
	if len(s.Runs) > 0 {
		t.line("  run             days  hours  size       best day")
		for _, r := range s.Runs {
			best := r.BestDay()
			how := "measured"
			if best.Forecast {
				how = phrase.Percent(float64(best.Likelihood)) + " chance"
			}
			t.line(fmt.Sprintf("  %-16s %3d  %5.0f  %-9s  %s, %s to %s °C, %s",
				phrase.Span(r.Span), r.Span.Days(), r.Hours,
				strings.TrimSpace(words.RunSize(r.Size, "")), phrase.ShortDate(best.Date),
				phrase.Celsius(float64(best.Min)), phrase.Celsius(float64(best.Max)), how))
		}
		for i := range s.Runs {
			if r := &s.Runs[i]; !r.Over {
				if v := s.Volume(r); v != nil {
					t.indent("  "+phrase.Span(r.Span)+": "+phrase.Uncapital(words.RunVolume(v)), 2)
				}
			}
		}
		t.line("")
	}
	if told := s.Tell(); told != nil {
		t.indent("  "+words.SeasonTold(s.Season, told, s.IsOver()), 2)
	}
	if s.Book != nil {
		for _, line := range words.Book(s.Book) {
			t.indent("  "+line, 2)
		}
	}
	if b := s.Buds(); b != nil && !s.IsOver() {
		t.indent("  "+words.BudsFar(b), 2)
	}
	if n := tap.RunDays; n != nil {
		t.indent("  "+words.RunDaysLeft(n, s.Spoiler()), 2)
	}
	t.indent("  "+words.RunDay(s.Species.Sap.Run), 2)
	t.indent("  "+words.SapEnd(s.Species, gather), 2)
	for _, q := range words.SapQuantities(s.Species, gather.Quantities) {
		t.indent("  "+q, 2)
	}
}

// daysPerColumn is how many days a column of the strip stands for.
const daysPerColumn = 2

// stripColumns is how many columns a strip has at most.
const stripColumns = 68

// strip draws the season on one strip of text, a column for every two days: what ran, what the forecast brings, what
// is usual, when to tap, today, and the likely end.
func strip(s *tapping.Season) []string {
	last := s.Season.Day(s.End.P90()) + 4
	first := max(tapping.FirstRunDay, last-stripColumns*daysPerColumn+1)
	columns := int(last-first+daysPerColumn) / daysPerColumn
	column := func(d civil.Date) int { return int(s.Season.Day(d)-first) / daysPerColumn }
	row := func() []rune { return []rune(strings.Repeat(" ", columns)) }
	put := func(r []rune, d civil.Date, c rune) {
		if k := column(d); k >= 0 && k < columns && s.Season.Day(d) >= first {
			r[k] = c
		}
	}
	months := row()
	for d := s.Season.Date(first); d <= s.Season.Date(last); d++ {
		name, begins := d.Format("Jan"), d.Day() == 1 || d == s.Season.Date(first) && d.Day() < 25
		if begins && column(d)+len(name) <= columns {
			copy(months[column(d):], []rune(name))
		}
	}
	ran, ahead, usual := row(), row(), row()
	t := s.Place.Outlook.Temps
	often := s.Usual(first, columns*daysPerColumn)
	for k := range columns {
		var seen, coming, mean float64
		for i := range daysPerColumn {
			i += k * daysPerColumn
			date := s.Season.Date(first + phenology.SeasonDay(i))
			if t != nil && date <= t.Last() {
				if run, ok := t.Run(*s.Species.Sap.Run, date); ok {
					if date <= t.Observed() {
						seen = max(seen, run.Likelihood)
					} else {
						coming = max(coming, run.Likelihood)
					}
				}
			}
			mean += often[i] / daysPerColumn
		}
		ran[k], ahead[k], usual[k] = shade(seen), shade(coming), shade(mean)
	}
	marks := row()
	tapLabel := "tap"
	if d := s.Decision; d != nil && !d.Late {
		for day := d.First; day <= d.Last; day++ {
			put(marks, s.Season.Date(day), '-')
		}
		put(marks, s.Season.Date(d.Best), 'T')
	} else if s.Tapped {
		tapLabel = "tapped"
		put(marks, s.TapDay.Or(s.AsOf), 'T')
	} else {
		for d := s.Start.P10(); d <= s.Start.P50() && s.ByPlace(); d++ {
			put(marks, d, '-')
		}
	}
	end := row()
	for d := s.End.P10(); d <= s.End.P90(); d++ {
		put(end, d, '-')
	}
	put(end, s.End.P50(), 'E')
	if dry, ok := s.Dry.Get(); ok {
		put(end, dry, 'D')
	}
	today := row()
	put(today, s.AsOf, '^')
	var lines []string
	add := func(label string, r []rune, always bool) {
		text := strings.TrimRight(string(r), " ")
		if text != "" || always {
			lines = append(lines, strings.TrimRight(fmt.Sprintf("%-9s %s", label, text), " "))
		}
	}
	add("", months, true)
	add("ran", ran, false)
	add("forecast", ahead, false)
	add("usual", usual, false)
	add(tapLabel, marks, true)
	add("end", end, true)
	add("today", today, false)
	lines = append(lines,
		fmt.Sprintf("A column is %d days. Sap runs: # likely to four fifths and more, + to a half,", daysPerColumn),
		". to a quarter. T tap, - within "+phrase.Percent(tapping.Plateau)+" of the best. E likely end, - eight years")
	if slices.Contains(end, 'D') {
		lines = append(lines, "in ten. D holes dry.")
	} else {
		lines = append(lines, "in ten.")
	}
	return lines
}

// shade draws a likelihood.
func shade(p float64) rune {
	switch {
	case p >= 0.8:
		return '#'
	case p >= 0.5:
		return '+'
	case p >= 0.25:
		return '.'
	default:
		return ' '
	}
}
