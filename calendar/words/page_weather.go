package words

import (
	"math"

	"treewhen/calendar/phrase"
	"treewhen/calendar/phrase/french"
	"treewhen/phenology"
	"treewhen/phenology/civil"
)

// NoWeather is why a page shows no temperatures.
type NoWeather int

// The reasons.
const (
	PlaceAlone NoWeather = iota // there are none
	OnClimate                   // its dates rest on the built-in climate
	NoRecord                    // on monthly normals
	RecordEnds                  // this season is not in the record
)

// NoTemperatures says why a page shows no temperatures; last is the last day of the record.
func NoTemperatures(why NoWeather, last civil.Date, as phrase.Speech) string {
	switch why {
	case PlaceAlone:
		return in(as, "There are no temperatures for this site; its dates rest on the place alone.",
			"Il n'y a pas de températures pour ce site; ses dates reposent sur l'emplacement seulement.")
	case OnClimate:
		return in(as, "There are no temperatures for this site; its dates rest on the climate of the place, "+
			"which is built in.",
			"Il n'y a pas de températures pour ce site; ses dates reposent sur le climat de l'endroit, "+
				"intégré au programme.")
	case NoRecord:
		return in(as, "There is no daily record for this site.", "Il n'y a pas de relevés quotidiens pour ce site.")
	}
	return tongue{as}.say("This season's temperatures are not in the record, which ends on %s; its dates "+
		"rest on past years.",
		"Les températures de cette saison ne sont pas dans les relevés, qui finissent le %s; les dates reposent sur "+
			"les années passées.", FullDay(last, as))
}

// LikelyRuns says on how many days sap likely ran from a first to the last observed one, and how many more there are
// in a forecast to a last; none if that is not after it.
func LikelyRuns(past int, observed civil.Span, ahead int, last civil.Date, as phrase.Speech) string {
	l, likely := tongue{as}, ""
	if isFrench(as) {
		likely = french.Count(past, "journée de coulée probable", "journées de coulée probables")
	} else {
		likely = phrase.Count(past, "day") + " with a likely run of sap"
	}
	text := l.say("%s from %s to %s", "%s du %s au %s", likely, l.day(observed.First), l.day(observed.Last))
	if last > observed.Last {
		text += l.say("; %d more in the forecast to %s", "; %d de plus dans les prévisions jusqu'au %s",
			ahead, l.day(last))
	}
	return text + "."
}

// WeatherCaption says what a drawing of temperatures shows, and how many degrees Celsius the last days, so many of
// them, were off the mean of other years; no days if they cannot be told.
func WeatherCaption(years, days int, off float64, as phrase.Speech) string {
	l := tongue{as}
	if years < phenology.MinYears {
		return l.say("Each bar is a day's minimum to maximum. The record has %s besides this one, too "+
			"few to compare with.",
			"Chaque barre va du minimum au maximum d'un jour. Les relevés n'ont que %s de plus, trop "+
				"peu pour comparer.",
			l.years(years))
	}
	text := l.say("Each bar is a day's minimum to maximum; the band holds what is usual, between the minimum that "+
		"one day in ten goes below and the maximum that one in ten goes above, in %s.",
		"Chaque barre va du minimum au maximum d'un jour; la bande contient l'habituel, du minimum que dépasse un "+
			"jour sur dix vers le bas au maximum que dépasse un jour sur dix vers le haut, dans %s.",
		l.count(years, "other year", "autre année", "autres années"))
	word := in(as, "warmer", "plus chauds")
	if off < 0 {
		word = in(as, "colder", "plus froids")
	}
	switch off = math.Abs(off); {
	case days == 0:
		return text
	case off < 0.05:
		return text + l.say(" The last %d days were as warm as in those years.",
			" Les %d derniers jours ont été comme ces années-là.", days)
	}
	by := as.Either(phrase.Metric.Apart(1, off), phrase.US.Apart(1, off))
	if isFrench(as) {
		by = l.difference(off)
	}
	return text + l.say(" The last %d days were %s %s than in those years.",
		" Les %[1]d derniers jours ont été %[3]s de %[2]s que ces années-là.", days, by, word)
}
