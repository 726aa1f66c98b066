package words

import (
	"fmt"

	"treewhen/calendar/phrase"
	"treewhen/calendar/tapping"
	"treewhen/phenology/civil"
)

// Catches says what the columns of a table of catches are, and which days are as good as the best.
func Catches(good civil.Span, as phrase.Speech) string {
	if isFrench(as) {
		return inFrench{as}.catches(good)
	}
	return fmt.Sprintf("Days that are within %s of the best: %s. The best day's catch is that of each year's own best "+
		"day, known afterwards. Hours are those of a fresh hole.", phrase.Percent(tapping.Plateau), phrase.Span(good))
}
