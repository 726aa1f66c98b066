// Package french writes dates, numbers and lists as French in Quebec does, for sentences and tables. It decides nothing
// and knows no tree.
//
// Forms are those of the Office québécois de la langue française (Banque de dépannage linguistique, 1242, 3619, 21597,
// 21640, 21745 and 22039) and of Unicode CLDR 48 for fr-CA, whose first of the month is mended: le 1er mars. A no-break
// space (U+00A0) stands before the signs of per cent and degrees, before a colon and within thousands and hours; none
// stands before a semicolon, a question mark or an exclamation mark. The narrow no-break space is the custom of France.
package french

import (
	"fmt"
	"strconv"
	"strings"
	"time"

	"treewhen/phenology/civil"
)

// NoBreak is the no-break space.
const NoBreak = "\u00a0"

// Colon goes before what explains or lists.
const Colon = NoBreak + ": "

var (
	months = [...]string{"janvier", "février", "mars", "avril", "mai", "juin", "juillet", "août", "septembre",
		"octobre",
		"novembre", "décembre"}
	shortMonths = [...]string{"janv.", "févr.", "mars", "avr.", "mai", "juin", "juill.", "août", "sept.", "oct.",
		"nov.",
		"déc."}
	weekdays      = [...]string{"dimanche", "lundi", "mardi", "mercredi", "jeudi", "vendredi", "samedi"}
	shortWeekdays = [...]string{"dim.", "lun.", "mar.", "mer.", "jeu.", "ven.", "sam."}
)

// Month names a month: "mars".
func Month(m time.Month) string { return months[m-1] }

// ShortMonth names a month where there is little room: "févr.".
func ShortMonth(m time.Month) string { return shortMonths[m-1] }

// number is the day of a month: 1er, 2, 3.
func number(d civil.Date) string {
	if d.Day() == 1 {
		return "1er"
	}
	return strconv.Itoa(d.Day())
}

// Day writes a day without its year and article: "14 mars", "1er mars".
func Day(d civil.Date) string { return number(d) + " " + Month(d.Month()) }

// The writes a day with its article: "le 14 mars".
func The(d civil.Date) string { return "le " + Day(d) }

// TheWeekday writes a day on which somebody must act: "le dimanche 14 mars".
func TheWeekday(d civil.Date) string { return "le " + weekdays[d.Weekday()] + " " + Day(d) }

// Short writes a day in a table or a title: "14 févr.".
func Short(d civil.Date) string { return number(d) + " " + ShortMonth(d.Month()) }

// ShortWeekday writes a day with its weekday in a table or a title: "dim. 14 mars".
func ShortWeekday(d civil.Date) string { return shortWeekdays[d.Weekday()] + " " + Short(d) }

// Dated writes a day with its year, in full and without an article: "14 mars 2027".
func Dated(d civil.Date) string { return fmt.Sprintf("%s %d", Day(d), d.Year()) }

// Long writes a day with its weekday and year: "dim. 14 mars 2027".
func Long(d civil.Date) string { return fmt.Sprintf("%s %d", ShortWeekday(d), d.Year()) }

// Full is [Long] written out: "dimanche 14 mars 2027".
func Full(d civil.Date) string { return weekdays[d.Weekday()] + " " + Dated(d) }

// Span writes days in a sentence: "du 13 au 19 mars", "du 28 mars au 2 avril", "le 9 mars".
func Span(s civil.Span) string {
	if s.First == s.Last {
		return The(s.First)
	}
	return "du " + upTo(s, " au ", Day)
}

// ShortSpan writes days in a table or a title: "13 au 19 mars", "28 mars au 2 avr.", "9 mars".
func ShortSpan(s civil.Span) string {
	if s.First == s.Last {
		return Short(s.First)
	}
	return upTo(s, " au ", Short)
}

// Between writes days of which one is meant: "entre le 12 et le 14 mars".
func Between(s civil.Span) string { return "entre le " + upTo(s, " et le ", Day) }

// upTo writes two days, the month of both once.
func upTo(s civil.Span, to string, write func(civil.Date) string) string {
	if s.First.Year() == s.Last.Year() && s.First.Month() == s.Last.Month() {
		return number(s.First) + to + write(s.Last)
	}
	return write(s.First) + to + write(s.Last)
}

// Clock writes minutes after midnight: "7 h", "14 h 30".
func Clock(minutes int) string {
	text := fmt.Sprintf("%d%sh", minutes/60, NoBreak)
	if m := minutes % 60; m > 0 {
		text += fmt.Sprintf("%s%02d", NoBreak, m)
	}
	return text
}

// Format writes a day in a form of its own, in which lundi or lun., 2, janvier or janv., and 2006 stand for its parts.
func Format(d civil.Date, form string) string {
	return strings.NewReplacer("lundi", weekdays[d.Weekday()], "lun.", shortWeekdays[d.Weekday()], "janvier",
		Month(d.Month()),
		"janv.", ShortMonth(d.Month()), "2006", strconv.Itoa(d.Year()), "2", number(d)).Replace(form)
}
