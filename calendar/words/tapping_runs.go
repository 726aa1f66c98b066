package words

import (
	"strings"

	"treewhen/calendar/phrase"
	"treewhen/calendar/phrase/french"
	"treewhen/calendar/tapping"
	"treewhen/phenology"
	"treewhen/phenology/civil"
)

// RunDay says what is counted as a run day by a rule, which every count must say: published definitions differ by a
// factor of nearly two. The rule's source is to be cited beside it.
func RunDay(r *phenology.RunRule, as phrase.Speech) string {
	l := tongue{as}
	if r.Drive == phenology.RootPressure {
		return l.say("Run day: the last %d nights above %s and days above %s, on average. Near these limits a "+
			"day counts in part.",
			"Journée de coulée\u00a0: en moyenne sur %d jours, des nuits au-dessus de %s et des jours au-dessus de "+
				"%s. Près de ces limites, une journée compte en partie.",
			phenology.PressureDays, l.limit(r.Night), l.limit(r.Day))
	}
	return l.say("Run day: hours of thaw soon after a freeze. It counts in full if the night was %s or colder and "+
		"the day %s or warmer, else in part; of the catch, if it thaws %g hours or more.",
		"Journée de coulée\u00a0: quelques heures de dégel après un gel. Elle compte en entier si la nuit a été à %s "+
			"ou moins et le jour à %s ou plus, sinon en partie; pour la récolte, s'il dégèle %g heures ou plus.",
		l.setting(r.Night.Low), l.setting(r.Day.High), phenology.WholeThaw)
}

// runSize says how large a run is; of a size that is not known, that it is a run.
func (l tongue) runSize(size tapping.RunSize) string {
	switch size {
	case tapping.SizeSmall:
		return in(l.Speech, "small run", "petite coulée")
	case tapping.SizeMiddling:
		return in(l.Speech, "medium run", "moyenne coulée")
	case tapping.SizeLarge:
		return in(l.Speech, "large run", "grosse coulée")
	}
	return in(l.Speech, "run", "coulée")
}

// runDays lists a run's days with their temperatures, and how likely sap runs on those still to come.
func (l tongue) runDays(r *tapping.Run) string {
	var days []string
	measured, coming := false, false
	for _, d := range r.Days {
		text := l.nightAndDay(d.Date, d.Min, d.Max)
		if d.Forecast {
			text += ", " + Chance(float64(d.Likelihood), l.Speech) + in(l.Speech, " of a run", " que ça coule")
			coming = true
		} else {
			measured = true
		}
		days = append(days, text)
	}
	head := in(l.Speech, "Night and day, measured", "De la nuit au jour, mesuré")
	switch {
	case measured && coming:
		head = in(l.Speech, "Night and day, measured, then by the forecast", "De la nuit au jour, mesuré puis prévu")
	case coming:
		head = in(l.Speech, "Night and day, by the forecast", "De la nuit au jour, prévu")
	}
	return head + l.colon() + strings.Join(days, "; ") + "."
}

// runBeside says how large a run is beside past ones, and how roughly that is known.
func (l tongue) runBeside(r *tapping.Run) string {
	if r.Size == tapping.SizeUnknown {
		return in(l.Speech, "Too few past runs are on record here to say how large it is.",
			"Trop peu de coulées passées dans les relevés d'ici pour dire si elle est grosse.")
	}
	hours := l.say("about %s of flow to expect", "environ %s d'écoulement à prévoir", l.hours(float64(r.Hours)))
	if r.Over {
		hours = l.say("about %s above freezing", "environ %s au-dessus du point de congélation",
			l.hours(float64(r.Hours)))
	}
	return l.say("A %s beside past runs here: %s. Small is the lesser half of them, large the greatest fifth. "+
		"Trees differ widely.",
		"%s parmi les coulées passées d'ici\u00a0: %s. Petite\u00a0: la moitié la plus faible; grosse\u00a0: le "+
			"cinquième le plus fort. Les arbres diffèrent beaucoup.",
		in(l.Speech, l.runSize(r.Size), phrase.Capital(l.runSize(r.Size))), hours)
}

// CrewOrder says how one crew serves several bushes, a line a bush under one that says whether they clash.
func CrewOrder(c *tapping.Crew, as phrase.Speech) []string {
	l := tongue{as}
	lines := []string{in(as, "One crew can tap all of them on their best days.",
		"Une seule équipe peut tout entailler aux meilleurs jours.")}
	if c.Clash {
		by := in(as, "over all of them", "toutes érablières confondues")
		if c.Counted {
			by = in(as, "by the number of their taps", "selon le nombre d'entailles")
		}
		lines[0] = l.say("One crew cannot tap all of them on their best days. The least is lost, %s, in this order:",
			"Une seule équipe ne peut tout entailler au meilleur jour. Meilleur ordre, %s\u00a0:", by)
	}
	for _, turn := range c.Turns {
		names := each(turn.Species, l.tree)
		lines = append(lines, Days(turn.Days, as)+"  "+turn.Site.Name+", "+
			in(as, strings.Join(names, " and "), french.Join(names))+l.colon()+l.turn(&turn))
	}
	for _, left := range c.Left {
		lines = append(lines, l.crewLeft(left))
	}
	return lines
}

// turn says when a bush is begun, and what is lost by that. What is less than a hundredth is not made larger.
func (l tongue) turn(t *tapping.Turn) string {
	n := phrase.WholePercent(t.Lost)
	switch best := l.the(t.Best); {
	case t.Days.First == t.Best:
		return in(l.Speech, "its own best day to begin", "commence à son meilleur jour")
	case t.Lost < 0.005:
		return l.say("catches hardly less than from its own best day, %s",
			"à peine moins qu'à son meilleur jour, %s", best)
	default:
		return l.say("catches %s less of run days than from its own best day, %s",
			"%s de moins des journées de coulée qu'à son meilleur jour, %s",
			l.count(n, "point", "point", "points"), best)
	}
}

// crewLeft says why a bush has no turn with a crew.
func (l tongue) crewLeft(left tapping.Left) string {
	day := in(l.Speech, "an unknown day", "un jour inconnu")
	if d, ok := left.TapDay.Get(); ok {
		day = l.the(d)
	}
	none := l.say("%s has no turn: ", "%s\u00a0: pas de tour, ", left.Site.Name)
	switch left.Why {
	case tapping.Tapped:
		return none + l.say("tapped on %s.", "entaillé %s.", day)
	case tapping.TakenDone:
		return none + l.say("its holes are taken to be in since %s. If they are not, it comes first.",
			"supposé entaillé depuis %s. Sinon, c'est par là qu'il faut commencer.", day)
	}
	return none + in(l.Speech, "it is too late to tap there this season.",
		"il est trop tard pour y entailler cette saison.")
}

// Catches says what the columns of a table of catches are, and which days are as good as the best.
func Catches(good civil.Span, as phrase.Speech) string {
	l := tongue{as}
	return l.say("Days that are within %s of the best: %s. The best day's catch is that of each year's own best day, "+
		"known afterwards. Hours are those of a fresh hole.",
		"Jours à moins de %s du meilleur\u00a0: %s. La récolte du meilleur jour est celle du meilleur jour propre à "+
			"chaque année, connu après coup. Les heures sont celles d'une entaille fraîche.",
		l.share(tapping.Plateau), l.span(good))
}
