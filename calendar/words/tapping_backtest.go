package words

import (
	"fmt"

	"treewhen/calendar/phrase"
	"treewhen/calendar/tapping"
	"treewhen/phenology"
)

// BacktestTerms say how past seasons were looked back on, what is counted and how long holes are taken to run.
func BacktestTerms(b *tapping.Backtest, as phrase.Speech) []string {
	if isFrench(as) {
		return inFrench{as}.backtestTerms(b)
	}
	rule := b.Species.Sap.Run
	list := []string{
		"For each season: the day on which the advice would have been to tap. It is worked out anew each morning from " +
			"the seasons before it and its own days to the day before" + backtestForecast(b) + ".",
		fmt.Sprintf("Beside it: the mean best day of the seasons before, and %s as a rule of thumb. Shares are of the "+
			"season's run days that a hole drilled then catches.", phrase.ShortDate(b.Rule.In(2001))),
	}
	if b.Forecast > 0 {
		list = append(list, fmt.Sprintf("Forecasts are what came, with errors as large as those of published ones: %s "+
			"for the next day and %s for the last (standard deviation, from memory). The middle of %d draws is "+
			"shown, and the mean of what they catch.",
			as.Apart(1, phenology.ForecastError(1)), as.Apart(1, phenology.ForecastError(b.Forecast)),
			tapping.ForecastDraws))
	}
	return append(list, RunDay(rule, as)+" Definition: "+rule.Source.String()+".",
		holeDays(tapping.NewHole(b.Options), as)+").")
}

// backtestForecast says what forecast there was.
func backtestForecast(b *tapping.Backtest) string {
	if b.Forecast == 0 {
		return ", without a forecast"
	}
	return fmt.Sprintf(", and with a forecast of %s", phrase.Count(b.Forecast, "day"))
}

// BacktestVerdict says whether the advice was worth having, and how sure that is.
func BacktestVerdict(b *tapping.Backtest, as phrase.Speech) string {
	if isFrench(as) {
		return inFrench{as}.backtestVerdict(b)
	}
	n := len(b.Years)
	text := fmt.Sprintf("Over %s the advice caught %s of run days. The mean best day caught %s: %s. %s caught %s: %s.",
		phrase.Count(n, "season"), tenths(b.Means.AdvisedCaught), tenths(b.Means.FixedCaught), compared(b.OverFixed, n),
		phrase.ShortDate(b.Rule.In(2001)), tenths(b.Means.ThumbCaught), compared(b.OverRule, n))
	if lead := b.Worst.Lead(); lead >= -0.0005 {
		text += " In no season does it catch less than the worse of the two."
	} else {
		text += fmt.Sprintf(" In its worst season, %d, it caught %s, the worse of the two %s.", b.Worst.Season,
			tenths(b.Worst.AdvisedCaught), tenths(min(b.Worst.FixedCaught, b.Worst.ThumbCaught)))
	}
	if n < 10 {
		text += " Few seasons: take this as a hint, not as a score."
	}
	return text
}

// Tenths writes a mean share of seasons.
func Tenths(share float64, as phrase.Speech) string {
	if isFrench(as) {
		return frenchTenths(share)
	}
	return tenths(share)
}

func tenths(share float64) string { return fmt.Sprintf("%.1f %%", 100*share) }

// compared says by how many hundredths the advice caught more than another way, over so many seasons, and whether chance
// alone might have brought that.
func compared(d tapping.PairedDifference, seasons int) string {
	way, points := "more", 100*d.Mean
	if points < 0 {
		way, points = "less", -points
	}
	text := fmt.Sprintf("the advice is %.1f points %s", points, way)
	if points < 0.05 {
		text = "no difference"
	}
	if seasons == 1 {
		return text
	}
	verdict := "too close to tell"
	if d.Clear() {
		verdict = "clear"
	}
	return fmt.Sprintf("%s (standard error %.1f, %s)", text, 100*d.StandardError, verdict)
}
