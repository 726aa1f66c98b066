package phenology

import "treewhen/phenology/civil"

// Lack is why a phase has no date, or why what its date rests on is nothing stronger.
type Lack struct {
	Kind       LackKind
	Phase      Phase      // the phase that lacks it
	Years      int        // with LackYears: how many years of the record date it, of the [MinYears] that are needed
	Months     *Months    // with LackPlaces and LackAfter: those of the whole range; nil if there are none
	After      Phase      // with LackAfter: the phase that it is counted from
	KM         float64    // with LackNear: how far off the nearest place with a date is
	Start, End civil.Date // with LackWinter: the middle dates of sap's start and of its end, which lies before it
}

// LackKind is what is lacking.
type LackKind int

const (
	LackNothing LackKind = iota
	LackProfile          // the profile does not have the phase
	LackPlaces           // the profile has no date for it at any place
	LackNear             // its places are too far off or too unlike for their dates to be moved here
	LackRecord           // no year of the record dates it
	LackYears            // too few years of the record do
	LackWinter           // winters are too mild for a season of sap by the model
	LackAfter            // no place dates it, and the phase that it is counted from has no date
	LackEnd              // its lags go round in a circle; checked profiles have none
)

var lackKinds = [...]string{"nothing", "profile", "places", "place-near", "record", "years", "winter", "phase-before",
	"end-of-lags"}

// String returns what is lacking, in a word.
func (k LackKind) String() string { return lackKinds[k] }
