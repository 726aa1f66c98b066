package words

import (
	"fmt"

	"treewhen/calendar"
	"treewhen/calendar/phrase"
	"treewhen/calendar/phrase/french"
	"treewhen/calendar/tapping"
	"treewhen/phenology/civil"
)

// Titles and reminders are as full as a telephone has room for.

// frenchRunTitle is the title of a run that is still to come, and how many letters of it say what it is.
func frenchRunTitle(size tapping.RunSize, p float64, days civil.Span) (title string, named int) {
	run := phrase.Capital(tongue{phrase.Speech{Language: phrase.French}}.runSize(size))
	when := french.ShortSpan(days)
	sure := french.Confidence(p, true)
	if days.First == days.Last {
		return french.Fitting(room, run+" "+sure+" "+french.ShortWeekday(days.First), run+" "+sure+" "+when,
			run+", "+when), len([]rune(run))
	}
	return french.Fitting(room, run+" "+sure+", "+when, run+", "+when), len([]rune(run))
}

// frenchTapReminder says what a reminder of tapping rings for.
func frenchTapReminder(e *calendar.Entry, soon bool, asOf civil.Date) string {
	if soon {
		return french.Fitting(room, "Préparez l'entaillage\u00a0: vers "+french.The(e.Best),
			"Préparez l'entaillage\u00a0: vers le "+french.Short(e.Best),
			"Préparez l'entaillage"+french.Colon+french.Short(e.Best))
	}
	tap := "Entaillez " + frenchTree(e.Species[0]).the()
	if asOf > e.Best {
		return french.Fitting(room, tap+", conseillé depuis le "+french.Day(e.Best), tap+", conseillé")
	}
	return french.Fitting(room, tap+" dès le "+french.Day(e.Best), tap+" dès le "+french.Short(e.Best),
		fmt.Sprintf("%s dès le %d", tap, e.Best.Day()), tap)
}

// frenchRunReminder says what a reminder of a run rings for.
func frenchRunReminder(first civil.Date, begun bool) string {
	if begun {
		return "Coulée commencée" + french.Colon + "videz les réservoirs"
	}
	alarm := func(day string) string { return "Coulée " + day + french.Colon + "videz les réservoirs" }
	return french.Fitting(room, alarm(french.The(first)), alarm("le "+french.Short(first)), alarm(french.Short(first)))
}

// frenchPullReminder says what a reminder of pulling the taps rings for.
func frenchPullReminder(e *calendar.Entry, late bool) string {
	if late {
		by := " d'ici le " + french.Day(e.Window.Last)
		return french.Fitting(room, "Désentaillez "+frenchTree(e.Species[0]).the()+by, "Désentaillez"+by)
	}
	pull := "Désentaillez " + frenchTree(e.Species[0]).the() + " vers le "
	return french.Fitting(room, pull+french.Day(e.Best), pull+french.Short(e.Best),
		"Désentaillez vers "+french.The(e.Best))
}

// frenchWarningReminder says what a reminder of a warning rings for.
func frenchWarningReminder(name string, first civil.Date, do string) string {
	return french.Fitting(room, name+" dès le "+french.Day(first)+french.Colon+do,
		name+" dès le "+french.Short(first)+french.Colon+do)
}

// frenchTapOrWait says that tapping today is as good as waiting.
func frenchTapOrWait(t *tapping.TapFacts) string {
	asOf := french.The(t.AsOf)
	little := fmt.Sprintf("à votre choix%sl'écart est de moins de %s de la récolte.", french.Colon,
		french.Percent(tapping.Plateau))
	if from, ok := t.RunFrom.Get(); ok {
		return fmt.Sprintf("Entaillez %s ou le lendemain de la première journée de coulée à partir du %s, %s", asOf,
			french.Day(from-1), little)
	}
	if last := t.Later.Or(t.Best); last > t.AsOf {
		return fmt.Sprintf("Entaillez %s, %s", french.Between(civil.Span{First: t.AsOf, Last: last}), little)
	}
	return fmt.Sprintf("Entaillez %s, %s", asOf, little)
}
