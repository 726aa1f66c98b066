package words

import (
	"fmt"

	"treewhen/calendar/phrase"
	"treewhen/calendar/tapping"
)

// VolumeSoFar says how much sap may have run into the holes of a season.
func VolumeSoFar(v *tapping.Volume, as phrase.Speech) string {
	if isFrench(as) {
		return inFrench{as}.volumeSoFar(v)
	}
	whose := "a tap"
	if v.Taps > 1 {
		whose = phrase.Count(v.Taps, "tap")
	}
	return fmt.Sprintf("By these hours very roughly %s may have come from %s, two times of three.", as.Liquid(v.Range.Low, v.Range.High), whose)
}
