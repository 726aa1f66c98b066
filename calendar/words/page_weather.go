package words

import (
	"fmt"
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
	said := map[NoWeather]string{
		PlaceAlone: "There are no temperatures for this site; its dates rest on the place alone.",
		OnClimate: "There are no temperatures for this site; its dates rest on the climate of the place, which is " +
			"built in.",
		NoRecord: "There is no daily record for this site.",
		RecordEnds: "This season's temperatures are not in the record, which ends on " + last.Format("2 January 2006") +
			"; its dates rest on past years.",
	}
	if isFrench(as) {
		said = map[NoWeather]string{
			PlaceAlone: "Il n'y a pas de températures pour ce site; ses dates reposent sur l'emplacement seulement.",
			OnClimate: "Il n'y a pas de températures pour ce site; ses dates reposent sur le climat de l'endroit, " +
				"intégré au programme.",
			NoRecord: "Il n'y a pas de relevés quotidiens pour ce site.",
			RecordEnds: "Les températures de cette saison ne sont pas dans les relevés, qui finissent " +
				"le " + french.Dated(last) +
				"; les dates reposent sur les années passées.",
		}
	}
	return said[why]
}

// LikelyRuns says on how many days sap likely ran from a first to the last observed one, and how many more there are
// in a forecast to a last; none if that is not after it.
func LikelyRuns(past int, observed civil.Span, ahead int, last civil.Date, as phrase.Speech) string {
	if isFrench(as) {
		text := fmt.Sprintf("%s probables du %s au %s", french.Count(past, "journée de coulée", "journées de coulée"),
			french.Day(observed.First), french.Day(observed.Last))
		if past < 2 {
			text = fmt.Sprintf("%d journée de coulée probable du %s au %s", past, french.Day(observed.First),
				french.Day(observed.Last))
		}
		if last > observed.Last {
			text += fmt.Sprintf("; %d de plus dans les prévisions jusqu'au %s", ahead, french.Day(last))
		}
		return text + "."
	}
	text := fmt.Sprintf("%s with a likely run of sap from %s to %s", phrase.Count(past, "day"),
		phrase.ShortDate(observed.First), phrase.ShortDate(observed.Last))
	if last > observed.Last {
		text += fmt.Sprintf("; %d more in the forecast to %s", ahead, phrase.ShortDate(last))
	}
	return text + "."
}

// WeatherCaption says what a drawing of temperatures shows, and how many degrees Celsius the last days, so many of
// them, were off the mean of other years; no days if they cannot be told.
func WeatherCaption(years, days int, off float64, as phrase.Speech) string {
	if isFrench(as) {
		return inFrench{as}.weatherCaption(years, days, off)
	}
	if years < phenology.MinYears {
		return fmt.Sprintf("Each bar is a day's minimum to maximum. The record has %s besides this one, too few to "+
			"compare with.",
			phrase.Count(years, "year"))
	}
	text := fmt.Sprintf("Each bar is a day's minimum to maximum; the band holds what is usual, between the minimum "+
		"that one day in "+
		"ten goes below and the maximum that one in ten goes above, in %s.", phrase.Count(years, "other year"))
	word := "warmer"
	if off < 0 {
		word = "colder"
	}
	switch off = math.Abs(off); {
	case days == 0:
		return text
	case off < 0.05:
		return text + fmt.Sprintf(" The last %d days were as warm as in those years.", days)
	}
	by := as.Either(phrase.Metric.Apart(1, off), phrase.US.Apart(1, off))
	return text + fmt.Sprintf(" The last %d days were %s %s than in those years.", days, by, word)
}

func (f inFrench) weatherCaption(years, days int, off float64) string {
	if years < phenology.MinYears {
		return fmt.Sprintf("Chaque barre va du minimum au maximum d'un jour. Les relevés n'ont que %s de plus, "+
			"trop peu pour comparer.",
			french.Count(years, "année", "années"))
	}
	text := fmt.Sprintf("Chaque barre va du minimum au maximum d'un jour; la bande contient l'habituel, du minimum "+
		"que dépasse un jour "+
		"sur dix vers le bas au maximum que dépasse un jour sur dix vers le haut, dans %s.",
		french.Count(years, "autre année", "autres années"))
	way := "plus chauds"
	if off < 0 {
		way = "plus froids"
	}
	switch off = math.Abs(off); {
	case days == 0:
		return text
	case off < 0.05:
		return text + fmt.Sprintf(" Les %d derniers jours ont été comme ces années-là.", days)
	}
	return text + fmt.Sprintf(" Les %d derniers jours ont été %s de %s que ces "+
		"années-là.", days, way, f.difference(off))
}
