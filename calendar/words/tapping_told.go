package words

import (
	"math"

	"treewhen/calendar/phrase"
	"treewhen/calendar/tapping"
	"treewhen/phenology"
)

// SeasonTold tells a season in a few numbers, beside the mean of the others on record.
func SeasonTold(season phenology.Season, t *tapping.Told, as phrase.Speech) string {
	l, so := tongue{as}, in(as, "So far", "Jusqu'ici")
	if t.Over {
		so = in(as, "The season", "La saison")
	}
	if to, ok := t.To.Get(); ok {
		so = l.say("To %s, where the record ends", "Jusqu'au %s, où finissent les relevés", l.day(to))
	}
	first, ok := t.First.Get()
	if !ok {
		return l.say("%s: no day yet on which sap was likely to run and to be good.",
			"%s\u00a0: pas encore de jour où une bonne eau a probablement coulé.", so)
	}
	when := l.say("%s alone", "%s seulement", l.the(first))
	if last := t.Last.Or(first); last > first {
		when = l.say("%s first and on %s last", "%s pour commencer et %s pour finir", l.the(first), l.the(last))
	}
	text := l.say("%s: good sap likely ran on %s; with days that may have been runs, about %s and %s in all",
		"%s\u00a0: une bonne eau a probablement coulé %s; avec les jours incertains, environ %s et %s en tout",
		so, when, l.runDaysInAll(float64(t.Days)), l.hours(float64(t.Hours)))
	if b := t.Best; b != nil {
		text += l.say("; the best run was %s (%s)", "; la meilleure coulée\u00a0: %s (%s)", l.span(b.Span),
			l.hours(float64(b.Hours)))
	}
	if u := t.Usual; u.Seasons > 0 && t.Over {
		text += l.say(". Mean of the %s on record: %s to %s, about %s and %s",
			". Moyenne de %s dans les relevés\u00a0: du %s au %s, environ %s et %s",
			l.count(u.Seasons, "other season", "autre saison", "autres saisons"), l.day(season.Date(u.First)),
			l.day(season.Date(u.Last)), l.runDaysInAll(float64(u.Days)), l.hours(float64(u.Hours)))
	}
	text += "."
	if t.Volume != nil {
		text += " " + l.volumeSoFar(t.Volume)
	}
	return text
}

// runDaysInAll counts run days that are a sum of chances.
func (l tongue) runDaysInAll(days float64) string {
	return l.count(int(math.Round(days)), "run day", "journée de coulée", "journées de coulée")
}

// BudsFar says how far the buds are, beside past years on the same day.
func BudsFar(b *tapping.Buds, as phrase.Speech) string {
	l := tongue{as}
	far := l.say("%s of the warmth that swells them has come",
		"%s de la chaleur qui les gonfle est venue", l.share(b.Share))
	if b.Share >= 1 {
		far = in(as, "the warmth that usually swells them has come; look at them",
			"la chaleur qui les gonfle d'ordinaire est venue; regardez-les")
	}
	return l.say("Buds, by %s: %s. By that day of %s it was %s, and %s to %s in eight of ten.",
		"Bourgeons, au %s\u00a0: %s. Le même jour de %s\u00a0: %s; de %s à %s, 8 années sur 10.",
		l.day(b.By), far, l.pastYears(b.Years), l.share(met(b.P50)), l.share(met(b.P10)), l.share(met(b.P90)))
}

// met is a share of the warmth that swells buds as it is told: all of it, once there is more.
func met(s tapping.Share) tapping.Share { return min(1, s) }
