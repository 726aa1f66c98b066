package words

import (
	"fmt"
	"math"

	"treewhen/calendar/phrase/french"
	"treewhen/calendar/tapping"
	"treewhen/phenology"
)

func (f inFrench) book(b *tapping.Book) []string {
	var list []string
	if b.This.Days > 0 || b.This.Syrup > 0 {
		list = append(list, "D'après votre livre, "+f.booked(b.This)+".")
	} else {
		list = append(list, "Votre livre n'a encore rien de cette saison.")
	}
	for i := len(b.Past) - 1; i >= 0 && i >= len(b.Past)-3; i-- {
		list = append(list, fmt.Sprintf("%d%s%s.", b.Past[i].Season, french.Colon, f.booked(b.Past[i])))
	}
	if t := b.Tuning; t.Seasons < tapping.TunedAfter {
		list = append(list, "Dès que deux saisons entières y seront, les volumes à prévoir seront réglés sur elles.")
	} else {
		list = append(list, fmt.Sprintf("Les volumes sont réglés sur %s de votre livre%s%s fois l'ordinaire; le "+
			"total d'une saison diffère encore d'un facteur d'environ %s.", french.Count(t.Seasons, "saison",
			"saisons"), french.Colon,
			twoDigits(t.Factor), twoDigits(math.Exp(t.Spread))))
	}
	return append(list, f.tuned(&b.Tuning)...)
}

// tuned says what of a book's seasons was tried to foretell the ones left out: see [Tuned].
func (f inFrench) tuned(t *tapping.Tuning) (list []string) {
	closer := func(t tapping.Trial) string {
		return fmt.Sprintf("prévue d'après les autres, chacune de ses %d saisons est manquée de %s de moins", t.Seasons,
			french.Percent(1-t.Tuned/t.Usual))
	}
	const tried = "Essayé sur votre livre, chaque saison mise de côté à son tour" + french.Colon + "régler "
	const noBetter = " ne prévoit pas mieux; on garde l'ordinaire."
	if t.Hole.Kept {
		list = append(list, "La durée des entailles est réglée sur votre livre"+french.Colon+closer(t.Hole)+".")
	} else if t.Hole.Seasons > 0 {
		list = append(list, tried+"la durée des entailles"+noBetter)
	}
	if t.Thresholds.Kept {
		list = append(list, fmt.Sprintf("Pour les volumes, une journée de coulée compte à partir d'une nuit %s et "+
			"d'un jour %s%s%s.",
			f.milder(t.Milder.Night, "douce", "froide"), f.milder(t.Milder.Day, "doux", "froid"), french.Colon,
			closer(t.Thresholds)))
	} else if t.Thresholds.Seasons > 0 {
		list = append(list, tried+"la nuit et le jour à partir desquels une journée compte"+noBetter)
	}
	return list
}

// milder says by how much a threshold is moved.
func (f inFrench) milder(by float64, mild, cold string) string {
	switch {
	case by > 0:
		return "plus " + mild + " de " + f.wholeDifference(by) + " que d'ordinaire"
	case by < 0:
		return "plus " + cold + " de " + f.wholeDifference(-by) + " que d'ordinaire"
	}
	return "comme d'ordinaire"
}

// twoDigits writes a factor.
func twoDigits(x float64) string {
	if x < 10 {
		return french.Decimal(x, 1)
	}
	return french.Decimal(x, 0)
}

func (f inFrench) booked(b tapping.Booked) string {
	text := fmt.Sprintf("%s d'eau en %s du %s au %s", f.volume(b.Sap), french.Count(b.Days, "jour", "jours"),
		french.Day(b.First), french.Day(b.Last))
	if b.Sugar > 0 {
		text += fmt.Sprintf(", à %s%s%% de sucre", french.Decimal(b.Sugar, 1), french.NoBreak)
	}
	if b.Syrup > 0 {
		text += ", et " + f.volume(b.Syrup) + " de sirop"
		if b.Sap > 0 {
			text += fmt.Sprintf(" (%.0f d'eau pour un)", b.Sap/b.Syrup)
		}
	}
	return text
}

func (f inFrench) backtestTerms(b *tapping.Backtest) []string {
	rule, forecast := b.Species.Sap.Run, "sans prévisions"
	if b.Forecast > 0 {
		forecast = "avec des prévisions de " + french.Count(b.Forecast, "jour", "jours")
	}
	list := []string{
		"Pour chaque saison, le jour où le conseil aurait été d'entailler. Il est recalculé chaque matin d'après " +
			"les saisons d'avant et ses propres jours jusqu'à la veille, " + forecast + ".",
		fmt.Sprintf("À côté%sla moyenne des meilleurs jours des saisons d'avant, et %s comme règle du pouce. Les "+
			"parts sont celles des journées de coulée de la saison que donne une entaille percée ce jour-là.",
			french.Colon,
			french.The(b.Rule.In(2001))),
	}
	if b.Forecast > 0 {
		list = append(list, fmt.Sprintf("Les prévisions sont le temps venu, avec des erreurs comme celles des "+
			"prévisions publiées%s%s pour le lendemain et %s pour le dernier jour (écart type, de mémoire). On "+
			"montre le milieu de %d tirages, et la moyenne de ce qu'ils donnent.", french.Colon,
			f.difference(phenology.ForecastError(1)),
			f.difference(phenology.ForecastError(b.Forecast)), tapping.ForecastDraws))
	}
	return append(list, f.runDay(rule)+" Définition"+french.Colon+f.source(rule.Source)+".",
		f.holeDays(tapping.NewHole(b.Options))+".")
}

func (f inFrench) backtestVerdict(b *tapping.Backtest) string {
	n := len(b.Years)
	text := fmt.Sprintf("Sur %s, le conseil a donné %s %s. Le meilleur jour moyen en a donné %s%s%s. Le %s en a "+
		"donné %s%s%s.",
		french.Count(n, "saison", "saisons"), frenchTenths(b.Means.AdvisedCaught), frenchRunDays,
		frenchTenths(b.Means.FixedCaught), french.Colon, f.compared(b.OverFixed, n), french.Day(b.Rule.In(2001)),
		frenchTenths(b.Means.ThumbCaught), french.Colon, f.compared(b.OverRule, n))
	if lead := b.Worst.Lead(); lead >= -0.0005 {
		text += " Aucune saison n'a donné moins que le pire des deux."
	} else {
		text += fmt.Sprintf(" Dans sa pire saison, %d, il a donné %s, le pire des deux %s.", b.Worst.Season,
			frenchTenths(b.Worst.AdvisedCaught), frenchTenths(min(b.Worst.FixedCaught, b.Worst.ThumbCaught)))
	}
	if n < 10 {
		text += " Peu de saisons" + french.Colon + "c'est un indice, pas une note."
	}
	return text
}

func frenchTenths(share float64) string { return french.Decimal(100*share, 1) + french.NoBreak + "%" }

func (inFrench) compared(d tapping.PairedDifference, seasons int) string {
	way, points := "de plus", 100*d.Mean
	if points < 0 {
		way, points = "de moins", -points
	}
	text := "le conseil donne " + french.Decimal(points, 1) + " " + plural(points, "point", "points") + " " + way
	if points < 0.05 {
		text = "aucune différence"
	}
	if seasons == 1 {
		return text
	}
	verdict := "trop serré pour conclure"
	if d.Clear() {
		verdict = "net"
	}
	return fmt.Sprintf("%s (erreur type %s, %s)", text, french.Decimal(100*d.StandardError, 1), verdict)
}
