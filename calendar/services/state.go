package services

import (
	"time"

	"treewhen/phenology/civil"
)

// Fault is why a source could not be asked, or what was wrong with what came.
type Fault string

// What may be wrong with a source. NoFault stands for one that answered well, or that need not be asked yet.
const (
	NoFault    Fault = ""
	Offline    Fault = "offline"    // nobody was asked
	NoContact  Fault = "no-contact" // it wants a contact, and the plan has none
	Down       Fault = "down"       // no answer, or one that says that the fault is its own
	Refused    Fault = "refused"    // it answered, with a status that says no
	Astray     Fault = "astray"     // it redirects into a private network
	Nothing    Fault = "nothing"    // an answer without a day, or a station that it does not know
	Unreadable Fault = "unreadable" // no answer of its form
	Unlikely   Fault = "unlikely"   // temperatures that cannot be of this place, or contradict what came before
	Unkept     Fault = "unkept"     // it answered, and the copy could not be kept
)

// State is how a source that a plan names stands, in facts.
type State struct {
	Service   Name
	Line      int    // of the plan
	Station   string // "" for a forecast
	Point     string // that is asked for, as it is sent; "" for a record
	Fault     Fault
	Confirmed time.Time   // when the service last said that this is what it has; zero: never
	Last      civil.Maybe // the last day with both temperatures
	Due       time.Time   // before which it is not asked again
	Revised   []Change    // days that it changed since they came first, of the last change
	RevisedOn civil.Date  // the day on which that was seen
	LeftOut   int         // values left out of the last answer, since no weather jumps so
}

// Change is a day that a service gave another value for.
type Change struct {
	Day       civil.Date `json:"day"`
	IsMax     bool       `json:"max,omitempty"` // of its maximum; else of its minimum
	Was       float64    `json:"was"`           // degrees Celsius
	Is        float64    `json:"is"`
	Withdrawn bool       `json:"withdrawn,omitempty"` // there is no value any more, and Is means nothing
}

// Late reports whether a source stands in with an old copy for longer than people should not be told.
func (s *State) Late(now time.Time) bool {
	return s.Fault != NoFault && now.Sub(s.Confirmed) > Find(s.Service).Patience
}

// Silent reports whether a station has had no day for so long that it may report no more.
func (s *State) Silent(today civil.Date) bool {
	last, ok := s.Last.Get()
	return s.Station != "" && ok && last < today-Fresh && s.Fault == NoFault
}
