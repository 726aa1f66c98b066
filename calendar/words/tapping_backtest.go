package words

import (
	"fmt"

	"treewhen/calendar/phrase"
	"treewhen/calendar/tapping"
	"treewhen/phenology"
)

// BacktestTerms say how past seasons were looked back on, what is counted and how long holes are taken to run.
func BacktestTerms(b *tapping.Backtest) []string {
	rule := b.Species.Sap.Run
	return []string{
		fmt.Sprintf("For each season: the day on which the advice would have been to tap, worked out anew each "+
			"morning from the seasons before it and its own days to the day before, %s; beside it the mean best day "+
			"of the seasons before, and %s as a rule of thumb. Shares are of the season's run days that a hole "+
			"drilled then catches.",
			backtestForecast(b), phrase.ShortDate(b.Rule.In(2001))),
		RunDay(rule) + " Definition: " + rule.Source.String() + ".",
		holeDays(tapping.NewHole(b.Options)) + ").",
	}
}

// backtestForecast says what forecast there was.
func backtestForecast(b *tapping.Backtest) string {
	if b.Forecast == 0 {
		return "without a forecast"
	}
	return fmt.Sprintf("and with a forecast of %s: what came, with errors drawn as large as those of published "+
		"forecasts, %.1f °C tomorrow and %.1f °C on the last day (standard deviation, from memory; the middle of %d "+
		"draws is shown, and the mean of what they catch)",
		phrase.Count(b.Forecast, "day"), phenology.ForecastError(1), phenology.ForecastError(b.Forecast),
		tapping.ForecastDraws)
}

// BacktestVerdict says whether the advice was worth having, and how sure that is.
func BacktestVerdict(b *tapping.Backtest) string {
	n := len(b.Years)
	text := fmt.Sprintf("Over %s the advice catches %s the mean best day%s and %s the rule of thumb%s.",
		phrase.Count(n, "season"),
		pointsMore(b.OverFixed), errorOf(b.OverFixed, n), pointsMore(b.OverRule), errorOf(b.OverRule, n))
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
		text += fmt.Sprintf(" In its worst season, %d, it catches %.1f points less than the worse of the two, %.1f "+
			"%% against %.1f.",
			b.Worst.Season, -100*lead, 100*b.Worst.AdvisedCaught, 100*min(b.Worst.FixedCaught, b.Worst.ThumbCaught))
	}
	if n < 10 {
		text += " Few seasons: take this as a hint, not as a score."
	}
	return text
}

// pointsMore says by how many hundredths one way catches more than another.
func pointsMore(d tapping.PairedDifference) string {
	switch {
	case d.Mean >= 0.0005:
		return fmt.Sprintf("%.1f points more than", 100*d.Mean)
	case d.Mean <= -0.0005:
		return fmt.Sprintf("%.1f points less than", -100*d.Mean)
	}
	return "as much as"
}

// errorOf says how far a difference of so many seasons may be off; nothing of one season.
func errorOf(d tapping.PairedDifference, seasons int) string {
	if seasons == 1 {
		return ""
	}
	return fmt.Sprintf(" (standard error %.1f)", 100*d.StandardError)
}
