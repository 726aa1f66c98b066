package words

import (
	"treewhen/calendar"
	"treewhen/calendar/phrase"
)

// Alert says what a reminder of an entry tells whoever is not looking at a calendar: a title of one line, and what else
// there is to know.
func Alert(e *calendar.Entry, reminder int) (title, message string) {
	said := Say(e)
	if reminder < len(said.Reminders) {
		title = phrase.OneLine(said.Reminders[reminder])
	}
	if title == "" {
		title = phrase.OneLine(said.Summary)
	}
	if e.Window.Days() > 1 {
		message = "Days: " + phrase.Span(e.Window) + ".\n"
	}
	return title + ", " + phrase.OneLine(e.Site.Name), message + English.Describe(e, &said)
}

// Trial says an alert that is sent to see whether it arrives.
func Trial(title, message string) (string, string) {
	return "Trial: " + title, "This is a trial. What you will be told next, when its time has come:\n\n" + message
}

// AlertFooter is what stands under an alert that is sent by mail.
func AlertFooter(plan string) string {
	return "Sent by treewhen because the plan “" + phrase.OneLine(plan) + "” asks for it. These are estimates; local " +
		"rules, landowners and licensed practice come first."
}
