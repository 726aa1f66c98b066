package text

import (
	"bufio"
	"fmt"
	"io"

	"treewhen/calendar/phrase"
	"treewhen/calendar/tapping"
	"treewhen/calendar/words"
)

// WriteBacktest writes the backtest as a table.
func WriteBacktest(w io.Writer, b *tapping.Backtest, as phrase.Speech) error {
	t := &textWriter{w: bufio.NewWriter(w)}
	head := b.Species.Name() + ", tapping looked back on"
	t.line(head + padBetween(head, b.Site.Name) + b.Site.Name)
	for _, text := range words.BacktestTerms(b, as) {
		t.indent("  "+text, 2)
	}
	t.line("")
	t.line("  season  run days   advice          mean best day   rule of thumb   hindsight")
	for _, y := range b.Years {
		t.line(fmt.Sprintf("  %-6d  %8.0f   %-6s %5s    %-6s %5s    %-6s %5s    %-6s %5s", y.Season, y.SeasonsRuns,
			phrase.ShortDate(y.Advised), phrase.Percent(y.AdvisedCaught), phrase.ShortDate(y.Fixed),
			phrase.Percent(y.FixedCaught),
			phrase.ShortDate(y.Thumb), phrase.Percent(y.ThumbCaught), phrase.ShortDate(y.Hindsight),
			phrase.Percent(y.HindsightCaught)))
	}
	m := b.Means
	t.line(fmt.Sprintf("  mean    %8.0f          %6.1f %%        %6.1f %%        %6.1f %%        %6.1f %%",
		m.SeasonsRuns,
		100*m.AdvisedCaught, 100*m.FixedCaught, 100*m.ThumbCaught, 100*m.HindsightCaught))
	t.line(fmt.Sprintf("  of the best day's      %6.1f %%        %6.1f %%        %6.1f %%", 100*b.OfBest.Advised, 100*b.OfBest.Fixed,
		100*b.OfBest.Rule))
	t.line("")
	t.indent("  "+words.BacktestVerdict(b), 2)
	return t.w.Flush()
}
