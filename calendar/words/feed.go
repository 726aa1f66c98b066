package words

import (
	"strings"
	"unicode/utf8"

	"treewhen/calendar"
	"treewhen/calendar/phrase"
	"treewhen/phenology/civil"
)

// Labels are the words that an event of a calendar has around what is said of its entry. A second language has labels
// of its own beside its way to say an entry.
type Labels struct {
	BestDay, Hours, Sure, Basis, RainDate, Site string // begin a line of the description
	Booked, Settled, Open                       string // whether the days can still move, each a sentence
	Why, LookFor, Bring, TakeCare, Sources      string // headings

	AnyDay [3]string // around the first and the last day of a window that stands in a calendar as its best day
	OfBest string    // begins the title of the best day where its window stands beside it

	Cancelled  string    // begins the title of what is no longer expected
	NoLonger   [2]string // around the day on which it was found so; its own description follows
	Categories map[calendar.Activity]string
	DayForm    string // of a day with its year, as [civil.Date.Format] takes it
	NoLongerOn string // of the day in NoLonger
}

// English are the labels of [Say].
var English = Labels{
	BestDay: "Best day: ", Hours: "Hours: ", Sure: "How sure, on that day: ", Basis: "Basis: ",
	RainDate: "Rain date: ", Site: "Site: ",
	Booked:  "This day is booked: it stays, whatever the season does",
	Settled: "These dates are settled: nothing still to come can move them",
	Open:    "These dates can still move; this entry moves with them",
	Why:     "Why these days:", LookFor: "Look for:", Bring: "Bring:", TakeCare: "Take care:", Sources: "Sources:",
	AnyDay:    [3]string{"Any day from ", " to ", " will do."},
	OfBest:    "Best day: ",
	Cancelled: "Cancelled: ",
	NoLonger:  [2]string{"No longer expected, as of ", ". What stood here:"},
	Categories: map[calendar.Activity]string{
		calendar.Tapping: "Tapping", calendar.SeedCollection: "Seed collection", calendar.TwigSurvey: "Twig survey",
		calendar.FieldTrip: "Field trip",
	},
	DayForm: "Monday 2 January 2006", NoLongerOn: "2 January 2006",
}

// Title is the title of an entry's event: what it is, and behind that how sure. Name is how many characters of it are
// what it is.
func (t *Text) Title() (title string, name int) {
	what := phrase.OneLine(t.Summary)
	return what + " (" + phrase.OneLine(t.Sure()) + ")", len([]rune(what))
}

// Category is what calendars call an activity; "" for none.
func (l *Labels) Category(a calendar.Activity) string {
	if c := l.Categories[a]; c != "" {
		return c
	}
	return phrase.OneLine(string(a))
}

// AsBestDay makes the words of an entry into those of its best day, where that stands in a calendar in place of the
// entry's window or, titled so, beside it.
func (l *Labels) AsBestDay(t *Text, window civil.Span, beside bool) {
	anyDay := l.AnyDay[0] + phrase.LongDate(window.First) + l.AnyDay[1] + phrase.LongDate(window.Last) + l.AnyDay[2]
	t.Reasons = append([]string{anyDay}, t.Reasons...)
	if beside {
		t.Summary = l.OfBest + t.Summary
	}
}

// CancelledTitle is the title of an event that is no longer expected, of whose title so many characters say what it
// is.
func (l *Labels) CancelledTitle(title string, name int) string {
	if r := []rune(title); name > 0 && name < len(r) {
		title = string(r[:name])
	}
	return l.Cancelled + title
}

// CancelledText is the description of an event that was found to be no longer expected on a day.
func (l *Labels) CancelledText(asOf civil.Date, description string) string {
	return strings.TrimSpace(l.NoLonger[0] + asOf.Format(l.NoLongerOn) + l.NoLonger[1] + "\n\n" + description)
}

// Describe writes an entry as plain text, a line a statement.
func (l *Labels) Describe(e *calendar.Entry, t *Text) string {
	var b strings.Builder
	line := func(label, text string) {
		if text = phrase.OneLine(text); text != "" {
			b.WriteString(label + fullStop(text) + "\n")
		}
	}
	list := func(heading string, items []string) {
		first := true
		for _, item := range items {
			if item = phrase.OneLine(item); item != "" {
				if first {
					b.WriteString("\n" + heading + "\n")
					first = false
				}
				b.WriteString("- " + fullStop(item) + "\n")
			}
		}
	}
	line(l.BestDay, e.Best.Format(l.DayForm))
	if e.Hours != (calendar.Hours{}) {
		line(l.Hours, Hours(e.Hours))
	}
	sure := t.Sure()
	switch {
	case t.ChanceOf == "":
	case t.Fact != "":
		sure += ": " + t.ChanceOf
	default:
		sure += ", " + t.ChanceOf
	}
	line(l.Sure, sure)
	basis := t.Basis
	if basis == "" {
		basis = e.Rests.Basis.String()
	}
	line(l.Basis, basis)
	switch {
	case e.State == calendar.Booked:
		line("", l.Booked)
	case e.Settled:
		line("", l.Settled)
	default:
		line("", l.Open)
	}
	if t.Rain != nil {
		line(l.RainDate, t.Rain.Format(l.DayForm))
	}
	line(l.Site, e.Site.Name)
	list(l.Why, t.Reasons)
	list(l.LookFor, t.LookFor)
	list(l.Bring, t.Kit)
	list(l.TakeCare, Minded(t.Cautions))
	list(l.Sources, t.Sources)
	return strings.TrimSpace(b.String())
}

// fullStop ends s with a full stop unless it has an end already.
func fullStop(s string) string {
	if last, _ := utf8.DecodeLastRuneInString(s); strings.ContainsRune(".!?…", last) {
		return s
	}
	return s + "."
}
