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
	whose := "From a tap"
	if v.Taps > 1 {
		whose = "From " + phrase.Count(v.Taps, "tap")
	}
	return fmt.Sprintf("%s very roughly %s may come, two times of three: a day is known to a factor of two at best.", whose,
		as.Liquid(v.Range.Low, v.Range.High))
}
