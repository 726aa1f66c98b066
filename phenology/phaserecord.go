package phenology

import (
	"math"
	"strconv"
	"strings"
)

// PhaseRecord is what is known of when a phase happens in a species.
type PhaseRecord struct {
	Phase      Phase
	Meaning    string      // what the date is the date of
	References []Reference // published mean dates at named places
	Months     *Months     // a handbook's months over the species' whole range
	Moves      Moves       // how the date moves northward, up and inland
	Gradient   *Gradient   // how far it moves, in place of the bioclimatic law; nil where nobody measured it
	Model      *PhaseModel // how to date it from temperatures or from another phase; nil: by reference dates alone
}

// Gradient is how far a date moves over the land, as it was measured.
type Gradient struct {
	North    float64 // days later for each degree poleward; below 0 is earlier
	Up       float64 // days later for each 100 m up, if OfHeight
	OfHeight bool    // Up is known
	Source   Source
}

// Reference is a mean date at a place.
type Reference struct {
	Place               string
	Latitude, Longitude float64 // decimal degrees
	Elevation           float64 // metres
	Day                 float64 // mean moment of the season
	Spread              float64 // standard deviation between years, days
	Years               string  // such as 1990-2005; "" if not stated
	Source              Source
}

// MeanError returns how far the mean day may be off for the years that it is the mean of, as a standard error in days:
// the spread between years over the square root of their number, which is read from Years ("1990-2005", "1990-2005, 12
// of the years", "2012, 2018, 2021"), and 1 at least, which is what an observer's visits are apart. Where the years are
// not stated it is 3: our own choice, for the dates of handbooks.
func (r Reference) MeanError() float64 {
	n := yearsIn(r.Years)
	if n == 0 {
		return 3
	}
	return max(1, r.Spread/math.Sqrt(float64(n)))
}

// yearsIn counts the years of a text such as "1990-2005, 12 of the years"; 0 where it states none.
func yearsIn(text string) int {
	n := 0
	for part := range strings.SplitSeq(text, ",") {
		part = strings.TrimSpace(part)
		if count, ok := strings.CutSuffix(part, " of the years"); ok {
			if k, err := strconv.Atoi(count); err == nil {
				return k
			}
			continue
		}
		first, last, span := strings.Cut(part, "-")
		from, err := strconv.Atoi(first)
		if err != nil {
			continue
		}
		if !span {
			n++
		} else if to, err := strconv.Atoi(last); err == nil && to >= from {
			n += to - from + 1
		}
	}
	return n
}

// Months is a closed run of calendar months of the northern hemisphere; it may pass New Year (From 10, To 2).
type Months struct {
	From, To int // 1 to 12
	Source   Source
}

// Moves says how a phase's date moves from south to north, from low to high.
type Moves string

// The ways a date can move northward.
const (
	MovesLater   Moves = "later"   // as spring does
	MovesEarlier Moves = "earlier" // as autumn does
	MovesNot     Moves = "not"     // sources disagree, or it does not
)

// PhaseModel dates a phase from a season's temperatures or from another phase. The dates that several models
// give are averaged.
type PhaseModel struct {
	Models   []Model
	Residual float64 // standard deviation of observed less predicted, days, on years the parameters were not fitted to
	Score    *Score  // nil where it was never scored
	Source   Source
	AtSite   bool // its starts are those of the site that it is used at: see [StartPerDegree]
}

// Score is how well a phase's model did on years it had not seen, beside the plain mean date on the same years.
type Score struct {
	Years    int
	RMSE     float64 // days, root of the mean square error
	MeanRMSE float64 // days; the mean date of the other years
}
