package words

import (
	"fmt"
	"math"
	"strings"

	"treewhen/calendar"
	"treewhen/calendar/phrase"
	"treewhen/phenology"
)

// Basis says in plain words what a date rests on. A date counted from another is said to be counted from the first of the
// chain, which is what was reached or seen.
func Basis(r calendar.Rests, as phrase.Speech) string {
	if isFrench(as) {
		return inFrench{as}.basis(r)
	}
	text := ""
	if r.Counted && r.Root <= phenology.BasisReached { // else it was not that, either, that was seen
		text = "counted from " + r.From.String() + ", "
	}
	return text + basisWords(r, as) + basisMoves(r, as)
}

// basisMoves says what a date was moved by: the site's height above its thermometer, other years' sightings there.
func basisMoves(r calendar.Rests, as phrase.Speech) string {
	text := ""
	if math.Abs(r.Climb) >= 1 && r.Root <= phenology.BasisNormals && r.Root != phenology.BasisSeen {
		way := "up"
		if r.Climb < 0 {
			way = "down"
		}
		text += fmt.Sprintf(", temperatures moved %s %s", as.Height(math.Abs(r.Climb)), way)
	}
	if r.Seen > 0 && r.Root != phenology.BasisSeen {
		text += sightings(r.Seen)
	} else if r.Habit > 0 && r.Root != phenology.BasisSeen {
		text += fmt.Sprintf(", your sightings of %s", phrase.Count(r.Habit, "other tree"))
	}
	return text
}

// sightings says how many years of a user's own tuned a date.
func sightings(years int) string { return ", your sightings of " + phrase.Count(years, "year") }

func basisWords(r calendar.Rests, as phrase.Speech) string {
	switch r.Root {
	case phenology.BasisSeen:
		return "seen"
	case phenology.BasisReached:
		return "reached this season"
	case phenology.BasisSeason:
		list := []string{"this season to " + phrase.ShortDate(r.Observed)}
		if day, ok := r.Until.Get(); ok {
			list = append(list, "forecast to "+phrase.ShortDate(day))
		}
		if r.Years > 0 {
			list = append(list, phrase.Count(r.Years, "past year"))
		}
		return strings.Join(list, ", ")
	case phenology.BasisRecord:
		return phrase.Count(r.Years, "past year") + " here"
	case phenology.BasisNormals:
		if r.BuiltIn > 0 {
			return "climate of the place, built in, some " + off(r.BuiltIn, as) + " off"
		}
		return "monthly normals"
	case phenology.BasisPlace:
		if r.Recalled {
			return "the place alone, by recalled dates"
		}
		return "the place alone"
	default:
		return "no date: " + Lack(r.Lack, as)
	}
}

// off writes by how much temperatures may be off.
func off(celsius float64, as phrase.Speech) string {
	if as.Units == "" {
		return fmt.Sprintf("%.1f degrees C", celsius)
	}
	return as.Apart(1, celsius)
}
