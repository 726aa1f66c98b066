package words

import (
	"strings"

	"treewhen/calendar/phrase"
	"treewhen/calendar/phrase/french"
	"treewhen/calendar/tapping"
	"treewhen/phenology"
	"treewhen/phenology/civil"
)

// SapFrame are the words around the sentences of seasons of sap where they stand as text: headings, heads of tables,
// labels and marks of the strip. No field is empty, in any language.
type SapFrame struct {
	Note, RunDay                   string // labels
	Crew, How, Care, Rests         string // headings
	TapTable, RunTable             string // heads, to the columns of their rows
	SpanWide, SizeWide             int    // columns of a run's days and size
	Measured, Best, BacktestOfBest string
	Ran, Ahead, Usual, Tap, Tapped string // rows of the strip
	End, Today                     string
	TapMark, EndMark, DryMark      rune
	// of the strip, of columns of two days, around what days as good as the best are within
	Legend                                  [2]string
	LegendDry                               string
	Backtest, BacktestTable, BacktestOfMean string
	DayWide                                 int // columns of a day in the table of the backtest
}

// SapFrameIn returns the words in a plan's language.
func SapFrameIn(as phrase.Speech) *SapFrame {
	return in(as, &sapFrame, &frenchSapFrame)
}

var sapFrame = SapFrame{
	Note: "note: ", RunDay: "Run day: ",
	Crew: "ONE CREW FOR ALL OF THEM", How: "HOW TO TAP", Care: "TAKE CARE", Rests: "BASED ON",
	TapTable: "begin drilling   of run days  hours  of the best day's catch", Best: "best",
	RunTable: "run             days  hours  size       best day", SpanWide: 16, SizeWide: 9,
	Measured: "measured",
	Ran:      "ran", Ahead: "forecast", Usual: "usual", Tap: "tap", Tapped: "tapped", End: "end", Today: "today",
	TapMark: 'T', EndMark: 'E', DryMark: 'D',
	Legend: [2]string{"A column is 2 days. Sap runs: # likely to four fifths and more, + to a half,\n. to a " +
		"quarter. T tap, - within ", " of the best. E likely end, - eight years\nin ten."},
	LegendDry:      " D holes dry.",
	Backtest:       "tapping looked back on",
	BacktestTable:  "season  run days   advice          mean best day   rule of thumb   hindsight",
	BacktestOfBest: "of the best day's",
	BacktestOfMean: "mean", DayWide: len("28 Mar"),
}

var frenchSapFrame = SapFrame{
	Note: "note\u00a0: ", RunDay: "Journée de coulée\u00a0: ",
	Crew: "UNE SEULE ÉQUIPE POUR TOUTES", How: "COMMENT ENTAILLER", Care: "PRUDENCE", Rests: "SOURCES",
	TapTable: "début              des coulées heures  de la récolte du meilleur jour", Best: "au mieux",
	RunTable: "coulée             jours heures ampleur  meilleur jour", SpanWide: 18, SizeWide: 8,
	Measured: "mesuré",
	Ran:      "coulé", Ahead: "prévu", Usual: "usuel", Tap: "entailler", Tapped: "entaillé", End: "fin",
	Today:   "ce jour",
	TapMark: 'E', EndMark: 'F', DryMark: 'S',
	Legend: [2]string{"Une colonne vaut 2 jours. Ça coule\u00a0: # probable aux 4/5 et plus, + à moitié,\n. au " +
		"quart. E entailler, - à moins de ", " du meilleur. F fin probable, -\nhuit années sur dix."},
	LegendDry:      " S entailles à sec.",
	Backtest:       "retour sur l'entaillage",
	BacktestTable:  "saison  journées   conseil           meilleur moyen    règle du pouce    après coup",
	BacktestOfBest: "du meilleur jour",
	BacktestOfMean: "moy.", DayWide: len("28 mars") + 1,
}

// SapAsOf says of which day a text of seasons of sap is.
func SapAsOf(d civil.Date, as phrase.Speech) string {
	return tongue{as}.say("sap as of %s", "saison des sucres en date du %s", in(as, phrase.LongDate, french.Full)(d))
}

// SapHead names a season of sap.
func SapHead(sp *phenology.Species, season int, as phrase.Speech) string {
	return tongue{as}.say("%s, season %d", "%s, saison %d",
		in(as, sp.Name(), phrase.Capital(frenchTree(sp).noun)), season)
}

// GoodDay says how likely a tapping day is a good one.
func GoodDay(p float64, as phrase.Speech) string {
	return Chance(p, as) + " " + tongue{as}.wellTimed() + "."
}

// Drilling says over how many days the taps are drilled.
func Drilling(days int, as phrase.Speech) string {
	return tongue{as}.say("Counts %s of drilling, an equal part of the taps each day.",
		"Compte %s de perçage, une part égale des entailles chaque jour.", tongue{as}.days(days))
}

// SizeName is how large a run is in a table; "" where it is not known.
func SizeName(s tapping.RunSize, as phrase.Speech) string {
	return strings.TrimSpace(strings.TrimSuffix(tongue{as}.runSize(s), in(as, "run", "coulée")))
}

// SourceName cites a source.
func SourceName(s phenology.Source, as phrase.Speech) string {
	if isFrench(as) {
		return frenchSource(s)
	}
	return s.String()
}
