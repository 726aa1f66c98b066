package words

import (
	"treewhen/calendar"
	"treewhen/calendar/phrase"
	"treewhen/calendar/tapping"
	"treewhen/phenology"
)

// holeDays says how long a hole is taken to run, without a full stop.
func (l tongue) holeDays(h tapping.Hole) string {
	by := l.collection(h.Collection)
	age := l.say("flows well %d days, half at %d, dry at %d", "coule bien %d jours, à moitié à %d, à sec à %d",
		h.Well, h.Half, h.Dry)
	warmth := l.say("half at %s above %s", "à moitié à %s au-dessus de %s", l.degreeDays(float64(h.HalfWarmth)),
		l.setting(phenology.HoleWarmthBase))
	switch h.Share {
	case 0:
		return l.say("Assumes a taphole dries by age: %[2]s", "Hypothèse, %s\u00a0: l'entaille %s", by, age)
	case 1:
		return l.say("Assumes a taphole dries by warmth: %[2]s",
			"Hypothèse, %s\u00a0: l'entaille sèche par la chaleur, %s",
			by, warmth)
	}
	return l.say("Assumes a taphole dries %[2]s by warmth, the rest by age. By age alone it %[3]s; by "+
		"warmth alone, %[4]s",
		"Hypothèse, %s\u00a0: l'entaille sèche à %s par la chaleur, le reste par l'âge. Par l'âge seul, elle %s; par "+
			"la chaleur seule, elle coule %s", by, l.share(h.Share), age, warmth)
}

// HoleLife says how long a hole is taken to run, and on whose word.
func HoleLife(h tapping.Hole, as phrase.Speech) string {
	l := tongue{as}
	return l.say("%s (%s; growers' experience, from memory, and one season of fifty buckets, Whately 2013). Yours "+
		"differ? Set taphole_life and drying_by_warmth in the plan.",
		"%[1]s (expérience de producteurs, de mémoire, et une saison de cinquante chaudières, Whately 2013). Les "+
			"vôtres diffèrent? Réglez taphole_life et drying_by_warmth au plan.", l.holeDays(h),
		l.collection(h.Collection))
}

// collection says how sap leaves the tree.
func (l tongue) collection(c calendar.Collection) string {
	if c == calendar.Vacuum {
		return in(l.Speech, string(c), "sous vide")
	}
	return in(l.Speech, string(c), "par gravité")
}

// holesTapped says how holes that are drilled go on.
func (l tongue) holesTapped(f *tapping.TapFacts) string {
	text := l.say("Tapped %s.", "Entaillé %s.", l.the(f.TapDay.Or(f.AsOf)))
	if h := f.Fading; h != nil {
		text += l.say(" Assumes good flow to %s, half by %s, dry by %s (%s).",
			" Hypothèse\u00a0: bon débit jusqu'au %s, moitié %s, à sec %s (%s).",
			l.day(h.Well), l.the(h.Half), l.the(h.Dry), l.collection(f.Hole.Collection))
	}
	return text
}

// HoleExtremes says what the day to begin would be if holes dried by age or by warmth alone, and whether that decides;
// nothing where there is nothing to decide.
func HoleExtremes(x *tapping.Extremes, as phrase.Speech) string {
	if x == nil {
		return ""
	}
	l := tongue{as}
	age, warmth := l.the(x.ByAge), l.the(x.ByWarmth)
	if !x.Decide {
		return l.say("Whether holes dry by age or by warmth hardly matters to the day: %s by age alone, "+
			"%s by warmth alone.",
			"Que les entailles sèchent par l'âge ou par la chaleur change peu le jour\u00a0: %s par l'âge seul, %s "+
				"par la chaleur seule.", age, warmth)
	}
	return l.say("How holes dry decides the day: %s if by age alone, %s if by warmth alone; to go by the wrong one "+
		"costs %s of run days. What your own holes did settles it.",
		"Le jour dépend de ce qui sèche les entailles\u00a0: %s si c'est l'âge seul, %s si c'est la chaleur seule; "+
			"se tromper coûte %s des journées de coulée. Ce qu'ont fait vos propres entailles le dira.",
		age, warmth, l.share(x.Cost))
}
