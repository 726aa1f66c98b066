package words

import (
	"fmt"
	"math"
	"strings"

	"treewhen/calendar"
	"treewhen/calendar/phrase"
	"treewhen/phenology"
)

// Basis says in plain words what a date rests on. A date counted from another is said to be counted from the first of
// the chain, which is what was reached or seen.
func Basis(r calendar.Rests, as phrase.Speech) string {
	l, text := tongue{as}, ""
	if r.Counted && r.Root <= phenology.BasisReached { // else it was not that, either, that was seen
		text = l.say("counted from %s, ", "compté à partir %s, ", in(as, r.From.String(), frenchPhases[r.From].of()))
	}
	return text + l.basis(r) + l.basisMoves(r)
}

// basisMoves says what a date was moved by: the site's height above its thermometer, other years' sightings there.
func (l tongue) basisMoves(r calendar.Rests) (text string) {
	if r.Root == phenology.BasisSeen {
		return ""
	}
	if math.Abs(r.Climb) >= 1 && r.Root <= phenology.BasisNormals {
		way := in(l.Speech, "up", "haut")
		if r.Climb < 0 {
			way = in(l.Speech, "down", "bas")
		}
		height := l.Height(math.Abs(r.Climb))
		if isFrench(l.Speech) {
			height = strings.Replace(height, "ft", "pi", 1)
		}
		text = l.say(", temperatures moved %s %s", ", températures ramenées %s plus %s", height, way)
	}
	switch {
	case r.Seen > 0:
		text += l.say(", your sightings of %s", ", vos observations de %s", l.years(r.Seen))
	case r.Habit > 0:
		text += l.say(", your sightings of %s", ", vos observations de %s",
			l.count(r.Habit, "other tree", "autre arbre", "autres arbres"))
	}
	return text
}

// basis says what a date rests on, without what it was moved by.
func (l tongue) basis(r calendar.Rests) string {
	switch r.Root {
	case phenology.BasisSeen:
		return in(l.Speech, "seen", "vu par vous")
	case phenology.BasisReached:
		return in(l.Speech, "reached this season", "atteint cette saison")
	case phenology.BasisSeason:
		list := []string{l.say("this season to %s", "cette saison jusqu'au %s", l.day(r.Observed))}
		if day, ok := r.Until.Get(); ok {
			list = append(list, l.say("forecast to %s", "prévisions jusqu'au %s", l.day(day)))
		}
		if r.Years > 0 {
			list = append(list, l.pastYears(r.Years))
		}
		return strings.Join(list, ", ")
	case phenology.BasisRecord:
		return l.say("%s here", "%s de relevés", l.count(r.Years, "past year", "année", "années"))
	case phenology.BasisNormals:
		if r.BuiltIn > 0 {
			return l.say("climate of the place, built in, some %s off",
				"climat de l'emplacement, intégré au programme, à environ %s près", l.off(r.BuiltIn))
		}
		return in(l.Speech, "monthly normals", "normales mensuelles")
	case phenology.BasisPlace:
		if r.Recalled {
			return in(l.Speech, "the place alone, by recalled dates",
				"l'emplacement seulement, d'après des dates de mémoire")
		}
		return in(l.Speech, "the place alone", "l'emplacement seulement")
	}
	return l.say("no date: %s", "pas de date\u00a0: %s", Lack(r.Lack, l.Speech))
}

// off writes by how much temperatures may be off.
func (l tongue) off(celsius float64) string {
	if l.Units == "" && !isFrench(l.Speech) {
		return fmt.Sprintf("%.1f degrees C", celsius)
	}
	return l.difference(celsius)
}
