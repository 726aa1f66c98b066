package words

import (
	"treewhen/calendar/phrase"
	"treewhen/calendar/tapping"
	"treewhen/phenology"
)

// BacktestTerms say how past seasons were looked back on, what is counted and how long holes are taken to run.
func BacktestTerms(b *tapping.Backtest, as phrase.Speech) []string {
	l, rule := tongue{as}, b.Species.Sap.Run
	forecast := in(as, "without a forecast", "sans prévisions")
	if b.Forecast > 0 {
		forecast = l.say("and with a forecast of %s", "avec des prévisions de %s", l.days(b.Forecast))
	}
	list := []string{
		l.say("For each season: the day on which the advice would have been to tap. It is worked out anew each "+
			"morning from the seasons before it and its own days to the day before, %s.",
			"Pour chaque saison, le jour où le conseil aurait été d'entailler. Il est recalculé chaque matin d'après "+
				"les saisons d'avant et ses propres jours jusqu'à la veille, %s.", forecast),
		l.say("Beside it: the mean best day of the seasons before, and %s as a rule of thumb. Shares are of the "+
			"season's run days that a hole drilled then catches.",
			"À côté\u00a0: la moyenne des meilleurs jours des saisons d'avant, et %s comme règle du pouce. Les parts "+
				"sont celles des journées de coulée de la saison que donne une entaille percée ce jour-là.",
			l.the(b.Rule.In(2001))),
	}
	if b.Forecast > 0 {
		list = append(list, l.say("Forecasts are what came, with errors as large as those of published ones: %s for "+
			"the next day and %s for the last (standard deviation, from memory). The middle of %d draws is shown, "+
			"and the mean of what they catch.",
			"Les prévisions sont le temps venu, avec des erreurs comme celles des prévisions publiées\u00a0: %s pour "+
				"le lendemain et %s pour le dernier jour (écart type, de mémoire). On montre le milieu de %d "+
				"tirages, et la moyenne de ce qu'ils donnent.",
			l.difference(phenology.ForecastError(1)), l.difference(phenology.ForecastError(b.Forecast)),
			tapping.ForecastDraws))
	}
	hole := tapping.NewHole(b.Options)
	return append(list, l.say("%s Definition: %s.", "%s Définition\u00a0: %s.", RunDay(rule, as),
		SourceName(rule.Source, as)),
		l.say("%s (%s).", "%[1]s.", l.holeDays(hole), l.collection(hole.Collection)))
}

// BacktestVerdict says whether the advice was worth having, and how sure that is.
func BacktestVerdict(b *tapping.Backtest, as phrase.Speech) string {
	l, n := tongue{as}, len(b.Years)
	tenths := func(share float64) string { return Tenths(share, as) }
	text := l.say("Over %s the advice caught %s of run days. The mean best day caught %s: %s. %s caught %s: %s.",
		"Sur %s, le conseil a donné %s des journées de coulée. Le meilleur jour moyen en a donné %s\u00a0: %s. Le %s "+
			"en a donné %s\u00a0: %s.",
		l.count(n, "season", "saison", "saisons"), tenths(b.Means.AdvisedCaught),
		tenths(b.Means.FixedCaught), l.compared(b.OverFixed, n),
		l.day(b.Rule.In(2001)), tenths(b.Means.ThumbCaught), l.compared(b.OverRule, n))
	if lead := b.Worst.Lead(); lead >= -0.0005 {
		text += in(as, " In no season does it catch less than the worse of the two.",
			" Aucune saison n'a donné moins que le pire des deux.")
	} else {
		text += l.say(" In its worst season, %d, it caught %s, the worse of the two %s.",
			" Dans sa pire saison, %d, il a donné %s, le pire des deux %s.", b.Worst.Season,
			tenths(b.Worst.AdvisedCaught), tenths(min(b.Worst.FixedCaught, b.Worst.ThumbCaught)))
	}
	if n < 10 {
		text += l.say(" Few seasons: take this as a hint, not as a score.",
			" Peu de saisons\u00a0: c'est un indice, pas une note.")
	}
	return text
}

// Tenths writes a mean share of seasons.
func Tenths(share float64, as phrase.Speech) string {
	l := tongue{as}
	return l.say("%s %%", "%s\u00a0%%", l.tenths(100*share))
}

// compared says by how many hundredths the advice caught more than another way, over so many seasons, and whether
// chance alone might have brought that.
func (l tongue) compared(d tapping.PairedDifference, seasons int) string {
	way, points := in(l.Speech, "more", "de plus"), 100*d.Mean
	if points < 0 {
		way, points = in(l.Speech, "less", "de moins"), -points
	}
	text := l.say("the advice is %s %s %s", "le conseil donne %s %s %s", l.tenths(points),
		in(l.Speech, "points", plural(points, "point", "points")), way)
	if points < 0.05 {
		text = in(l.Speech, "no difference", "aucune différence")
	}
	if seasons == 1 {
		return text
	}
	verdict := in(l.Speech, "too close to tell", "trop serré pour conclure")
	if d.Clear() {
		verdict = in(l.Speech, "clear", "net")
	}
	return l.say("%s (standard error %s, %s)", "%s (erreur type %s, %s)", text, l.tenths(100*d.StandardError), verdict)
}
