package words

import (
	"math"
	"strings"

	"treewhen/calendar"
	"treewhen/calendar/phrase"
	"treewhen/calendar/tapping"
)

// Sources of what is said in warnings. Growers' and extension pages as they were read; none is a study.
const (
	heldCold = "Extension sheets, as growers' pages repeat them: hold sap at 38 °F (3 °C) or colder, above 50 °F " +
		"(10 °C) boil at once"
	weeklyLog = "A producer's log of buckets boiled once a week, about 2022 (growers' forum)"
	paleAgain = "La Terre de chez nous, 2024: sap that darkened at 14 to 15 °C was pale again after frost"
	frozenGas = "A producer's account: at 5 to 10 °F (−15 to −12 °C) tank, valve and lines froze"
	coldDrill = "Ontario's producers, 2021: no drilling in deep cold, which splits bark"
	trunkThaw = "University of Vermont, as told to producers: trunks need a day or two of sun to thaw, " +
		"the south side first"
)

// mildEnough is the coldest night, in degrees Celsius, after which holes are drilled.
const mildEnough = -8

// The usual cautions of freeze-ups and warm spells. All are common practice, no source.
var (
	freezeCautions = ofNone(
		"Ice on paths, ladders and tank lids: clear it, and work in pairs on steep ground.",
		"Thaw lines, valves and pumps with warm water or by day: no torch, and no heater left alone.",
		"Full buckets and tanks that are frozen are heavy, and burst: bail them before, do not chop at them.",
	)
	spoiledCaution = ofNone("Do not drink or boil down sap that is ropy, milky or smells: throw it away, and " +
		"rinse with hot water.")
)

func (l tongue) warningName(k tapping.WarningKind) string {
	if k == tapping.FreezeUp {
		return in(l.Speech, "hard freeze-up", "gros gel")
	}
	return in(l.Speech, "warm spell", "redoux")
}

// warning says one warning as an event.
func (t *Text) warning(e *calendar.Entry, f *tapping.WarningFacts) {
	l, name := tongue{e.Speech}, phrase.Capital(tongue{e.Speech}.warningName(f.Kind))
	sure := l.confidence(e.Probability)
	if !f.Over {
		t.Headline, t.named = l.say("%s %s %s", "%s %s, %s", name, sure, Days(e.Window, e.Speech)), len(name)
	}
	ring := func(do, faire string) {
		if isFrench(e.Speech) {
			t.remind(e, frenchWarningReminder(name, e.Window.First, faire))
			return
		}
		how := sure
		if f.Measured() {
			how = "since"
		}
		t.remind(e, name+" "+how+" "+weekday(e.Window.First)+": "+do)
	}
	t.Verdict = WarningVerdict(&f.Warning, e.Speech)
	t.Reasons = []string{l.warningDays(&f.Warning)}
	if f.Kind == tapping.FreezeUp {
		t.ChanceOf = l.say("of a night of %s or colder and a day that stays below freezing",
			"d'une nuit à %s ou moins suivie d'un jour sans dégel", l.setting(tapping.FreezeUpNight))
		t.Care = in(e.Speech, "ice underfoot; no flame at frozen lines",
			"glace au sol; pas de flamme sur la tubulure gelée")
		t.LookFor = []string{l.say(
			"When it thaws: split fittings, lines that stay frozen in the shade, taps that were pushed out.",
			"Au dégel\u00a0: raccords fendus, tubulure encore gelée à l'ombre, chalumeaux repoussés.")}
		t.Reasons = append(t.Reasons, l.say("Do not drill in such cold: bark splits. Wait for nights of %s or milder.",
			"Ne percez pas par un tel froid, l'écorce fend. Attendez des nuits à %s ou plus.", l.setting(mildEnough)))
		t.Sources = in(e.Speech, []string{frozenGas, coldDrill}, []string{frenchFrozenGas, frenchColdDrill})
		ring("empty tanks and lines", "videz tout")
		return
	}
	t.ChanceOf = l.say("of a day so warm that two of it spoil stored sap (%s above %s)",
		"d'un jour si doux que deux pareils font tourner l'eau en réserve (%s au-dessus de %s)",
		l.degreeDays(tapping.SpoilWarmth), l.setting(tapping.SpoilBase))
	t.Care = in(e.Speech, "boiling sap scalds; throw spoiled sap away",
		"le sirop bouillant brûle; jetez l'eau tournée")
	t.LookFor = []string{l.say("Cloudy or yellowing sap: boil it at once. Milky, ropy or sour sap: throw it away.",
		"Eau trouble ou jaunâtre\u00a0: faites-la bouillir aussitôt. Laiteuse, filante ou sure\u00a0: jetez-la.")}
	t.Reasons = append(t.Reasons, l.swelling(f.Swell)...)
	t.Sources = in(e.Speech, []string{heldCold, weeklyLog, paleAgain},
		[]string{frenchHeldCold, frenchWeeklyLog, frenchPaleAgain})
	ring("boil stored sap", "bouillez l'eau")
}

// WarningVerdict says what to do about a warning, and by when.
func WarningVerdict(w *tapping.Warning, as phrase.Speech) string {
	l := tongue{as}
	eve := l.say("by %s", "au plus tard %s", l.the(w.Span.First-1))
	from := in(as, "From then on sap", "À partir de là, l'eau")
	if w.Begun {
		eve, from = in(as, "at once", "tout de suite"), in(as, "In such warmth sap", "Par ce redoux, l'eau")
	}
	switch {
	case w.Kind == tapping.FreezeUp && w.Over:
		return in(as, "It froze hard and did not thaw by day. Look for split fittings before the next run.",
			"Il a gelé fort, sans dégel de jour. Cherchez les raccords fendus avant la prochaine coulée.")
	case w.Kind == tapping.FreezeUp:
		return l.say("Empty tanks, pumps and buckets %s, open the valves and let the lines drain.",
			"Videz réservoirs, pompes et chaudières %s, ouvrez les valves et laissez égoutter la tubulure.", eve)
	case w.Over:
		return l.say("Stored sap spoils in such warmth: taste what is left before you boil it.",
			"L'eau en réserve tourne par un tel redoux\u00a0: goûtez ce qui reste avant d'allumer l'évaporateur.")
	}
	keeps := l.days(w.Keeps)
	if w.Keeps <= 1 {
		keeps = in(as, "a day at most", "un jour au plus")
	}
	return l.say("Boil all stored sap %s. %s keeps %s, unless ice or snow holds it near freezing.",
		"Faites bouillir toute l'eau en réserve %s. %s se garde %s, à moins que la glace ou la neige ne la "+
			"tienne près du gel.", eve, from, keeps)
}

// warningDays lists a warning's days with their temperatures, and how likely each still to come is to be one.
func (l tongue) warningDays(w *tapping.Warning) string {
	days := each(w.Days, func(d tapping.WarningDay) string {
		sure := in(l.Speech, "measured", "mesuré")
		if d.Forecast {
			sure = Chance(float64(d.Likelihood), l.Speech)
		}
		return l.nightAndDay(d.Date, d.Min, d.Max) + ", " + sure
	})
	return l.say("Night and day: %s.", "De la nuit au jour\u00a0: %s.", strings.Join(days, "; "))
}

// swelling says whose buds may swell in a warm spell, and that such a spell alone does not end a season.
func (l tongue) swelling(list []tapping.Swelling) (lines []string) {
	for _, s := range list {
		of := in(l.Speech, s.Species.Name(), frenchTree(s.Species).of())
		come := l.say("If the forecast holds, the warmth that swells %s buds has come by %s",
			"Si les prévisions tiennent, la chaleur qui gonfle les bourgeons %s sera venue %s", of, l.the(s.Day))
		if s.Come {
			come = l.say("The warmth that swells %s buds came by %s",
				"La chaleur qui gonfle les bourgeons %s est venue %s", of, l.the(s.Day))
		}
		lines = append(lines, l.say("%s: boil a cupful and taste it before you fire the pan.",
			"%s\u00a0: faites bouillir une tasse d'eau et goûtez avant d'allumer l'évaporateur.", come))
	}
	if lines == nil {
		lines = []string{l.say(
			"Sap may darken in it. Frost after it brings pale sap back: a warm spell alone is not the end.",
			"L'eau peut y foncer. Un gel la ramène claire ensuite\u00a0: un redoux seul n'est pas la fin.")}
	}
	return lines
}

// WarningLine says a warning in one line of many.
func WarningLine(w *tapping.Warning, as phrase.Speech) string {
	l, sure := tongue{as}, Chance(float64(w.Likelihood), as)
	switch {
	case w.Over:
		sure = in(as, "measured", "mesuré")
	case w.Measured():
		sure = in(as, "begun", "commencé")
	}
	text := phrase.Capital(l.warningName(w.Kind)) + " " + l.span(w.Span) + ", " + sure + ". " + WarningVerdict(w, as)
	if len(w.Swell) > 0 && !w.Over {
		text += " " + strings.Join(l.swelling(w.Swell), " ")
	}
	return text
}

// firstThaw says what is to be known of the run after the first hard thaw.
func (l tongue) firstThaw(is tapping.Thaw) []string {
	list := []string{l.say("The first run worth gathering since the holes are in: walk the lines and wash the tank "+
		"before it; let the first sap rinse the lines.",
		"La première coulée qui vaille depuis l'entaillage\u00a0: faites le tour de la tubulure et lavez le "+
			"réservoir avant; laissez la première eau rincer la tubulure.")}
	if is.Frozen {
		list = append(list, l.say("The week before it had a mean of %s: trunks thaw first, in a day or two of sun, "+
			"the south side before the north. It may come a day late.",
			"La semaine d'avant a été à %s en moyenne\u00a0: les troncs dégèlent d'abord, en un jour ou deux de "+
				"soleil, le côté sud avant le nord. Elle peut venir un jour plus tard.",
			l.setting(math.Round(float64(is.Before)))))
	}
	return list
}
