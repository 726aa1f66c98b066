package calendar

import (
	"time"

	"treewhen/calendar/busy"
	"treewhen/phenology/civil"
)

// Options are what a plan may set for its activities. [DefaultOptions] has what it need not set.
type Options struct {
	Tapping TappingOptions
	Seed    SeedOptions
	Twig    TwigOptions
	Trip    TripOptions
}

// TappingOptions are the options of [Tapping].
type TappingOptions struct {
	Collection     Collection
	HoleLife       int      // days after which a taphole gives half of what it gave, by age alone; 0: by Collection
	DryingByWarmth *float64 // share, in [0, 1], of a taphole's drying that is by warmth, not by age; nil: by Collection
	Notice         int      // days of notice before the best day to tap
	Reminder       int      // minutes after midnight at which reminders ring
	Taps           int      // how many are set; 0: not said
	DaysToTap      int      // days that drilling them takes; 0 is as good as 1
	SugarLow       float64
	SugarHigh      float64     // of this bush's sap, percent by weight; 0: by species
	Tapped         *civil.Date // the day on which it was done; nil: not yet, or not said
	TapsByDiameter TapsByDiameter
}

// Collection is how sap leaves the tree.
type Collection string

// The ways of collection.
const (
	Gravity Collection = "gravity" // buckets, bags or tubing without a pump
	Vacuum  Collection = "vacuum"  // tubing with a pump
)

// TapsByDiameter is a rule for how many taps a trunk can bear. Published ones differ, and the user may choose.
type TapsByDiameter string

// The rules.
const (
	CarefulTaps     TapsByDiameter = "careful"     // one from 30 cm, two from 45 cm, never three
	TraditionalTaps TapsByDiameter = "traditional" // one from 25 cm, up to four; no longer recommended
)

// Life returns after how many days a taphole gives half of what it gave when fresh. Six weeks by gravity and ten by
// vacuum are the middle of what is reported: four to six weeks, up to eight, by gravity; eight to twelve under vacuum
// with clean spouts (from memory).
func (o TappingOptions) Life() int {
	switch {
	case o.HoleLife > 0:
		return o.HoleLife
	case o.Collection == Vacuum:
		return 70
	default:
		return 42
	}
}

// SeedOptions are the options of [SeedCollection].
type SeedOptions struct {
	Sowing     civil.MonthDay // spring sowing
	SowingSet  bool           // the plan names Sowing
	SowingLine int            // the line that does, for messages
	FrostRisk  float64        // above 0: sow when a later frost is no likelier than this, and not on Sowing
	SowingOf   map[string]SowingRule
	ScoutWeeks int              // weeks before collection at which the crop is scouted
	Prohibited []string         // species that may not be collected here
	Work       map[Task]float64 // people-days that one entry of a task takes, by the owner's own figures
	WeekHas    float64          // people-days that a full week of the crew has; 0: not stated
	OneDriveKM float64          // sites no farther from each other than this are gone to on one drive
	CrewLine   int              // of the plan, that says who works here and when: sites of one line share a crew
	Targets    []Target         // how many seedlings are wanted
	Survive    float64          // share of what comes up that becomes a seedling worth having, in (0, 1]
	Outings                     // the days on which the crew works; no weekdays: Monday to Friday
}

// Target is how many seedlings of a species are wanted of the seed of one season.
type Target struct {
	Species   string // as the plan names it, then Species.ID
	SeedZone  string // whose seed it is to be; "" for any
	Seedlings int
	Line      int       // of the plan
	Lots      []LotNote // what was done with such seed, up to the plan's day, at all sites that share the target
}

// SowingRule is the sowing of one species where it differs from the rest.
type SowingRule struct {
	On     civil.MonthDay
	Line   int  // of the plan, for messages
	Second bool // in the second spring after collection, on the day on which the rest is sown
}

// TwigOptions are the options of [TwigSurvey].
type TwigOptions struct {
	From, To  civil.MonthDay // the survey's own season; zero: any day on which twigs are bare
	MinDayLen float64        // hours of daylight a survey day needs
	Coldest   float64        // degrees Celsius usual in the survey's hours, at least
	Targets   []string       // ids of the species to tell apart; empty: all of the place
	Outings
}

// TripOptions are the options of [FieldTrip].
type TripOptions struct {
	Trips      int            // how many in a school year, at most [MaxTrips]
	YearStarts civil.MonthDay // first day of a school year; zero: 1 August, south of the equator 1 January
	Spacing    int            // days from one trip to the next, at least
	MostMonth  int            // trips in a calendar month, at most; 0: any
	RainWithin int            // days after a trip within which its rain date lies; 0: none is wanted
	Wishes     []Wish         // what the class is to see; empty: flowers, leaves just open, seed ripe and autumn color
	Booked     []civil.Date   // trips made or booked: they count, and the others are chosen around them
	Outings
}

// MaxTrips is how many trips of a school year are chosen together.
const MaxTrips = 12

// Outings say when people can go out.
type Outings struct {
	Hours    Hours          // of the outing, by the clocks of the site
	Weekdays []time.Weekday // days of the week on which they can; empty: Monday to Friday for trips, any for surveys
	Terms    []civil.Span   // spans in which they can; empty: any
	Closed   []civil.Span   // days on which nobody goes out
	Calendar []CalendarFile // calendars whose events take their days and hours
	Busy     []*busy.Diary  // what was read from them
	Reminder int            // minutes after midnight
	Bus      Bus
}

// Bus is how people get there and back.
type Bus struct {
	Travel int   // minutes each way; 0: on foot, or not stated
	Margin int   // minutes to spare between the return and the last bell, or what else comes behind it
	Bells  Hours // the school's day, within which people leave and return; zero: not stated
}

// Away returns the hours from leaving to being back.
func (o *Outings) Away() Hours {
	return Hours{Start: max(0, o.Hours.Start-o.Bus.Travel), End: min(24*60, o.Hours.End+o.Bus.Travel)}
}

// Hours are a part of a day, minutes after midnight, the end not included.
type Hours struct{ Start, End int }

// CalendarFile is an iCalendar file that a plan names.
type CalendarFile struct {
	Path  string
	Words busy.Words // the plan's own, for its titles
	Line  int
}

// DefaultOptions are the options of a plan that sets none.
func DefaultOptions() Options {
	const morning = 7 * 60
	outing := Outings{Hours: Hours{9 * 60, 12 * 60}, Reminder: morning}
	return Options{
		Tapping: TappingOptions{Collection: Gravity, Notice: 7, Reminder: morning, TapsByDiameter: CarefulTaps},
		Seed: SeedOptions{
			Sowing: civil.MonthDay{Month: 5, Day: 1}, ScoutWeeks: 6, Survive: 0.7, OneDriveKM: 30,
			Outings: Outings{Reminder: morning},
		},
		Twig: TwigOptions{MinDayLen: 9, Coldest: -10, Outings: outing},
		Trip: TripOptions{Trips: 2, Spacing: 7, RainWithin: 7, Outings: outing},
	}
}
