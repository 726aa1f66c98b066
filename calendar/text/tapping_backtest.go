package text

import (
	"bufio"
	"fmt"
	"io"

	"treewhen/calendar/phrase"
	"treewhen/calendar/tapping"
	"treewhen/calendar/words"
	"treewhen/phenology/civil"
)

// WriteBacktest writes the backtest as a table.
func WriteBacktest(w io.Writer, b *tapping.Backtest, as phrase.Speech) error {
	said := words.SapFrameIn(as)
	t := &textWriter{w: bufio.NewWriter(w)}
	head := words.TreeName(b.Species, as) + ", " + said.Backtest
	t.line(head + padBetween(head, b.Site.Name) + b.Site.Name)
	for _, text := range words.BacktestTerms(b, as) {
		t.indent("  "+text, 2)
	}
	caught := func(d civil.Date, p float64) string {
		return fmt.Sprintf("%-*s %5s", said.DayWide, words.Day(d, as), words.Percent(p, as))
	}
	t.line("")
	t.line("  " + said.BacktestTable)
	for _, y := range b.Years {
		t.line(fmt.Sprintf("  %-6d  %8.0f   %s    %s    %s    %s", y.Season, y.SeasonsRuns, caught(y.Advised, y.AdvisedCaught),
			caught(y.Fixed, y.FixedCaught), caught(y.Thumb, y.ThumbCaught), caught(y.Hindsight, y.HindsightCaught)))
	}
	m := b.Means
	mean := func(p float64) string { return fmt.Sprintf("%*s", said.DayWide+10, words.Tenths(p, as)) }
	t.line(fmt.Sprintf("  %-6s  %8.0f  %s%s%s%s", said.BacktestOfMean, m.SeasonsRuns, mean(m.AdvisedCaught),
		mean(m.FixedCaught), mean(m.ThumbCaught), mean(m.HindsightCaught)))
	t.line(fmt.Sprintf("  %-17s %s%s%s", said.BacktestOfBest, mean(b.OfBest.Advised), mean(b.OfBest.Fixed),
		mean(b.OfBest.Rule)))
	t.line("")
	t.indent("  "+words.BacktestVerdict(b, as), 2)
	return t.w.Flush()
}
