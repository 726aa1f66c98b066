package words

import (
	"fmt"
	"slices"

	"treewhen/calendar/phrase"
	"treewhen/calendar/phrase/french"
	"treewhen/calendar/tapping"
	"treewhen/phenology"
	"treewhen/phenology/civil"
)

// isFrench reports whether a plan speaks French.
func isFrench(s phrase.Speech) bool { return s.Language == phrase.French }

// in chooses between what there is in each language.
func in[T any](as phrase.Speech, english, french T) T {
	if isFrench(as) {
		return french
	}
	return english
}

// each writes the items of a list one by one.
func each[T any](list []T, write func(T) string) []string {
	said := make([]string, len(list))
	for i, x := range list {
		said[i] = write(x)
	}
	return said
}

// tongue is a plan's language and units, and what sentences are put together with. What both languages tell alike
// stands in one function, the sentences whole and one above the other; what French tells otherwise is in files fr_*.go.
type tongue struct{ phrase.Speech }

// say writes a sentence by a form of package fmt, the one of the language. Both are for the same arguments.
func (l tongue) say(english, french string, args ...any) string {
	return fmt.Sprintf(in(l.Speech, english, french), args...)
}

// colon stands between a name and what is said of it.
func (l tongue) colon() string { return in(l.Speech, ": ", french.Colon) }

// the writes a day as it stands in a sentence: "14 Mar", "le 14 mars".
func (l tongue) the(d civil.Date) string { return in(l.Speech, phrase.ShortDate, french.The)(d) }

// day writes a day without an article: "14 Mar", "14 mars".
func (l tongue) day(d civil.Date) string { return in(l.Speech, phrase.ShortDate, french.Day)(d) }

// longDay writes a day without an article, out: "14 March", "14 mars".
func (l tongue) longDay(d civil.Date) string {
	if isFrench(l.Speech) {
		return french.Day(d)
	}
	return d.Format("2 January")
}

// weekday writes a day on which somebody must act: "Sun 14 Mar", "le dimanche 14 mars".
func (l tongue) weekday(d civil.Date) string { return in(l.Speech, weekday, french.TheWeekday)(d) }

// span writes days as they stand in a sentence: "13 to 19 Mar", "du 13 au 19 mars".
func (l tongue) span(s civil.Span) string { return in(l.Speech, phrase.Span, french.Span)(s) }

// count writes a number of things.
func (l tongue) count(n int, what, one, more string) string {
	if isFrench(l.Speech) {
		return french.Count(n, one, more)
	}
	return phrase.Count(n, what)
}

func (l tongue) days(n int) string { return l.count(n, "day", "jour", "jours") }

func (l tongue) years(n int) string { return l.count(n, "year", "année", "années") }

func (l tongue) pastYears(n int) string {
	return l.count(n, "past year", "année passée", "années passées")
}

// share writes a share as a whole percentage.
func (l tongue) share(s tapping.Share) string { return Percent(float64(s), l.Speech) }

// confidence says a probability in words.
func (l tongue) confidence(p float64) string {
	if isFrench(l.Speech) {
		return french.Confidence(p, false)
	}
	return phrase.Confidence(p)
}

// between writes the days between which something comes in eight years of ten.
func (l tongue) between(s tapping.Spread) string {
	if isFrench(l.Speech) {
		return french.Between(civil.Span{First: s.P10, Last: s.P90})
	}
	return phrase.ShortDate(s.P10) + " to " + phrase.ShortDate(s.P90)
}

// citations writes out sources, each citation once.
func (l tongue) citations(sources ...phenology.Source) (list []string) {
	for _, s := range sources {
		if text := SourceName(s, l.Speech); text != "" && !slices.Contains(list, text) {
			list = append(list, text)
		}
	}
	return list
}

// tree names a species as it stands without an article.
func (l tongue) tree(sp *phenology.Species) string { return TreeName(sp, l.Speech) }

// theTree names a species as it stands in a sentence: "sugar maple", "l'érable à sucre".
func (l tongue) theTree(sp *phenology.Species) string {
	if isFrench(l.Speech) {
		return frenchTree(sp).the()
	}
	return sp.Name()
}
