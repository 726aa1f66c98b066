package words

import (
	"treewhen/calendar/phrase"
	"treewhen/calendar/tapping"
)

// RunVolume says how much sap a run may bring, and how roughly that is known.
func RunVolume(v *tapping.Volume, as phrase.Speech) string {
	l := tongue{as}
	return l.say("From %s very roughly %s may come, two times of three: a day is known to a factor of two at best.",
		"Pour %s, très approximativement %s d'eau, deux fois sur trois\u00a0: une journée n'est connue qu'au double "+
			"ou à la moitié près.", l.tapsOf(v), l.volumes(v.Range))
}

// volumeSoFar says how much sap may have run into the holes of a season.
func (l tongue) volumeSoFar(v *tapping.Volume) string {
	return l.say("By these hours very roughly %s may have come from %s, two times of three.",
		"D'après ces heures, très approximativement %s d'eau pour %s, deux fois sur trois.",
		l.volumes(v.Range), l.tapsOf(v))
}

// Volume says in a few words how much sap may come, two times of three.
func Volume(v *tapping.Volume, as phrase.Speech) string {
	l := tongue{as}
	return l.say("very roughly %s from %s", "très approximativement %s pour %s", l.volumes(v.Range), l.tapsOf(v))
}

// tapsOf counts the taps that a volume is of; without their number it is of one.
func (l tongue) tapsOf(v *tapping.Volume) string {
	if v.Taps > 1 {
		return l.count(v.Taps, "tap", "entaille", "entailles")
	}
	return in(l.Speech, "a tap", "une entaille")
}
