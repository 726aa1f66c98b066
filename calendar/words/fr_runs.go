package words

import (
	"fmt"
	"strings"

	"treewhen/calendar/phrase"
	"treewhen/calendar/phrase/french"
	"treewhen/calendar/tapping"
	"treewhen/phenology"
)

func (f inFrench) runDay(r *phenology.RunRule) string {
	if r.Drive == phenology.RootPressure {
		return fmt.Sprintf("Journée de coulée%sen moyenne sur %s, des nuits au-dessus de %s et des jours au-dessus "+
			"de %s. Près de ces limites, une journée compte en partie.", french.Colon,
			french.Count(phenology.PressureDays, "jour", "jours"), f.limit(r.Night), f.limit(r.Day))
	}
	return fmt.Sprintf("Journée de coulée%squelques heures de dégel après un gel. Elle compte en entier si la nuit "+
		"a été à %s ou moins et le jour à %s ou plus, sinon en partie; pour la récolte, s'il dégèle %s ou plus.",
		french.Colon,
		f.degrees(r.Night.Low), f.degrees(r.Day.High), frenchHours(phenology.WholeThaw))
}

// limit writes a threshold, which is two where it is one by degrees.
func (f inFrench) limit(t phenology.Threshold) string {
	if t.Low == t.High {
		return f.degrees(t.Low)
	}
	return f.degrees(t.Low) + " à " + f.degrees(t.High)
}

func frenchHours(h float64) string { return french.Figure(h) + " " + plural(h, "heure", "heures") }

func plural(n float64, one, more string) string {
	if n < 2 {
		return one
	}
	return more
}

// runDays lists a run's days with their temperatures, and how likely sap runs on those still to come.
func (f inFrench) runDays(r *tapping.Run) string {
	var days []string
	measured, coming := false, false
	for _, d := range r.Days {
		text := french.Day(d.Date) + ", " + f.nightAndDay(float64(d.Min), float64(d.Max))
		if d.Forecast {
			text += ", " + french.Chance(float64(d.Likelihood)) + " que ça coule"
			coming = true
		} else {
			measured = true
		}
		days = append(days, text)
	}
	head := "De la nuit au jour, mesuré"
	switch {
	case measured && coming:
		head = "De la nuit au jour, mesuré puis prévu"
	case coming:
		head = "De la nuit au jour, prévu"
	}
	return head + french.Colon + strings.Join(days, "; ") + "."
}

func (inFrench) runSize(r *tapping.Run) string {
	if r.Size == tapping.SizeUnknown {
		return "Trop peu de coulées passées dans les relevés d'ici pour dire si elle est grosse."
	}
	hours := "environ %s d'écoulement à prévoir"
	if r.Over {
		hours = "environ %s au-dessus du point de congélation"
	}
	return fmt.Sprintf("%s parmi les coulées passées d'ici%s"+hours+". Petite%sla moitié la plus faible; grosse%sle "+
		"cinquième le plus fort. Les arbres diffèrent beaucoup.", phrase.Capital(frenchSize(r.Size)), french.Colon,
		french.About(float64(r.Hours), "heure", "heures"), french.Colon, french.Colon)
}

func (f inFrench) runVolume(v *tapping.Volume) string {
	return fmt.Sprintf("Pour %s, très approximativement %s d'eau, deux fois sur trois%sune journée n'est connue "+
		"qu'au double ou à la moitié près.", entailles(v.Taps), f.volumes(v.Range), french.Colon)
}

func (f inFrench) crewOrder(c *tapping.Crew) []string {
	lines := []string{"Une seule équipe peut tout entailler aux meilleurs jours."}
	if c.Clash {
		by := "toutes érablières confondues"
		if c.Counted {
			by = "selon le nombre d'entailles"
		}
		lines[0] = "Une seule équipe ne peut tout entailler au meilleur jour. Meilleur ordre, " + by + french.Colon
		lines[0] = strings.TrimSpace(lines[0])
	}
	for _, turn := range c.Turns {
		var names []string
		for _, sp := range turn.Species {
			names = append(names, f.tree(sp).noun)
		}
		line := fmt.Sprintf("%s  %s, %s%s", french.ShortSpan(turn.Days), turn.Site.Name, french.Join(names),
			french.Colon)
		best := "son meilleur jour, " + french.The(turn.Best)
		switch points := phrase.WholePercent(turn.Lost); {
		case turn.Days.First == turn.Best:
			line += "commence à son meilleur jour"
		case turn.Lost < 0.005:
			line += "à peine moins qu'à " + best
		default:
			line += fmt.Sprintf("%s de moins %s qu'à %s", french.Count(points, "point", "points"), frenchRunDays, best)
		}
		lines = append(lines, line)
	}
	for _, l := range c.Left {
		lines = append(lines, f.crewLeft(l))
	}
	return lines
}

func (inFrench) crewLeft(l tapping.Left) string {
	day := "un jour inconnu"
	if d, ok := l.TapDay.Get(); ok {
		day = french.The(d)
	}
	none := l.Site.Name + french.Colon + "pas de tour, "
	switch l.Why {
	case tapping.Tapped:
		return none + "entaillé " + day + "."
	case tapping.TakenDone:
		return none + "supposé entaillé depuis " + day + ". Sinon, c'est par là qu'il faut commencer."
	}
	return none + "il est trop tard pour y entailler cette saison."
}

func (f inFrench) seasonTold(season phenology.Season, t *tapping.Told) string {
	so := "Jusqu'ici"
	if t.Over {
		so = "La saison"
	}
	if to, ok := t.To.Get(); ok {
		so = "Jusqu'au " + french.Day(to) + ", où finissent les relevés"
	}
	first, ok := t.First.Get()
	if !ok {
		return so + french.Colon + "pas encore de jour où une bonne eau a probablement coulé."
	}
	when := french.The(first) + " seulement"
	if last := t.Last.Or(first); last > first {
		when = french.The(first) + " pour commencer et " + french.The(last) + " pour finir"
	}
	text := fmt.Sprintf("%s%sune bonne eau a probablement coulé %s; avec les jours incertains, environ %s et %s en "+
		"tout", so, french.Colon, when,
		courseDays(float64(t.Days)), frenchAbout(float64(t.Hours)))
	if b := t.Best; b != nil {
		text += fmt.Sprintf("; la meilleure coulée%s%s (%s)", french.Colon, french.Span(b.Span),
			frenchAbout(float64(b.Hours)))
	}
	if u := t.Usual; u.Seasons > 0 && t.Over {
		text += fmt.Sprintf(". Moyenne de %s dans les relevés%s%s au %s, %s, environ %s",
			french.Count(u.Seasons, "autre saison", "autres saisons"), french.Colon,
			"du "+french.Day(season.Date(u.First)),
			french.Day(season.Date(u.Last)), courseDays(float64(u.Days)), frenchAbout(float64(u.Hours)))
	}
	text += "."
	if t.Volume != nil {
		text += " " + f.volumeSoFar(t.Volume)
	}
	return text
}

func (f inFrench) volumeSoFar(v *tapping.Volume) string {
	return fmt.Sprintf("D'après ces heures, très approximativement %s d'eau pour %s, deux fois sur trois.",
		f.volumes(v.Range),
		entailles(v.Taps))
}

// entailles counts taps; without a number it is one.
func entailles(n int) string {
	if n > 1 {
		return french.Count(n, "entaille", "entailles")
	}
	return "une entaille"
}

func courseDays(n float64) string {
	return french.About(n, "journée de coulée", "journées de coulée")
}

func frenchAbout(hours float64) string { return french.About(hours, "heure", "heures") }

func (inFrench) budsFar(b *tapping.Buds) string {
	far := part(b.Share) + " de la chaleur qui les gonfle est venue"
	if b.Share >= 1 {
		far = "la chaleur qui les gonfle d'ordinaire est venue; regardez-les"
	}
	return fmt.Sprintf("Bourgeons, au %s%s%s. Le même jour de %s%s%s; de %s à %s, 8 années sur 10.", french.Day(b.By),
		french.Colon, far, pastYears(b.Years), french.Colon, part(met(b.P50)), part(met(b.P10)),
		part(met(b.P90)))
}

func (f inFrench) holeDays(h tapping.Hole) string {
	age := fmt.Sprintf("coule bien %s, à moitié à %d, à sec à %d", french.Count(h.Well, "jour", "jours"), h.Half, h.Dry)
	warmth := fmt.Sprintf("à moitié à %s au-dessus de %s", french.Count(f.degreeDays(h.HalfWarmth), "degré-jour",
		"degrés-jours"),
		f.degrees(phenology.HoleWarmthBase))
	head := "Hypothèse, " + f.collection(h.Collection) + french.Colon
	switch h.Share {
	case 0:
		return head + "l'entaille " + age
	case 1:
		return head + "l'entaille sèche par la chaleur, " + warmth
	}
	return fmt.Sprintf("%sl'entaille sèche à %s par la chaleur, le reste par l'âge. Par l'âge seul, elle %s; par la "+
		"chaleur seule, elle coule %s", head, part(h.Share), age, warmth)
}

func (f inFrench) holeLife(h tapping.Hole) string {
	return f.holeDays(h) + " (expérience de producteurs, de mémoire, et une saison de cinquante chaudières, Whately " +
		"2013). Les vôtres diffèrent? Réglez taphole_life et drying_by_warmth au plan."
}

func (inFrench) holeExtremes(x *tapping.Extremes) string {
	if x == nil {
		return ""
	}
	age, warmth := french.The(x.ByAge), french.The(x.ByWarmth)
	if !x.Decide {
		return fmt.Sprintf("Que les entailles sèchent par l'âge ou par la chaleur change peu le jour%s%s par l'âge "+
			"seul, %s par la chaleur seule.", french.Colon, age, warmth)
	}
	return fmt.Sprintf("Le jour dépend de ce qui sèche les entailles%s%s si c'est l'âge seul, %s si c'est la "+
		"chaleur seule; se tromper coûte %s %s. Ce qu'ont fait vos propres entailles le dira.", french.Colon, age,
		warmth, part(x.Cost),
		frenchRunDays)
}
