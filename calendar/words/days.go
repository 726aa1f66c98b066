package words

import (
	"treewhen/calendar/phrase"
	"treewhen/calendar/phrase/french"
	"treewhen/phenology"
	"treewhen/phenology/civil"
)

// Day writes a day in a table or a title, without its year.
func Day(d civil.Date, as phrase.Speech) string { return in(as, phrase.ShortDate, french.Short)(d) }

// Weekday writes a day with its weekday in a table or a title.
func Weekday(d civil.Date, as phrase.Speech) string { return in(as, weekday, french.ShortWeekday)(d) }

// weekday writes a day on which somebody must act: "Sun 14 Mar".
func weekday(d civil.Date) string { return d.Format("Mon 2 Jan") }

// LongDay writes a day with its weekday and year.
func LongDay(d civil.Date, as phrase.Speech) string { return in(as, phrase.LongDate, french.Long)(d) }

// Days writes a run of days in a table or a title.
func Days(s civil.Span, as phrase.Speech) string { return in(as, phrase.Span, french.ShortSpan)(s) }

// Month names a month in a drawing.
func Month(d civil.Date, as phrase.Speech) string {
	return in(as, d.Format("Jan"), french.ShortMonth(d.Month()))
}

// LongMonth names the month of a day.
func LongMonth(d civil.Date, as phrase.Speech) string {
	return in(as, d.Month().String(), french.Month(d.Month()))
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
func PastYears(n int, as phrase.Speech) string { return tongue{as}.pastYears(n) }

// Join joins words as a sentence does.
func Join(list []string, as phrase.Speech) string { return in(as, phrase.Join, french.Join)(list) }

// Percent writes a probability or a share as a whole percentage.
func Percent(p float64, as phrase.Speech) string { return in(as, phrase.Percent, french.Percent)(p) }

// TreeName names a species as a heading or a table does.
func TreeName(sp *phenology.Species, as phrase.Speech) string {
	if isFrench(as) {
		return frenchTree(sp).noun
	}
	return sp.Name()
}

// Degrees writes a temperature, given in degrees Celsius, to the degree.
func Degrees(celsius float64, as phrase.Speech) string {
	return as.Reading(celsius) + in(as, " ", french.NoBreak) + as.Degrees()
}
