package words

import (
	"strings"
	"unicode/utf8"

	"treewhen/calendar"
	"treewhen/calendar/phrase"
	"treewhen/calendar/phrase/french"
	"treewhen/phenology/civil"
)

// Labels are the words around what a [Text] says, where it stands in a calendar. The zero value of a field says
// nothing.
type Labels struct {
	Basis, RainDate, TakeCare string // begin a line of the description
	Booked, Settled           string // that the days cannot move, each a sentence

	Moved     [3]string // around the day on which it moved and the days that it was on before
	AnyDay    [3]string // around the first and the last day of a window that stands in a calendar as its best day
	OfBest    string    // begins the title of the best day where its window stands beside it
	Cancelled string    // begins the title of what is no longer expected
	NoLonger  [2]string // around the day on which it was found so; its own description follows

	Categories map[calendar.Activity]string
	// of a day with its year, as [civil.Date.Format] takes it; in French lundi, lun., janvier and janv. stand for its
	// Monday, Mon, January and Jan
	DayForm    string
	NoLongerOn string // of the day in NoLonger
}

// speech is of which language the words are, by the form of their days: what is published with a feed tells them apart
// by their fields, so that none can be added.
func (l *Labels) speech() phrase.Speech {
	if strings.Contains(l.DayForm, "janv") {
		return phrase.Speech{Language: phrase.French}
	}
	return phrase.Speech{}
}

// day writes a day in one of the forms of l.
func (l *Labels) day(d civil.Date, form string) string {
	if isFrench(l.speech()) {
		return french.Format(d, form)
	}
	return d.Format(form)
}

// Colon is what stands between a name and what is said of it.
func (l *Labels) Colon() string { return tongue{l.speech()}.colon() }

// LabelsIn are the words in a plan's language.
func LabelsIn(as phrase.Speech) *Labels {
	return in(as, &English, &frenchLabels)
}

// English are the words in English.
var English = Labels{
	Basis: "Based on: ", RainDate: "Rain date: ", TakeCare: "Take care: ",
	Booked: "Booked: this day stays, whatever the season does.", Settled: "Final: weather to come will not move this.",
	Moved:    [3]string{"Moved on ", " from ", "."},
	AnyDay:   [3]string{"Can be done from ", " to ", "."},
	OfBest:   "Best day: ",
	NoLonger: [2]string{"No longer expected, as of ", ". What stood here:"}, Cancelled: "Cancelled: ",
	Categories: map[calendar.Activity]string{
		calendar.Tapping: "Tapping", calendar.SeedCollection: "Seed collection", calendar.TwigSurvey: "Twig survey",
		calendar.FieldTrip: "Field trip",
	},
	DayForm: "Mon 2 Jan 2006", NoLongerOn: "2 January 2006",
}

// Title says in a calendar what an entry is, and how many characters of that stay however the season goes. There is no
// percentage in it: a telephone shows forty characters.
func (t *Text) Title() (title string, name int) {
	title = phrase.OneLine(t.Summary)
	name = utf8.RuneCountInString(title)
	switch {
	case t.same:
	case t.Fact != "":
		title += " (" + phrase.OneLine(t.Fact) + ")"
	case t.Headline != "":
		title, name = phrase.OneLine(t.Headline), t.named
	}
	return title, name
}

// Category returns what a calendar program groups an activity's events by.
func (l *Labels) Category(a calendar.Activity) string {
	if c := l.Categories[a]; c != "" {
		return c
	}
	return phrase.OneLine(string(a))
}

// AsBestDay says of an entry that only its best day stands in the calendar, beside its window or without it.
func (l *Labels) AsBestDay(t *Text, window civil.Span, beside bool) {
	anyDay := l.AnyDay[0] + l.day(window.First, l.DayForm) + l.AnyDay[1] + l.day(window.Last, l.DayForm) + l.AnyDay[2]
	t.Verdict = strings.TrimSpace(t.Verdict + " " + anyDay)
	if beside {
		t.Summary = l.OfBest + t.Summary
		if t.Headline != "" {
			t.Headline, t.named = l.OfBest+t.Headline, t.named+utf8.RuneCountInString(l.OfBest)
		}
	}
}

// RingText is the description of a short event that rings for another, of that title and those days.
func (l *Labels) RingText(title string, window civil.Span) string {
	days := l.day(window.First, l.DayForm)
	if window.Days() > 1 {
		days += l.AnyDay[1] + l.day(window.Last, l.DayForm)
		days = in(l.speech(), "", "du ") + days
	}
	return title + l.Colon() + days + "."
}

// CancelledTitle is the title of what is no longer expected: how sure it was is no news any more.
func (l *Labels) CancelledTitle(title string, name int) string {
	if r := []rune(title); name > 0 && name < len(r) {
		title = string(r[:name])
	}
	if isFrench(l.speech()) {
		return frenchCancelled(title)
	}
	return l.Cancelled + title
}

// CancelledText is the description of what is no longer expected, or is part of a run of some days now.
func (l *Labels) CancelledText(asOf civil.Date, into civil.Span, description string) string {
	noLonger := l.NoLonger[0]
	if into != (civil.Span{}) {
		noLonger = tongue{l.speech()}.say("Part of the run of %s, as of ", "Fait partie de la coulée %s, depuis le ",
			tongue{l.speech()}.span(into))
	}
	return shortened(noLonger+l.day(asOf, l.NoLongerOn)+l.NoLonger[1], description)
}

// CalendarTitle names the calendar of an activity at a site; "" is all of them.
func (l *Labels) CalendarTitle(site string, a calendar.Activity) string {
	if a == "" {
		return site
	}
	return site + l.Colon() + ActivityName(a, l.speech())
}

// CalendarText says what the calendars of a plan hold. Demo is whether it is the demonstration.
func (l *Labels) CalendarText(plan string, demo bool) string {
	text := tongue{l.speech()}.say("What trees do and the work that follows, from %s.",
		"La saison des sucres et le travail qui suit, d'après %s.", plan)
	if demo && !isFrench(l.speech()) {
		text += " A demonstration: places, people and weather are invented."
	}
	return text
}

// MostDescribed is how many characters a description has at most: what a telephone shows of an event without being
// asked for more. The rest is on the page, and in a schedule with its details.
const MostDescribed = 600

// Describe says an entry as a calendar shows it: what is wrong, what to do, how likely that is and what it rests on,
// whether it moved, and the dangers. What does not fit into [MostDescribed] is left out, the least first.
func (l *Labels) Describe(e *calendar.Entry, t *Text) string {
	var lines []string
	line := func(label, text string) {
		if text = phrase.OneLine(text); text != "" {
			lines = append(lines, label+fullStop(text))
		}
	}
	for _, doubt := range t.Doubts {
		line("", doubt)
	}
	line("", t.Verdict)
	if t.Rain != nil {
		line(l.RainDate, l.day(*t.Rain, l.DayForm))
	}
	line("", t.Chance())
	switch {
	case e.State == calendar.Booked:
		line("", l.Booked)
	case e.Settled && !e.State.Over():
		line("", l.Settled)
	}
	if m := e.Moved; m != nil {
		line("", l.Moved[0]+tongue{e.Speech}.the(m.On)+l.Moved[1]+was(e, m)+l.Moved[2])
	}
	line(l.TakeCare, t.Care)
	basis := t.Basis
	if basis == "" {
		basis = e.Rests.Basis.String()
	}
	line(l.Basis, basis)
	return shortened(lines...)
}

// shortened joins lines for as long as they fit into [MostDescribed]. The first is cut if it is longer than that by
// itself.
func shortened(lines ...string) string {
	var b strings.Builder
	left := MostDescribed
	for i, s := range lines {
		n := utf8.RuneCountInString(s) + min(i, 1)
		switch {
		case n <= left && i > 0:
			b.WriteString("\n" + s)
		case n <= left:
			b.WriteString(s)
		case i == 0 || i == len(lines)-1 && left > len("…")+1:
			r := []rune(s)
			b.WriteString(strings.Repeat("\n", min(i, 1)) + string(r[:min(len(r), left-2)]) + "…")
			return b.String()
		default:
			continue
		}
		left -= n
	}
	return strings.TrimSpace(b.String())
}

// fullStop ends a text with a full stop, unless it ends a sentence.
func fullStop(s string) string {
	if last, _ := utf8.DecodeLastRuneInString(s); strings.ContainsRune(".!?…", last) {
		return s
	}
	return s + "."
}
