package words

import (
	"math"
	"strings"

	"treewhen/calendar"
	"treewhen/calendar/phrase"
	"treewhen/calendar/phrase/french"
	"treewhen/calendar/tapping"
	"treewhen/phenology"
	"treewhen/phenology/civil"
)

// WellTimed is what the chance of a tapping day is of.
const WellTimed = "of a good day: at least 4/5 of the catch that hindsight would pick"

// wellTimed is [WellTimed] in a plan's language.
func (l tongue) wellTimed() string {
	return in(l.Speech, WellTimed, "d'un bon jour\u00a0: au moins 4/5 de ce que donnerait le meilleur")
}

// TapVerdict says what to do: tap, or wait. It names days and never says today, since it is kept in calendars.
func TapVerdict(f *tapping.TapFacts, as phrase.Speech) string {
	l, tapDay := tongue{as}, f.TapDay.Or(f.AsOf)
	day, asOf := l.the(tapDay), l.the(f.AsOf)
	done := l.say("Done? Put the day in the plan (tapped: %s).",
		"C'est fait? Notez le jour au plan (tapped: %s).", tapDay)
	switch f.Advice {
	case tapping.Tapped:
		return l.holesTapped(f)
	case tapping.NoRecord:
		return l.say("%s Sap here starts %s, 8 years in 10: be ready, tap by the forecast.",
			"%s Ici, la coulée commence %s, 8 années sur 10. Préparez-vous et entaillez d'après les prévisions.",
			l.tooFewYears(f.Evidence.Years), l.between(f.Start))
	case tapping.Over:
		return in(as, "Nothing is left to tap for this season.", "Il ne reste rien à gagner à entailler cette saison.")
	case tapping.TooLate:
		late := l.say("about %s of this season's run days had passed by %s.",
			"environ %s des journées de coulée étaient passées %s.", l.share(f.Gone), asOf)
		if f.Since.Known() {
			return l.say("Advised since %s. %s If not done, it is too late: %s",
				"Conseillé depuis %s. %s Sinon, il est trop tard\u00a0: %s", day, done, late)
		}
		return l.say("Too late to tap: %s", "Trop tard pour entailler\u00a0: %s", late)
	case tapping.TakenDone:
		return l.takenDone(f, day, asOf) + " " + done
	case tapping.WaitAgain:
		return l.say("Not tapped yet? %s The outlook has changed since %s. %s %s",
			"Pas encore entaillé? %s La situation a changé depuis %s. %s %s", l.howToWait(f), day, l.waiting(f), done)
	case tapping.TapNow:
		if since := f.Since.Or(f.AsOf); since < f.AsOf {
			return l.say("Tap if you have not; advised since %s. %s",
				"Pas encore entaillé? Allez-y\u00a0: c'est conseillé depuis %s. %s", l.the(since), done)
		}
		return l.say("Tap on %s. Waiting is not likely to catch more.",
			"Entaillez %s. Attendre ne donnera sans doute pas plus.", l.weekday(f.AsOf))
	case tapping.PlanAhead:
		return l.say("Plan to tap about %s (%s). From %s the date follows the weather.",
			"Prévoyez d'entailler vers %s (%s). À partir du %s, la date suit la météo.",
			l.the(f.Best), l.pastYears(f.Evidence.Years), l.day(f.CountedFrom))
	case tapping.TapOrWait:
		return l.tapOrWait(f)
	}
	return l.howToWait(f) + " " + l.waiting(f)
}

// tooFewYears says that there is too little record for a tapping day.
func (l tongue) tooFewYears(years int) string {
	if years == 0 {
		return in(l.Speech, "No temperatures, so no tapping day.", "Sans relevés, pas de jour d'entaillage.")
	}
	return l.say("Only %s, so no tapping day.", "Seulement %s de relevés\u00a0: pas de jour d'entaillage.",
		l.count(years, "past year", "année", "années"))
}

// takenDone says since when holes are taken to be in.
func (l tongue) takenDone(f *tapping.TapFacts, day, asOf string) string {
	which := in(l.Speech, "the usual day", "le jour habituel")
	if f.TapDayAdvised {
		which = in(l.Speech, "when first advised", "premier jour conseillé")
	}
	if seen, ok := f.SapSeen.Get(); ok {
		if f.TapDayAdvised {
			day += ", " + which
		}
		return l.say("You saw sap run on %s. Assumes you tapped on %s.",
			"Vous avez vu couler l'eau %s. Hypothèse\u00a0: entaillé %s.", l.the(seen), day)
	}
	return l.say("Assumes you tapped on %s, %s. If not, tap: %s still catches %s of run days.",
		"Hypothèse\u00a0: entaillé %s, %s. Sinon, entailler %s donne encore %s des journées de coulée.",
		day, which, asOf, l.share(f.Today))
}

// tapOrWait says that tapping today is as good as waiting.
func (l tongue) tapOrWait(f *tapping.TapFacts) string {
	if isFrench(l.Speech) {
		return frenchTapOrWait(f)
	}
	little := "it costs less than " + phrase.Percent(tapping.Plateau) + " of the catch."
	if f.RunFrom.Known() {
		return "Tap on " + phrase.ShortDate(f.AsOf) + " or wait, as suits you: " + little + " " + l.howToWait(f)
	}
	return "Tap any day from " + phrase.Span(civil.Span{First: f.AsOf, Last: f.Later.Or(f.Best)}) + ": " + little
}

// howToWait says how best to wait.
func (l tongue) howToWait(f *tapping.TapFacts) string {
	if from, ok := f.RunFrom.Get(); ok {
		return l.say("Wait for the first run day from %s on; tap the next morning.",
			"Attendez la première journée de coulée à partir du %s; entaillez le lendemain matin.", l.day(from-1))
	}
	return l.say("Wait until %s.", "Attendez %s.", l.weekday(f.Later.Or(f.Best)))
}

// waiting says what waiting catches, and what tapping without waiting would.
func (l tongue) waiting(f *tapping.TapFacts) string {
	return l.say("Tapping then catches %s of this season's run days; on %s, %s.",
		"En entaillant ce jour-là, vous aurez %s des journées de coulée de la saison; %s, %s.",
		l.share(f.Waiting), l.the(f.AsOf), l.share(f.Today))
}

// TapBasis says what an advice rests on.
func TapBasis(e tapping.Evidence, as phrase.Speech) string {
	l := tongue{as}
	var list []string
	if day, ok := e.SeasonTo.Get(); ok {
		list = append(list, l.say("this season to %s", "cette saison jusqu'au %s", l.day(day)))
	}
	if day, ok := e.ForecastTo.Get(); ok {
		list = append(list, l.say("forecast to %s", "prévisions jusqu'au %s", l.day(day)))
	}
	years := l.pastYears(e.Years)
	if e.Drawn {
		from := in(as, "from "+normals(e.BuiltIn), "des normales mensuelles")
		if e.BuiltIn && isFrench(as) {
			from = "du climat intégré au programme"
		}
		years = l.say("%s drawn %s", "%s %s", l.count(e.Years, "year", "année tirée", "années tirées"), from)
	}
	return strings.Join(append(list, years), ", ")
}

// TapPrice says what the best day catches and, if wanted, what a week early or late would. There must be a price.
func TapPrice(f *tapping.TapFacts, weeks bool, as phrase.Speech) string {
	l, p := tongue{as}, f.Price
	text := l.say("Tapping on %s catches %s of run days, on average over %s: %s of what hindsight would.",
		"Entailler %s donne %s des journées de coulée, en moyenne sur %s\u00a0: %s de ce que donnerait le "+
			"meilleur jour de chacune.", l.the(p.Best), l.share(p.Caught), l.years(f.Evidence.Years),
		l.share(p.OfHindsight))
	if weeks && !p.WeekEarlier.IsZero() {
		text += l.say(" A week earlier catches %s.", " Une semaine plus tôt\u00a0: %s.", l.share(p.WeekEarlier))
	}
	if weeks && !p.WeekLater.IsZero() {
		text += l.say(" A week later catches %s.", " Une semaine plus tard\u00a0: %s.", l.share(p.WeekLater))
	}
	if p.Gone >= 0.005 {
		text += l.say(" %s of run days had passed by %s.", " %s des journées de coulée étaient passées %s.",
			l.share(p.Gone), l.the(f.AsOf))
	}
	first := l.say("first run of two days or more since %s", "la première coulée de deux jours ou plus depuis %s",
		l.the(p.CountedFrom))
	switch p.Missed {
	case 0:
		return text + l.say(" It catches the %s.", " Ce jour-là, vous aurez aussi %s.", first)
	case 1:
		return text + l.say(" The %s is past; no day can catch it.", " %s est passée; aucun jour ne peut la rattraper.",
			in(as, first, phrase.Capital(first)))
	}
	return text + l.say(" In %s of past years it misses the %s.", " Dans %s des années passées, ce jour manque %s.",
		l.share(p.Missed), first)
}

// WeekPrice says what a week early or late costs; "" where there is nothing to decide.
func WeekPrice(f *tapping.TapFacts, as phrase.Speech) string {
	l, p := tongue{as}, f.Price
	if p == nil || p.Caught.IsZero() {
		return ""
	}
	var weeks []string
	if !p.WeekEarlier.IsZero() && p.Best-7 >= f.AsOf {
		weeks = append(weeks, l.say("a week earlier %s", "une semaine plus tôt, %s", l.share(p.WeekEarlier)))
	}
	if !p.WeekLater.IsZero() {
		weeks = append(weeks, l.say("a week later %s", "une semaine plus tard, %s", l.share(p.WeekLater)))
	}
	text := l.say("Begun on %s, holes catch %s of the season's run days",
		"Entailler %s donne %s des journées de coulée de la saison", l.the(p.Best), l.share(p.Caught))
	if weeks != nil {
		text += "; " + in(as, phrase.Join(weeks), strings.Join(weeks, "; "))
	}
	return text + "."
}

// SapEnd says what ends a species' season.
func SapEnd(sp *phenology.Species, f *tapping.SeasonFacts, as phrase.Speech) string {
	l, spoils := tongue{as}, in(as, "buds swell", "les bourgeons se gonflent")
	if f.Spoils == phenology.BudBreak {
		spoils = in(as, "buds break", "les bourgeons débourrent")
	}
	end := l.say("Freezes stop or %s", "le gel cesse ou que %s", spoils)
	if pressed(sp) {
		end = in(as, phrase.Capital(spoils)+" then", spoils)
	}
	text := l.say("Last good sap: %s, 8 years in 10. %s", "Dernière bonne eau\u00a0: %s, 8 années sur 10. "+
		"Elle finit quand %s",
		l.span(civil.Span{First: f.End.P10, Last: f.End.P90}), end)
	if f.Spoiled != nil {
		text += " (" + l.span(civil.Span{First: f.Spoiled.P10, Last: f.Spoiled.P90}) + ")"
	}
	text += "."
	dry, ok := f.Dry.Get()
	switch drilled := l.the(f.TapDay.Or(dry)); {
	case !ok:
		return text
	case dry < f.End.P50:
		return text + l.say(" Holes drilled on %s are dry before that, about %s. Sap may still run, but not in them.",
			" Les entailles percées %s sont à sec avant, vers %s. Il peut couler encore, mais pas de celles-là.",
			drilled, l.the(dry))
	default:
		return text + l.say(" Holes drilled on %s last to about %s.",
			" Les entailles percées %s durent jusque vers %s.",
			drilled, l.the(dry))
	}
}

// RunDaysLeft says how many run days a season has.
func RunDaysLeft(n *tapping.RunDays, spoils phenology.Phase, as phrase.Speech) string {
	l, until := tongue{as}, in(as, "buds swell", "le gonflement des bourgeons")
	if spoils == phenology.BudBreak {
		until = in(as, "buds break", "le débourrement")
	}
	text := l.say("Run days until %s: about %.0f", "Journées de coulée avant %s\u00a0: environ %.0f", until, n.P50)
	// Where all ways in which the season may go have as many, as they are told, it is nearly past: no spread is told.
	if math.Round(n.P10) == math.Round(n.P90) {
		return text + "."
	}
	return text + l.say("; %.0f to %.0f, 8 years in 10.", "; de %.0f à %.0f, 8 années sur 10.", n.P10, n.P90)
}

// Headline says an entry as it stands where it is the next thing to do: for tapping what is advised in a few words,
// else what it is.
func Headline(e *calendar.Entry) string {
	f, ok := e.Facts.(*tapping.TapFacts)
	if !ok {
		return EntryName(e)
	}
	l, the := tongue{e.Speech}, tongue{e.Speech}.theTree(e.Species[0])
	switch f.Advice {
	case tapping.TapNow:
		return l.say("Tap %s now", "Entaillez %s maintenant", the)
	case tapping.Wait, tapping.WaitAgain:
		if from, ok := f.RunFrom.Get(); ok {
			return l.say("Tap %s after the first run day from %s on",
				"Entaillez %s après la première journée de coulée à partir du %s", the, l.day(from))
		}
		return l.say("Wait until %s to tap %s", "Attendez %s pour entailler %s", l.weekday(f.Later.Or(f.Best)), the)
	case tapping.TapOrWait:
		return l.say("Tap %s today, or wait until %s", "Entaillez %s aujourd'hui, ou attendez jusqu'au %s", the,
			in(e.Speech, weekday, french.Day)(f.Later.Or(f.Best)))
	case tapping.PlanAhead:
		return l.say("Plan to tap %s about %s", "Prévoyez d'entailler %s vers %s", the, l.the(f.Best))
	case tapping.NoRecord:
		return l.say("Tap %s by the forecast", "Entaillez %s d'après les prévisions", the)
	}
	return EntryName(e)
}
