package text

import (
	"bufio"
	"fmt"
	"io"
	"slices"
	"strings"
	"unicode/utf8"

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
	var as phrase.Speech // of the plan, and so of all of its seasons
	if len(seasons) > 0 {
		as = seasons[0].Speech
	}
	said := words.SapFrameIn(as)
	t.line(title)
	t.line(words.SapAsOf(asOf, as))
	for _, n := range notes {
		t.wrap(said.Note, n)
	}
	bushes := make([]tapping.Bush, len(seasons))
	for i, s := range seasons {
		bushes[i] = s.Bush()
		t.line("")
		head := words.SapHead(s.Species, s.Season.Year, as)
		t.line(head + padBetween(head, s.Place.Site().Name) + s.Place.Site().Name)
		t.season(s, said)
	}
	if crew := tapping.CrewOrder(bushes); crew != nil {
		t.line("")
		t.line(said.Crew)
		for _, l := range words.CrewOrder(crew, as) {
			t.indent("  "+l, 4)
		}
	}
	var how, rests, mind []string
	for _, s := range seasons {
		how = append(how, words.TapGuidance(s.Species, s.Options.TapsByDiameter, s.Speech)...)
		rests = append(rests, said.RunDay+words.SourceName(s.Species.Sap.Run.Source, as)+".")
		for _, source := range s.SeasonFacts(phenology.SapStart, phenology.SapEnd, s.Spoiler()).Sources {
			rests = append(rests, phrase.Capital(words.SourceName(source, as))+".")
		}
		mind = append(mind, words.Minded(words.SapCautions(s.Species, as))...)
	}
	t.bullets(said.How, how)
	t.bullets(said.Care, mind)
	t.bullets(said.Rests, rests)
	return t.w.Flush()
}

func (t *textWriter) season(s *tapping.Season, said *words.SapFrame) {
	as := s.Speech
	tap, gather := s.TapFacts(), s.GatherFacts()
	for _, d := range words.Doubts(s.Doubts, as) {
		t.indent("  "+d, 2)
	}
	t.indent("  "+words.TapVerdict(tap, as), 2)
	for i := range s.Warnings {
		if w := &s.Warnings[i]; w.Span.Last >= s.AsOf {
			t.indent("  "+words.WarningLine(w, as), 2)
		}
	}
	t.line("")
	for _, line := range strip(s, said) {
		t.line("  " + line)
	}
	if shares := s.Shares(); shares != nil {
		t.line("")
		t.line("  " + said.TapTable)
		for _, row := range shares {
			what := said.Best
			if row.Weeks != 0 {
				what = words.ShareOf(row, tap.Price, as)
			}
			t.line(fmt.Sprintf("  %-16s %11s  %5.0f  %5s   %s", words.Weekday(row.Begin, as),
				words.Percent(float64(row.Caught), as), row.Hours, words.Percent(float64(row.OfBest), as), what))
		}
		t.indent("  "+words.Catches(civil.Span{First: tap.First, Last: tap.Last}, as), 2)
		t.indent("  "+words.TapPrice(tap, false, as), 2)
		t.indent("  "+words.GoodDay(s.WellTimed, as), 2)
		if n := tap.DaysToTap; n > 1 {
			t.indent("  "+words.Drilling(n, as), 2)
		}
		t.indent("  "+words.HoleLife(tap.Hole, as), 2)
		if x := words.HoleExtremes(s.Extremes(), as); x != "" {
			t.indent("  "+x, 2)
		}
		t.indent("  "+words.LabelsIn(as).Basis+words.TapBasis(tap.Evidence, as)+".", 2)
	}
	t.line("")
	if len(s.Runs) > 0 {
		t.line("  " + said.RunTable)
		for _, r := range s.Runs {
			best := r.BestDay()
			how := said.Measured
			if best.Forecast {
				how = words.Chance(float64(best.Likelihood), as)
			}
			t.line(fmt.Sprintf("  %-*s %3d  %5.0f  %-*s  %s, %s, %s", said.SpanWide, words.Days(r.Span, as),
				r.Span.Days(),
				r.Hours, said.SizeWide, words.SizeName(r.Size, as), words.Day(best.Date, as),
				words.NightAndDay(float64(best.Min), float64(best.Max), as), how))
		}
		for i := range s.Runs {
			if r := &s.Runs[i]; !r.Over {
				if v := s.Volume(r); v != nil {
					t.indent("  "+words.Days(r.Span, as)+words.LabelsIn(as).Colon()+phrase.Uncapital(words.RunVolume(v,
						as)), 2)
				}
			}
		}
		t.line("")
	}
	if told := s.Tell(); told != nil {
		t.indent("  "+words.SeasonTold(s.Season, told, as), 2)
	}
	if s.Book != nil {
		for _, line := range words.Book(s.Book, as) {
			t.indent("  "+line, 2)
		}
	}
	if b := s.Buds(); b != nil {
		t.indent("  "+words.BudsFar(b, as), 2)
	}
	if n := tap.RunDays; n != nil {
		t.indent("  "+words.RunDaysLeft(n, s.Spoiler(), as), 2)
	}
	t.indent("  "+words.RunDay(s.Species.Sap.Run, as), 2)
	t.indent("  "+words.SapEnd(s.Species, gather, as), 2)
	for _, q := range words.SapQuantities(s.Species, gather.Quantities, as) {
		t.indent("  "+q, 2)
	}
}

// daysPerColumn is how many days a column of the strip stands for.
const daysPerColumn = 2

// stripColumns is how many columns a strip has at most.
const stripColumns = 68

// strip draws the season on one strip of text, a column for every two days: what ran, what the forecast brings, what
// is usual, when to tap, today, and the likely end.
func strip(s *tapping.Season, said *words.SapFrame) []string {
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
		name, begins := words.Month(d, s.Speech), d.Day() == 1 || d == s.Season.Date(first) && d.Day() < 25
		if begins && column(d)+utf8.RuneCountInString(name) <= columns {
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
	tapLabel := said.Tap
	if d := s.Decision; d != nil && !d.Late {
		for day := d.First; day <= d.Last; day++ {
			put(marks, s.Season.Date(day), '-')
		}
		put(marks, s.Season.Date(d.Best), said.TapMark)
	} else if s.Tapped {
		tapLabel = said.Tapped
		put(marks, s.TapDay.Or(s.AsOf), said.TapMark)
	} else {
		for d := s.Start.P10(); d <= s.Start.P50() && s.ByPlace(); d++ {
			put(marks, d, '-')
		}
	}
	end := row()
	for d := s.End.P10(); d <= s.End.P90(); d++ {
		put(end, d, '-')
	}
	put(end, s.End.P50(), said.EndMark)
	if dry, ok := s.Dry.Get(); ok {
		put(end, dry, said.DryMark)
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
	add(said.Ran, ran, false)
	add(said.Ahead, ahead, false)
	add(said.Usual, usual, false)
	add(tapLabel, marks, true)
	add(said.End, end, true)
	add(said.Today, today, false)
	legend := said.Legend[0] + words.Percent(tapping.Plateau, s.Speech) + said.Legend[1]
	if slices.Contains(end, said.DryMark) {
		legend += said.LegendDry
	}
	return append(lines, strings.Split(legend, "\n")...)
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
