package words

import (
	"treewhen/calendar"
	"treewhen/calendar/phrase"
	"treewhen/phenology"
)

// Doubts says what is wrong with the temperatures that work rests on, each one sentence or two.
func Doubts(list []calendar.Doubt, as phrase.Speech) []string {
	return each(list, func(d calendar.Doubt) string { return Doubt(d, as) })
}

// Doubt says one doubt.
func Doubt(d calendar.Doubt, as phrase.Speech) string {
	l, observed := tongue{as}, d.Observed.Or(d.Day)
	watch := in(as, " Watch your local forecast.", " Suivez les prévisions de votre région.")
	switch d.What {
	case calendar.Stale:
		return l.say("Temperatures end on %s. What is dated after that rests on past years.",
			"Les températures finissent le %s. Les dates qui suivent reposent sur les années passées.",
			YearDay(observed, as))
	case calendar.Missing:
		return l.say("No forecast: its file is missing.", "Pas de prévisions\u00a0: leur fichier manque.") + watch
	case calendar.Empty:
		return l.say("No forecast: its file is empty.", "Pas de prévisions\u00a0: leur fichier est vide.") + watch
	case calendar.Damaged:
		return l.say("No forecast: its file cannot be read.",
			"Pas de prévisions\u00a0: leur fichier est illisible.") + watch
	case calendar.OtherUnit:
		return l.say("No forecast: its degrees are in another unit than the plan says.",
			"Pas de prévisions\u00a0: leurs degrés sont dans une autre unité que celle du plan.") + watch
	case calendar.Ended:
		return l.say("No forecast: its file ends on %s. Fetch a newer one.",
			"Pas de prévisions\u00a0: leur fichier finit %s. Prenez-en un plus récent.", l.the(d.Day))
	case calendar.Old:
		return l.say("No forecast: its file is of %s, more than %d days old. Fetch a newer one.",
			"Pas de prévisions\u00a0: leur fichier est du %s, il y a plus de %d jours. Prenez-en un plus récent.",
			l.day(d.Day), calendar.ForecastOldDays)
	case calendar.Unserved:
		return l.say("No forecast: its weather service has given none of late.",
			"Pas de prévisions\u00a0: leur service météo n'en a pas donné récemment.") + watch
	case calendar.Incomplete:
		return l.say("The forecast lacks temperatures for %s; nothing after that day is used.",
			"Il manque aux prévisions des températures pour %s; rien après ce jour ne sert.", l.the(d.Day))
	case calendar.BeginsLate:
		return l.say("No forecast: it begins too long after the last measured day, %s.",
			"Pas de prévisions\u00a0: elles commencent trop longtemps après le dernier jour mesuré, %s.",
			l.the(observed))
	case calendar.Bridged: // no day that is another every morning
		return l.say("Measured days end on %s. What lies between them and the forecast is guessed, so that chances "+
			"are less sure.",
			"Les jours mesurés finissent %s. Entre eux et les prévisions, c'est deviné\u00a0: les chances sont moins "+
				"sûres.", l.the(observed))
	case calendar.ShortRecord:
		return l.say("The record holds %s. Dates need %d years at least, and ten narrow them; until then they rest "+
			"on the place alone.",
			"Les relevés ont %s. Il faut au moins %d années pour donner des dates, et dix pour les préciser; d'ici "+
				"là, elles reposent sur l'emplacement seulement.",
			l.count(d.Days, "measured day", "jour mesuré", "jours mesurés"), phenology.MinYears)
	}
	apart := l.apart(float64(d.Off))
	if d.Refused {
		return l.say("No forecast: the forecast differs from the station by %s on %s that both have. It is for "+
			"another place or in another unit.",
			"Pas de prévisions\u00a0: elles diffèrent de la station de %s sur %s communs. Elles sont d'un autre "+
				"endroit ou dans une autre unité.", apart, l.days(d.Days))
	}
	return l.say("The forecast differs from the station by %s on %s that both have. It may be for another place.",
		"Les prévisions diffèrent de la station de %s sur %s communs. Elles sont peut-être d'un autre endroit.",
		apart, l.days(d.Days))
}
