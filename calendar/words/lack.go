package words

import (
	"treewhen/calendar/phrase"
	"treewhen/phenology"
)

// Lack says why a phase has no date, or why what its date rests on is nothing stronger; "" if nothing is lacking.
func Lack(why phenology.Lack, as phrase.Speech) string {
	l, the := tongue{as}, in(as, why.Phase.String(), frenchPhases[why.Phase].the())
	months := ""
	if m := why.Months; m != nil && !isFrench(as) {
		months = phrase.Months(m.From, m.To)
	}
	switch why.Kind {
	case phenology.LackProfile:
		return l.say("the profile does not have %s", "la fiche de l'essence n'a pas %s", the)
	case phenology.LackPlaces:
		text := l.say("the profile gives no date for %s at any place",
			"la fiche de l'essence ne date nulle part %s", the)
		if months != "" {
			text += ", only the months of the whole range, " + months
		}
		return text
	case phenology.LackNear:
		way := in(as, as.Units, phrase.Metric).Way
		return l.say("the nearest place with a date for %s is %s off or too unlike; dates are moved %s "+
			"and %d days at most",
			"l'endroit le plus proche où %s est connu est à %s, ou trop différent; on ne déplace les dates que de %s "+
				"et %d jours au plus", the, way(why.KM), way(phenology.PlaceReachKM), phenology.PlaceReachDays)
	case phenology.LackRecord:
		return l.say("no year of the record dates %s", "aucune année des relevés ne date %s", the)
	case phenology.LackYears:
		return l.say("only %s of record date %s; %d are needed", "seulement %s de relevés pour dater %s; il en faut %d",
			l.years(why.Years), the, phenology.MinYears)
	case phenology.LackWinter:
		return l.say("winters too mild for a season by this model: sap would run in earnest by %s and taste of buds "+
			"from %s on; buds are taken to swell by warmth alone since New Year, as measured in Quebec, which "+
			"may be too early here",
			"hivers trop doux pour une saison selon ce modèle\u00a0: l'eau coulerait pour de bon dès le %s et "+
				"goûterait le bourgeon dès le %s; on suppose que les bourgeons se gonflent par la seule chaleur "+
				"depuis le Nouvel An, comme mesuré au Québec, ce qui est peut-être trop tôt ici",
			l.longDay(why.Start), l.longDay(why.End))
	case phenology.LackAfter:
		text := l.say("it is counted from %s, which has no date here",
			"la fiche ne date l'étape que d'après une autre, %s, qui n'a pas de date ici",
			in(as, why.After.String(), frenchPhases[why.After].the()))
		if months != "" {
			text += "; the months of the whole range are " + months
		}
		return text
	case phenology.LackEnd:
		return in(as, "its lags go round in a circle", "ses décalages tournent en rond")
	}
	return ""
}
