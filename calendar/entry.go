// Package calendar answers: what work follows from what trees do, on which days, for whom, and how is it written down?
//
// It knows phases as distributions of dates and what people do about them; it knows no model, no file and no clock.
// Every output, be it text, table or iCalendar, is a view of the same entries.
package calendar

import (
	"cmp"

	"treewhen/calendar/phrase"
	"treewhen/phenology"
	"treewhen/phenology/civil"
)

// Activity is work that people do, tied to phases.
type Activity string

// The activities.
const (
	Tapping        Activity = "tapping"
	SeedCollection Activity = "seed-collection"
	TwigSurvey     Activity = "twig-survey"
	FieldTrip      Activity = "field-trip"
)

// Activities returns all activities, in the order in which outputs list them.
func Activities() []Activity { return []Activity{Tapping, SeedCollection, TwigSurvey, FieldTrip} }

// Entry is one piece of work at one site.
type Entry struct {
	UID      string // a UUID, the same for the same site, activity, species, task and season for good
	Site     *phenology.Site
	Stand    *Stand // the part of the site, without its outlook; nil for the whole
	Lot      *Lot   // the seed that it is work on; nil before there is any, and of other work
	Activity Activity
	Task     Task
	Species  []*phenology.Species // at least one; several where one visit serves them all
	Season   int                  // the growing year it belongs to

	Window civil.Span // the days on which the work can be done, both ends included
	Best   civil.Date // the day on which it is best done, in Window
	Hours  Hours      // of the best day, by the clocks of the site; zero: the whole day

	Probability float64 // that what the work waits for is there, in [0, 1]; its craft knows what, and on which days
	Settled     bool    // nothing still to come can move it: every date it rests on was seen or reached

	PeopleDays float64 // work that it takes, by the owner's own figures; 0: not stated

	Reminders []Reminder
	After     []string // UIDs of the entries that this one follows from
	Takes     []string // UIDs of events that feeds tell of, of which days to come are part of this one now

	Moved *Moved // when it last moved, and from where; nil if it never did, or nobody knows

	State  State
	Rests  Rests   // what Window rests on
	Doubts []Doubt // what is wrong with the temperatures behind that, the gravest first
	Facts  Facts   // what its craft decided; nil of an entry that is no craft's

	Tell []string // what tells it from others of its site, activity, species, task and season

	Speech phrase.Speech // how its plan speaks
}

// TellsChance reports whether an entry has a chance of its own that is still open.
func (e *Entry) TellsChance() bool {
	_, follows := e.Facts.(Following)
	return !follows && !e.State.Over()
}

// Reminder is an alarm some days before a day of the entry, at a civil hour of the site. It is a promise: whoever made
// it keeps it by ringing once, on its day, or, where that was missed, on the next morning on which it is still true.
type Reminder struct {
	// which promise of its entry it is, a-z and -: what rang under a name rings no more. "" is the entry's only one
	Kind   string
	Unless string     // a kind that is more than this one: once that has rung, this rings no more; "" for none
	Before int        // days before On; 0 is the day itself
	On     civil.Date // a day of the entry, usually Window.First or Best
	Minute int        // minutes after midnight of the site's civil time
	Until  civil.Date // the last day on which it is still of use to ring what was missed; 0: only its own day is
}

// Day returns the day on which the reminder is to ring.
func (r Reminder) Day() civil.Date { return r.On - civil.Date(r.Before) }

// Schedule is the work of one plan.
type Schedule struct {
	Title    string
	AsOf     civil.Date // the day taken as today
	Span     civil.Span // the days it covers
	Entries  []*Entry   // by first day of the window, then site, activity, species and task
	Accounts []any      // what the crafts tell of places beside their pieces of work: see [Work]
	Notes    []Note     // what a reader must know of the whole: invented data, phases that could not be dated
	Speech   phrase.Speech
}

// Title returns the activity as a heading.
func (a Activity) Title() string { return cmp.Or(titles[a], string(a)) }

var titles = map[Activity]string{
	Tapping: "tapping", SeedCollection: "seed collection", TwigSurvey: "winter twigs", FieldTrip: "field trips",
}
