package words

import (
	"treewhen/calendar/phrase"
	"treewhen/calendar/phrase/french"
	"treewhen/phenology"
	"treewhen/phenology/civil"
)

// Day writes a day in a table or a title, without its year.
func Day(d civil.Date, as phrase.Speech) string {
	if isFrench(as) {
		return french.Short(d)
	}
	return phrase.ShortDate(d)
}

// Weekday writes a day with its weekday in a table or a title.
func Weekday(d civil.Date, as phrase.Speech) string {
	if isFrench(as) {
		return french.ShortWeekday(d)
	}
	return weekday(d)
}

// LongDay writes a day with its weekday and year.
func LongDay(d civil.Date, as phrase.Speech) string {
	if isFrench(as) {
		return french.Long(d)
	}
	return phrase.LongDate(d)
}

// Days writes a run of days in a table or a title.
func Days(s civil.Span, as phrase.Speech) string {
	if isFrench(as) {
		return french.ShortSpan(s)
	}
	return phrase.Span(s)
}

// Month names a month in a drawing.
func Month(d civil.Date, as phrase.Speech) string {
	if isFrench(as) {
		return french.ShortMonth(d.Month())
	}
	return d.Format("Jan")
}

// LongMonth names the month of a day.
func LongMonth(d civil.Date, as phrase.Speech) string {
	if isFrench(as) {
		return french.Month(d.Month())
	}
	return d.Format("January")
}

// MonthOf names the month of a day with its year.
func MonthOf(d civil.Date, as phrase.Speech) string {
	return LongMonth(d, as) + d.Format(" 2006")
}

// YearDay writes a day with its year.
func YearDay(d civil.Date, as phrase.Speech) string {
	if isFrench(as) {
		return french.Dated(d)
	}
	return d.Format("2 Jan 2006")
}

// FullDay writes a day with its year, out.
func FullDay(d civil.Date, as phrase.Speech) string {
	if isFrench(as) {
		return french.Dated(d)
	}
	return d.Format("2 January 2006")
}

// PastYears counts past years.
func PastYears(n int, as phrase.Speech) string {
	if isFrench(as) {
		return pastYears(n)
	}
	return phrase.Count(n, "past year")
}

// Join joins words as a sentence does.
func Join(list []string, as phrase.Speech) string {
	if isFrench(as) {
		return french.Join(list)
	}
	return phrase.Join(list)
}

// Percent writes a probability or a share as a whole percentage.
func Percent(p float64, as phrase.Speech) string {
	if isFrench(as) {
		return french.Percent(p)
	}
	return phrase.Percent(p)
}

// TreeName names a species as a heading or a table does.
func TreeName(sp *phenology.Species, as phrase.Speech) string {
	if isFrench(as) {
		return inFrench{as}.tree(sp).noun
	}
	return sp.Name()
}

// Degrees writes a temperature, given in degrees Celsius, to the degree.
func Degrees(celsius float64, as phrase.Speech) string {
	if isFrench(as) {
		return as.Reading(celsius) + french.NoBreak + as.Degrees()
	}
	return as.Reading(celsius) + " " + as.Degrees()
}
