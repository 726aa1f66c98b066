package text

import (
	"bufio"
	"fmt"
	"io"

	"treewhen/calendar/phrase"
	"treewhen/calendar/tapping"
	"treewhen/phenology"
)

// WriteBacktest writes the backtest as a table.
func WriteBacktest(w io.Writer, b *tapping.Backtest) error {
	t := &textWriter{w: bufio.NewWriter(w)}
	head := b.Species.Name() + ", tapping looked back on"
	t.line(head + padBetween(head, b.Site.Name) + b.Site.Name)
	t.indent(fmt.Sprintf("  For each season: the day on which the advice would have been to tap, worked out anew each morning from the seasons before it and its own days to the day before, %s; beside it the mean best day of the seasons before, and %s as a rule of thumb. Shares are of the season's run days that a hole drilled then catches.",
		forecastWords(b), phrase.ShortDate(b.Rule.In(2001))), 2)
	t.indent("  "+b.Species.Sap.Run.Definition()+" Definition: "+b.Species.Sap.Run.Source.String()+".", 2)
	life := b.Options.Life()
	t.indent(fmt.Sprintf("  A hole is taken to run well for %d days, at half after %d and to be dry after %d (%s).", life*2/3, life, len(tapping.HoleYield(life)), b.Options.Collection), 2)
	t.line("")
	t.line("  season  run days   advice          mean best day   rule of thumb   hindsight")
	for _, y := range b.Years {
		t.line(fmt.Sprintf("  %-6d  %8.0f   %-6s %5s    %-6s %5s    %-6s %5s    %-6s %5s", y.Season, y.SeasonsRuns,
			phrase.ShortDate(y.Advised), phrase.Percent(y.AdvisedCaught), phrase.ShortDate(y.Fixed), phrase.Percent(y.FixedCaught),
			phrase.ShortDate(y.Thumb), phrase.Percent(y.ThumbCaught), phrase.ShortDate(y.Hindsight), phrase.Percent(y.HindsightCaught)))
	}
	m := b.Means
	t.line(fmt.Sprintf("  mean    %8.0f          %6.1f %%        %6.1f %%        %6.1f %%        %6.1f %%", m.SeasonsRuns,
		100*m.AdvisedCaught, 100*m.FixedCaught, 100*m.ThumbCaught, 100*m.HindsightCaught))
	t.line("")
	t.indent("  "+BacktestVerdict(b), 2)
	return t.w.Flush()
}

// forecastWords says what forecast there was.
func forecastWords(b *tapping.Backtest) string {
	if b.Forecast == 0 {
		return "without a forecast"
	}
	return fmt.Sprintf("and with a forecast of %s: what came, with errors drawn as large as those of published forecasts, %.1f °C tomorrow and %.1f °C on the last day (standard deviation, from memory; the middle of %d draws is shown, and the mean of what they catch)",
		phrase.Count(b.Forecast, "day"), phenology.ForecastError(1), phenology.ForecastError(b.Forecast), tapping.ForecastDraws)
}

// BacktestVerdict says in a sentence whether the advice was worth having, and how sure that is.
func BacktestVerdict(b *tapping.Backtest) string {
	n := len(b.Years)
	word := func(d tapping.PairedDifference) string {
		text := "as much as"
		switch {
		case d.Mean >= 0.0005:
			text = fmt.Sprintf("%.1f points more than", 100*d.Mean)
		case d.Mean <= -0.0005:
			text = fmt.Sprintf("%.1f points less than", -100*d.Mean)
		}
		return text
	}
	errorOf := func(d tapping.PairedDifference) string {
		if n == 1 {
			return ""
		}
		return fmt.Sprintf(" (standard error %.1f)", 100*d.StandardError)
	}
	text := fmt.Sprintf("Over %s the advice catches %s the mean best day%s and %s the rule of thumb%s.", phrase.Count(n, "season"),
		word(b.OverFixed), errorOf(b.OverFixed), word(b.OverRule), errorOf(b.OverRule))
	switch fixed, rule := b.OverFixed.Clear(), b.OverRule.Clear(); {
	case fixed && rule:
	case fixed:
		text += " Chance alone might bring the second difference: it is less than twice its error."
	case rule:
		text += " Chance alone might bring the first difference: it is less than twice its error."
	default:
		text += " Chance alone might bring such differences: they are less than twice their errors."
	}
	if lead := b.Worst.Lead(); lead >= -0.0005 {
		text += " In no season does it catch less than the worse of the two."
	} else {
		text += fmt.Sprintf(" In its worst season, %d, it catches %.1f points less than the worse of the two, %.1f %% against %.1f.",
			b.Worst.Season, -100*lead, 100*b.Worst.AdvisedCaught, 100*min(b.Worst.FixedCaught, b.Worst.ThumbCaught))
	}
	if n < 10 {
		text += " Few seasons: take this as a hint, not as a score."
	}
	return text
}
