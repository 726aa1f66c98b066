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
		message = tongue{e.Speech}.say("Days: %s.\n", "Jours\u00a0: %s.\n", tongue{e.Speech}.span(e.Window))
	}
	return title + ", " + phrase.OneLine(e.Site.Name), message + LabelsIn(e.Speech).Describe(e, &said)
}

// Trial says an alert that is sent to see whether it arrives.
func Trial(title, message string, as phrase.Speech) (string, string) {
	l := tongue{as}
	return l.say("Trial: %s", "Essai\u00a0: %s", title),
		l.say("This is a trial. What you will be told next, when its time has come:\n\n%s",
			"Ceci est un essai. Ce qui vous sera dit ensuite, le moment venu\u00a0:\n\n%s", message)
}

// AlertFooter is what stands under an alert that is sent by mail.
func AlertFooter(plan string, as phrase.Speech) string {
	return tongue{as}.say("Sent by treewhen because the plan “%s” asks for it. These are estimates; local rules, "+
		"landowners and licensed practice come first.",
		"Envoyé par treewhen parce que le plan «\u00a0%s\u00a0» le demande. Ce sont des estimations; les règles de "+
			"votre région, les propriétaires et l'avis des gens du métier priment.", phrase.OneLine(plan))
}
