// Package outing finds the days for outings: field trips, chosen together for what each adds to the others, and surveys
// of winter twigs. It makes the sheets that are taken along.
//
// It decides in numbers and says nothing: what it found stands in [Trip], [RainDay] and [Survey], and package words
// makes sentences of them.
package outing

import (
	"cmp"
	"encoding/json"
	"slices"

	"treewhen/calendar"
	"treewhen/phenology"
	"treewhen/phenology/civil"
	"treewhen/phenology/traits"
)

// Facts are what was decided of an outing: a [*Trip], a [*RainDay] or a [*Survey].
type Facts interface {
	calendar.Facts
	OfDay() *Day
}

// Day is what holds of the day of any outing.
type Day struct {
	Conditions Conditions `json:"conditions"`
	Kit        Kit        `json:"kit"`
	InLeaf     bool       `json:"in_leaf"` // some species likely shows leaves
	// On a trip: the night before usually freezes, or, with no temperatures, it is winter.
	Ice      bool                 `json:"ice_may_lie"`
	Pairs    Pairs                `json:"pairs"` // of all species there
	Care     []traits.Pair        `json:"-"`     // the pairs that are named
	CareMore int                  `json:"-"`     // pairs that need care and are not named
	Minded   []*phenology.Species `json:"-"`     // those whose own cautions are read out
	Sources  []phenology.Source   `json:"-"`     // of the dates
	Ride     Ride                 `json:"-"`
	Sheet    *Sheet               `json:"-"` // nil once the facts are lightened
}

// Ride is how people get there and back; the zero Ride is not stated.
type Ride struct {
	Away calendar.Hours // from leaving to being back
	Bus  calendar.Bus
}

// OfDay returns the day.
func (d *Day) OfDay() *Day { return d }

// Visit is what a trip and its rain date have in common.
type Visit struct {
	Day
	Number     int             `json:"number"`             // in its school year: stands in its identifier
	SchoolYear int             `json:"school_year"`        // the calendar year in which it begins
	Theme      calendar.Sight  `json:"theme"`              // what the day was chosen for
	Among      int             `json:"among"`              // species that may show it
	Expected   calendar.Amount `json:"expected"`           // how many of these can be expected to
	AllYear    bool            `json:"all_year,omitempty"` // all of them show it all year, so that it rests on no date
	Sights     Sights          `json:"chances"`            // what may be there, the theme first
}

// Trip is what was decided of a field trip.
type Trip struct {
	Visit
	Also  []calendar.Sight `json:"also,omitempty"` // what stands in its title beside the theme
	Named []NamedSight     `json:"named"`          // the theme and these, each with a chance of its own

	Order    int             `json:"order"` // the first, the second… by its day
	Of       int             `json:"of"`    // trips that were chosen together
	FreeDays int             `json:"free_days"`
	Shows    calendar.Amount `json:"shows"`                   // of what is wished for, all these trips together
	Held     calendar.Amount `json:"held_back,omitempty"`     // what the best choice shows more, were no day published
	Wished   float64         `json:"wished"`                  // the weights of all wishes
	Weighted bool            `json:"weighted"`                // some wish weighs more or less than one
	OneLess  calendar.Amount `json:"one_trip_less,omitempty"` // what so many would show; 0: not known
	OneMore  calendar.Amount `json:"one_trip_more,omitempty"`
	Adds     []Add           `json:"adds"` // what this one adds to what the others show, the most first

	Earlier *Move  `json:"week_earlier,omitempty"` // nil: no day is free
	Later   *Move  `json:"week_later,omitempty"`
	Taken   Taken  `json:"taken"`
	Clash   string `json:"clash,omitempty"` // the event of a calendar that takes the day, which is booked all the same
	Rain    *Move  `json:"rain,omitempty"`  // to the day to fall back on, nil if there is none
	RainIn  int    `json:"rain_within"`     // days after the trip in which that was looked for
}

// NamedSight is what stands in a trip's title.
type NamedSight struct {
	See      calendar.Sight  `json:"see"`
	Chance   calendar.Chance `json:"chance"`   // that at least one species shows it
	Among    int             `json:"among"`    // species that may
	Expected calendar.Amount `json:"expected"` // how many can be expected to
}

// Lowest returns the sight of a trip's title that is least likely to be there: its chance is the trip's.
func (t *Trip) Lowest() NamedSight {
	return slices.MinFunc(t.Named, func(a, b NamedSight) int { return cmp.Compare(a.Chance, b.Chance) })
}

// Add is what a trip adds to what others show of a sight.
type Add struct {
	See calendar.Sight  `json:"see"`
	By  calendar.Amount `json:"by"`
}

// Move is what a trip would show less on another day.
type Move struct {
	To    civil.Date      `json:"to"`
	Loss  calendar.Amount `json:"loss"` // below 0: it would show more
	Worth Worth           `json:"worth"`
}

// Worth is how another day compares with the one chosen.
type Worth uint8

// How another day compares.
const (
	AsMuch    Worth = iota
	Less            // it shows less
	TooLittle       // it shows more, but too little for what is published to move
	Forbidden       // it shows more, but the plan's rules forbid it as a first choice
)

// MarshalText returns the comparison as JSON has it.
func (w Worth) MarshalText() ([]byte, error) {
	return []byte([...]string{"as-much", "less", "too-little", "forbidden"}[w]), nil
}

// Taken is what took the days of a school year.
type Taken struct {
	Year      civil.Span     `json:"-"`
	Hours     calendar.Hours `json:"-"`
	Suit      int            `json:"suit"` // days on weekdays on which people go out; the others are of these
	OutOfTerm int            `json:"out_of_term"`
	Closed    int            `json:"closed"`
	Busy      int            `json:"busy"`
	Dark      int            `json:"dark"`
	Calendars []string       `json:"-"` // the files that the busy days are from
}

// RainDay is what was decided of the day to fall back on.
type RainDay struct {
	Visit
	For  civil.Date `json:"stands_in_for"`
	Move Move       `json:"move"`
}

// Survey is what was decided of a survey of winter twigs.
type Survey struct {
	Day
	Nearly     []civil.Date `json:"nearly_as_good,omitempty"`
	BareLast   Bound        `json:"bare_last"`   // the species that is bare last
	SwellFirst Bound        `json:"swell_first"` // the species whose buds swell first
	LeftOut    LeftOut      `json:"left_out"`

	Common []Common       `json:"-"` // characters that all its species share
	Look   []SheetSpecies `json:"-"` // the best characters of each beside these
}

// Bound is the species that begins or ends the season, and on which days it does in eight years of ten.
type Bound struct {
	Species *phenology.Species
	Days    civil.Span
}

// MarshalJSON names the species by its id.
func (b Bound) MarshalJSON() ([]byte, error) {
	return json.Marshal(struct {
		Species string     `json:"species"`
		From    civil.Date `json:"from"`
		To      civil.Date `json:"to"`
	}{b.Species.ID, b.Days.First, b.Days.Last})
}

// LeftOut is how many days each bound of a survey took, and the bounds.
type LeftOut struct {
	Closed    int            `json:"closed"`
	Busy      int            `json:"busy"`
	Dark      int            `json:"dark"`
	Cold      int            `json:"cold"`
	Hours     calendar.Hours `json:"-"`
	MinDayLen float64        `json:"daylight_hours"`
	Coldest   float64        `json:"coldest_c"`
}

// RainDate returns the day to fall back on of an entry that is a trip; nil if there is none.
func RainDate(e *calendar.Entry) *civil.Date {
	if trip, ok := e.Facts.(*Trip); ok && trip.Rain != nil {
		return &trip.Rain.To
	}
	return nil
}

// SheetOf returns the sheet of an entry that is an outing; nil if it has none.
func SheetOf(e *calendar.Entry) *Sheet {
	if f, ok := e.Facts.(Facts); ok {
		return f.OfDay().Sheet
	}
	return nil
}
