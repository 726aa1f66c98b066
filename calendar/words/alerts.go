package words

import (
	"treewhen/calendar"
	"treewhen/calendar/phrase"
	"treewhen/calendar/phrase/french"
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
		if isFrench(e.Speech) {
			message = "Jours" + french.Colon + french.Span(e.Window) + ".\n"
		}
	}
	return title + ", " + phrase.OneLine(e.Site.Name), message + LabelsIn(e.Speech).Describe(e, &said)
}

// Trial says an alert that is sent to see whether it arrives.
func Trial(title, message string, as phrase.Speech) (string, string) {
	if isFrench(as) {
		return "Essai" + french.Colon + title, "Ceci est un essai. Ce qui vous sera dit ensuite, le moment venu" + french.Colon +
			"\n\n" + message
	}
	return "Trial: " + title, "This is a trial. What you will be told next, when its time has come:\n\n" + message
}

// AlertFooter is what stands under an alert that is sent by mail.
func AlertFooter(plan string, as phrase.Speech) string {
	if isFrench(as) {
		return "Envoyé par treewhen parce que le plan «" + french.NoBreak + phrase.OneLine(plan) + french.NoBreak + "» le demande. " +
			"Ce sont des estimations; les règles de votre région, les propriétaires et l'avis des gens du métier priment."
	}
	return "Sent by treewhen because the plan “" + phrase.OneLine(plan) + "” asks for it. These are estimates; local " +
		"rules, landowners and licensed practice come first."
}
