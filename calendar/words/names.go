package words

import (
	"treewhen/calendar/phrase"
	"treewhen/phenology"
)

// inSentence is the common name of a species as it stands inside a sentence.
func inSentence(sp *phenology.Species) string { return phrase.Name(sp.Name()) }
