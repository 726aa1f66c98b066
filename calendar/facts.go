package calendar

import (
	"math"
	"strconv"

	"treewhen/phenology"
	"treewhen/phenology/civil"
)

// Facts are what a craft has decided of an entry, in numbers, days and names: package words makes sentences of them,
// JSON writes them as they are, and a feed knows by them whether an entry has changed. There is one type a craft: see
// packages tapping, seed and outing. No decision reads a sentence, and no sentence decides.
type Facts interface {
	// Essence lists the facts whose change is a change of the entry, beside its days, hours, state and probability,
	// which every entry has. What an essence leaves out, such as the figures behind an advice, may change in an event
	// that is published without anybody being told.
	Essence() []Fact
}

// Following are facts of an entry that follows another: its days are set by that one, and its chance is that one's, so
// that nobody is told it.
type Following interface{ Follows() }

// Fact is one fact of an [Facts.Essence].
type Fact struct {
	Name  string // a-z 0-9 and -, the same for good: feeds are read by it
	Value any    // a [civil.Date] or [civil.Maybe], a [Chance], an [Amount], a bool, or a string of a-z 0-9 and -

	// A string may name several things, joined by +, the chief one first: of an outing weeks ahead only that one
	// counts. A string that is "" and a date that is none are not told. A chance of a fifth or more must be: one that
	// is not told is taken to be smaller.
}

// Chance is a probability or a share, in [0, 1]. As a fact it is told in hundredths.
type Chance float64

// MarshalJSON writes the chance in hundredths; none here is known better.
func (c Chance) MarshalJSON() ([]byte, error) { return rounded(float64(c), 2), nil }

// Amount is a quantity of which half a unit is no change, such as how many species can be expected to flower.
type Amount float64

// MarshalJSON writes the amount in tenths.
func (a Amount) MarshalJSON() ([]byte, error) { return rounded(float64(a), 1), nil }

func rounded(x float64, decimals int) []byte {
	scale := math.Pow10(decimals)
	return strconv.AppendFloat(nil, math.Round(x*scale)/scale+0, 'f', decimals, 64) // adding 0 makes -0 into 0
}

// State is what is still to come of an entry.
type State uint8

// The states.
const (
	Open     State = iota // it is still to be done, on days that may move
	Booked                // its owner has fixed the day, whatever the season does
	Done                  // its owner says that it is done
	Observed              // what it tells of has been measured
)

// Over reports whether nothing of an entry is still to come: no chance is told of it.
func (s State) Over() bool { return s == Done || s == Observed }

// String returns the state as feeds have it.
func (s State) String() string { return [...]string{"open", "booked", "done", "observed"}[s] }

// Rests is what the days of an entry rest on: the weakest of its estimates.
type Rests struct {
	Basis    phenology.Basis
	Counted  bool            // the date is counted from another phase's, and what follows is of that one
	From     phenology.Phase // the first phase of the chain that it is counted from
	Root     phenology.Basis // that one's basis; Basis where it is not counted
	Years    int             // years of record that went in
	Observed civil.Date      // the last day observed of this season
	Forecast bool            // days of a forecast went in
	Until    civil.Maybe     // the last of these
	Climb    float64         // metres that temperatures were moved up, from the station to the site
	Seen     int             // years of sightings here that tuned it
	Recalled bool            // it rests on dates from memory alone: nobody has looked them up, or seen it here
	Habit    int             // other species seen here that tuned it
	BuiltIn  float64         // degrees Celsius by which the built-in climate may be off; 0 where it plays no part
	Lack     phenology.Lack  // why there is no date, where there is none
}

// SurestRecalled is the highest chance of what rests on dates that nobody has looked up. Our own choice.
const SurestRecalled = 0.9

// RestsOn returns what the weakest of several estimates rests on; the first of those that are equally weak. A date
// that is counted from another rests on the first of the chain, which is what was reached or seen.
func RestsOn(list ...phenology.Estimate) Rests {
	weakest := list[0]
	for _, e := range list[1:] {
		if e.Basis > weakest.Basis {
			weakest = e
		}
	}
	r := Rests{Basis: weakest.Basis}
	root := &weakest
	for root.After != nil {
		root = root.After
		r.Counted, r.From = true, root.Phase
	}
	r.Root, r.Years, r.Observed, r.Forecast = root.Basis, root.Years, root.Observed, root.Invented > 0
	r.Climb, r.Seen, r.Habit, r.BuiltIn, r.Lack = root.Climb, root.Seen, root.Habit, root.BuiltIn, root.Lack
	r.Recalled = root.Recalled && root.Seen == 0
	return r
}
