package words

import (
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
	return in(as, &scheduleFrame, &frenchScheduleFrame)
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
	Note: "note\u00a0: ", Open: "À FAIRE EN CE MOMENT", Nothing: "Rien à faire ces jours-là.",
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
	day := func(d civil.Date) string {
		return in(s.Speech, d.Format("Mon 2 Jan 2006"), french.Format(d, "2 janv. 2006"))
	}
	return tongue{s.Speech}.say("as of %s; work from %s to %s", "en date du %s; travaux du %s au %s",
		in(s.Speech, phrase.LongDate, french.Full)(s.AsOf), day(s.Span.First), day(s.Span.Last))
}

// ScheduleBest says which day of an entry is its best, or was; "" of a spell of weather, which has none.
func ScheduleBest(e *calendar.Entry, asOf civil.Date) string {
	l, going := tongue{e.Speech}, !e.State.Over()
	switch best := Day(e.Best, e.Speech); {
	case e.Task.IsSpell():
		return ""
	case e.Best >= asOf:
		return l.say("best %s", "au mieux %s", Weekday(e.Best, e.Speech))
	case going && e.Task == calendar.TaskTap:
		return l.say("since %s", "depuis le %s", best)
	case going && e.Task == calendar.TaskSprouting && !isFrench(e.Speech):
		return "every week"
	default:
		return l.say("was best %s", "c'était le %s", best)
	}
}

// CareOf heads the cautions of an activity.
func CareOf(a calendar.Activity, as phrase.Speech) string {
	return tongue{as}.say("TAKE CARE: %s", "PRUDENCE\u00a0: %s", strings.ToUpper(ActivityName(a, as)))
}

// ChartMonth names a month in so many columns and a space behind it.
func ChartMonth(d civil.Date, columns int, as phrase.Speech) string {
	name := []rune(strings.TrimSuffix(Month(d, as), "."))
	return string(name[:min(len(name), max(columns-1, 1))])
}
