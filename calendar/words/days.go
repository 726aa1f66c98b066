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
