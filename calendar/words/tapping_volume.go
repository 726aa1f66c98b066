package words

import (
	"fmt"

	"treewhen/calendar/phrase"
	"treewhen/calendar/tapping"
)

// RunVolume says how much sap a run may bring, and how roughly that is known.
func RunVolume(v *tapping.Volume, as phrase.Speech) string {
	if isFrench(as) {
		return inFrench{as}.runVolume(v)
	}
	return fmt.Sprintf("From %s very roughly %s may come, two times of three: a day is known to a factor of two at best.",
		tapsOf(v), as.Liquid(v.Range.Low, v.Range.High))
}

// VolumeSoFar says how much sap may have run into the holes of a season.
func VolumeSoFar(v *tapping.Volume, as phrase.Speech) string {
	if isFrench(as) {
		return inFrench{as}.volumeSoFar(v)
	}
	return fmt.Sprintf("By these hours very roughly %s may have come from %s, two times of three.",
		as.Liquid(v.Range.Low, v.Range.High), tapsOf(v))
}

// Volume says in a few words how much sap may come, two times of three.
func Volume(v *tapping.Volume, as phrase.Speech) string {
	if isFrench(as) {
		return inFrench{as}.brings(v)
	}
	return fmt.Sprintf("very roughly %s from %s", as.Liquid(v.Range.Low, v.Range.High), tapsOf(v))
}

// tapsOf counts the taps that a volume is of; without their number it is of one.
func tapsOf(v *tapping.Volume) string {
	if v.Taps > 1 {
		return phrase.Count(v.Taps, "tap")
	}
	return "a tap"
}
