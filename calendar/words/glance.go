package words

import (
	"strings"

	"treewhen/calendar"
	"treewhen/calendar/outing"
	"treewhen/calendar/phrase"
	"treewhen/phenology"
	"treewhen/phenology/civil"
)

// phaseNames are the phases as tables of dates have them.
var phaseNames = map[phenology.Phase]string{
	phenology.SapStart: "sap starts", phenology.SapEnd: "last good sap", phenology.BudSwell: "buds swell",
	phenology.Flowering: "in flower", phenology.BudBreak: "buds break", phenology.LeafOut: "leaves out",
	phenology.FloweringEnd: "flowers over", phenology.FruitRipe: "seed ripe", phenology.SeedFall: "seed begins to fall",
	phenology.SeedFallEnd: "most seed down", phenology.LeafColor: "leaves colored",
	phenology.LeafFall: "half the leaves down",
	phenology.Dormant:  "bare, at rest",
}

// Phase says in a word or two what has come with a phase.
func Phase(p phenology.Phase, as phrase.Speech) string {
	return in(as, phaseNames[p], frenchPhases[p].noun)
}

// SpellName names what is to be seen, as it stands beside the days on which it can be.
func SpellName(s calendar.Sight, as phrase.Speech) string {
	switch s.Phase {
	case phenology.SapStart:
		return in(as, "sap", "coulée")
	case phenology.BudSwell:
		return in(as, "buds swelling", "bourgeons")
	case phenology.Flowering:
		return in(as, "flowers", "fleurs")
	case phenology.BudBreak:
		return in(as, "young leaves", "jeunes feuilles")
	case phenology.LeafOut:
		return in(as, "in leaf", "en feuilles")
	case phenology.FruitRipe:
		return in(as, "ripe seed", "samares mûres")
	case phenology.SeedFall:
		return in(as, "falling seed", "chute des samares")
	case phenology.LeafColor:
		return in(as, "color", "couleurs")
	}
	return in(as, "bare", "sans feuilles")
}

// RowName names a row of work in a strip of the year; the species is nil where it is of several.
func RowName(a calendar.Activity, t calendar.Task, sp *phenology.Species, as phrase.Speech) string {
	of := ""
	if sp != nil {
		of = in(as, " ", ", ") + TreeName(sp, as)
	}
	switch t {
	case calendar.TaskTap:
		return in(as, "Tap", "Entaillage") + of
	case calendar.TaskRun:
		return in(as, "Runs of sap", "Coulées")
	case calendar.TaskWarmSpell:
		return in(as, "Warm spells", "Redoux")
	case calendar.TaskFreezeUp:
		return in(as, "Hard freeze-ups", "Gros gels")
	case calendar.TaskGather:
		return in(as, "Gather"+of+" sap", "Saison des sucres"+of)
	case calendar.TaskLast:
		return in(as, "Last runs,", "Fin de saison") + of
	case calendar.TaskPull:
		return in(as, "Pull the taps,", "Désentaillage") + of
	}
	switch a {
	case calendar.FieldTrip:
		return "Field trips"
	case calendar.TwigSurvey:
		return "Winter twigs"
	case calendar.SeedCollection:
		return "Seed of" + of
	}
	return phrase.Capital(a.Title()) + of
}

// DaysTo says how far a day is from today.
func DaysTo(today, day civil.Date, as phrase.Speech) string {
	l := tongue{as}
	switch n := int(day - today); {
	case n < 0:
		return l.say("%s ago", "il y a %s", l.days(-n))
	case n == 0:
		return in(as, "today", "aujourd'hui")
	case n == 1:
		return in(as, "tomorrow", "demain")
	default:
		return l.say("in %s", "dans %s", l.days(n))
	}
}

// Ahead says by how many days something is ahead of the usual; below 0 it is behind.
func Ahead(days int, as phrase.Speech) string {
	l := tongue{as}
	switch {
	case days > 0:
		return l.say("%s ahead", "%s d'avance", l.days(days))
	case days < 0:
		return l.say("%s behind", "%s de retard", l.days(-days))
	}
	return in(as, "as usual", "comme d'habitude")
}

// SpringDay is one phase of a spring beside past ones: its own day and its days in eight years of ten, and the middle
// day of so many past years.
type SpringDay struct {
	Species             *phenology.Species
	Phase               phenology.Phase
	Early, Middle, Late civil.Date
	Come                bool // it was seen or reached
	Usual               civil.Date
	Years               int
}

// SpringAhead says how far ahead a spring is by one of its phases.
func SpringAhead(s SpringDay, as phrase.Speech) string {
	days := int(s.Usual - s.Middle)
	switch text := Ahead(days, as); {
	case days > 0:
		return text + in(as, " of the usual", " sur l'habitude")
	case days < 0:
		return text + in(as, " the usual", " sur l'habitude")
	default:
		return text
	}
}

// Spring says when one of a spring's phases comes, and when it usually does.
func Spring(s SpringDay, as phrase.Speech) string {
	l := tongue{as}
	when := l.the(s.Middle)
	if !s.Come {
		when = l.say("about %s (8 years in 10: %s)", "vers %s (8 années sur 10\u00a0: %s)", when,
			l.span(civil.Span{First: s.Early, Last: s.Late}))
	}
	return l.say("%s, %s: %s. Usual day: %s (%s).", "%s, %s\u00a0: %s. D'habitude\u00a0: %s (%s).",
		phrase.Capital(l.tree(s.Species)), Phase(s.Phase, as), when, l.the(s.Usual), l.pastYears(s.Years))
}

// HeatSoFar says how much heat a season has gathered by a day, in degree-days above a base in degrees Celsius, beside
// the middle of past years.
func HeatSoFar(by civil.Date, base, now, usual float64, years int, as phrase.Speech) string {
	l := tongue{as}
	switch most := max(now, usual); {
	case most < 5 && (now < usual-2 || now > usual+2):
		return l.say("Heat to %s: hardly any yet.", "Chaleur jusqu'au %s\u00a0: presque rien encore.", l.day(by))
	case most < 5:
		return l.say("Heat to %s: hardly any yet, as is usual.",
			"Chaleur jusqu'au %s\u00a0: presque rien encore, comme d'habitude.", l.day(by))
	}
	return l.say("Heat to %s: %s degree-days above %s; usual by then %s (%s).",
		"Chaleur jusqu'au %s\u00a0: %s degrés-jours au-dessus de %s; d'habitude à cette date, %s (%s).",
		l.day(by), l.DegreeDays(now), l.setting(base), l.DegreeDays(usual), l.pastYears(years))
}

// EntryName names a piece of work, with the stand that it is at.
func EntryName(e *calendar.Entry) string {
	summary := Brief(e).Summary
	if e.Stand != nil && !strings.Contains(summary, e.Stand.Name) {
		return summary + ", " + e.Stand.Name
	}
	return summary
}

// NoNext says why nothing is next.
func NoNext(as phrase.Speech) string {
	return in(as, "Nothing is left to do in the days of this schedule.",
		"Il ne reste rien à faire dans les jours de ce calendrier.")
}

// LastDay says until when work can be done or, of a trip, on which day to fall back.
func LastDay(e *calendar.Entry) string {
	l := tongue{e.Speech}
	switch rain := outing.RainDate(e); {
	case rain != nil:
		return "rain date " + weekday(*rain)
	case e.Activity == calendar.FieldTrip:
		return "no rain date"
	case e.Window.Days() > 1:
		return l.say("last day %s", "dernier jour %s", l.weekday(e.Window.Last))
	}
	return ""
}

// MovedBy says by how many days an entry moved; below 0 it is earlier now, and 0 means that only its end is another
// day.
func MovedBy(e *calendar.Entry, days int, since string) string {
	l, how := tongue{e.Speech}, in(e.Speech, "Moved", "Changé")
	switch {
	case days > 0:
		how = l.say("%s later", "%s plus tard", l.days(days))
	case days < 0:
		how = l.say("%s earlier", "%s plus tôt", l.days(-days))
	}
	return l.say("%s %s, was %s", "%s %s; avant\u00a0: %s", how, since, was(e, e.Moved))
}
