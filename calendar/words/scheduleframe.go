package words

import (
	"fmt"
	"strings"

	"treewhen/calendar"
	"treewhen/calendar/phrase"
	"treewhen/calendar/phrase/french"
	"treewhen/phenology/civil"
)

// ScheduleFrame are the words around a schedule where it stands as text, and around its chart. No field is empty, in
// any language.
type ScheduleFrame struct {
	Note, Open, Nothing                                       string
	Wide                                                      int // columns of an entry's days, and of the labels
	At                                                        string
	Doubt, Do, Chance, Why, LookFor, Bring, TakeCare, Sources string // labels
	Always                                                    string // heading of cautions of several activities
	Height, HeightASCII                                       string // what the heights of a chart are called
	// Key is a form of package fmt: of the heights, then of the signs of best day, known day, rain date, closed day and
	// today.
	Key   string
	Today string
}

// ScheduleFrameIn returns the words in a plan's language.
func ScheduleFrameIn(as phrase.Speech) *ScheduleFrame {
	if isFrench(as) {
		return &frenchScheduleFrame
	}
	return &scheduleFrame
}

var scheduleFrame = ScheduleFrame{
	Note: "note: ", Open: "OPEN NOW", Nothing: "Nothing is due in these days.",
	Wide: len("25 Mar to 15 Apr"), At: ": ",
	Doubt: "doubt", Do: "do", Chance: "chance", Why: "why", LookFor: "look for", Bring: "bring", TakeCare: "take care",
	Sources: "sources", Always: "TAKE CARE, ALWAYS",
	Height: "height is chance, █ is certain", HeightASCII: "a figure is the chance in tens, 9 is as good as certain",
	Key:   "%s; %s best day, %s once nothing can move it, %s rain date; %s closed; %s today",
	Today: "today",
}

// Tapping has no days of rain, and none that are closed.
var frenchScheduleFrame = ScheduleFrame{
	Note: "note" + french.Colon, Open: "À FAIRE EN CE MOMENT", Nothing: "Rien à faire ces jours-là.",
	Wide: len("au mieux dim. 28 fevr."), At: french.Colon,
	Doubt: "doute", Do: "à faire", Chance: "chances", Why: "pourquoi", LookFor: "à surveiller", Bring: "à apporter",
	TakeCare: "prudence", Sources: "sources", Always: "PRUDENCE, TOUJOURS",
	Height:      "la hauteur est la chance, █ est certain",
	HeightASCII: "un chiffre est la chance en dizaines, 9 est presque certain",
	Key:         "%[1]s; %[2]s meilleur jour, %[3]s quand plus rien ne peut le changer; %[6]s aujourd'hui",
	Today:       "aujourd'hui",
}

// ScheduleAsOf says of which day a schedule is, and of which days its work.
func ScheduleAsOf(s *calendar.Schedule) string {
	if isFrench(s.Speech) {
		const short = "2 janv. 2006"
		return fmt.Sprintf("en date du %s; travaux du %s au %s", french.Full(s.AsOf),
			french.Format(s.Span.First, short), french.Format(s.Span.Last, short))
	}
	return fmt.Sprintf("as of %s; work from %s to %s", phrase.LongDate(s.AsOf), phrase.LongDate(s.Span.First),
		phrase.LongDate(s.Span.Last))
}

// ScheduleBest says which day of an entry is its best, or was; "" of a spell of weather, which has none.
func ScheduleBest(e *calendar.Entry, asOf civil.Date) string {
	if e.Task.IsSpell() {
		return ""
	}
	past := e.Best < asOf
	since := past && !e.State.Over() && e.Task == calendar.TaskTap
	weekly := past && !e.State.Over() && e.Task == calendar.TaskSprouting
	if isFrench(e.Speech) {
		switch {
		case !past:
			return "au mieux " + french.ShortWeekday(e.Best)
		case since:
			return "depuis le " + french.Short(e.Best)
		}
		return "c'était le " + french.Short(e.Best)
	}
	switch {
	case !past:
		return "best " + weekday(e.Best)
	case since:
		return "since " + phrase.ShortDate(e.Best)
	case weekly:
		return "every week"
	}
	return "was best " + phrase.ShortDate(e.Best)
}

// CareOf heads the cautions of an activity.
func CareOf(a calendar.Activity, as phrase.Speech) string {
	if isFrench(as) {
		return "PRUDENCE" + french.Colon + strings.ToUpper(ActivityName(a, as))
	}
	return "TAKE CARE: " + strings.ToUpper(a.Title())
}

// ChartMonth names a month in so many columns and a space behind it.
func ChartMonth(d civil.Date, columns int, as phrase.Speech) string {
	name := []rune(strings.TrimSuffix(Month(d, as), "."))
	return string(name[:min(len(name), max(columns-1, 1))])
}
