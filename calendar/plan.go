package calendar

import (
	"time"

	"treewhen/calendar/busy"
	"treewhen/calendar/phrase"
	"treewhen/phenology"
	"treewhen/phenology/civil"
	"treewhen/phenology/weather"
)

// Plan is what a schedule is made from: places, each with its outlook, and what is to be done there.
type Plan struct {
	Title  string
	FeedID UUID       // the namespace of the plan's identifiers
	AsOf   civil.Date // the day taken as today
	Span   civil.Span // the days to schedule
	Places []*Place
	Notes  []string // what a reader must know of the whole
	Credit []string // whom to credit for what the whole rests on, a sentence each
	Speech phrase.Speech
}

// Place is a site with the species and the work that its owner asked for.
type Place struct {
	Outlook    *phenology.Outlook
	Book       []Gathered       // what was gathered there, in the order of days
	Forecasts  []weather.Series // as they came, to be judged; what the outlook's temperatures use of them is flagged
	LeftOut    []Doubt          // the forecasts that could not be read
	Species    []*phenology.Species
	Activities []Activity
	Options    Options
	Stands     []*Stand   // where seed is collected, each by itself; empty: at the place as a whole
	Crops      []CropNote // what scouting found, up to the plan's day
	Lots       []LotNote  // what was done with its seed, up to the plan's day, by day
	Chosen     bool       // its owner named the species; else they are the whole library
	Rules      *Rules     // what law says of the species here; nil: it may be whatever their profiles say of any place

	// Memory is what the place's feed tells of its events, by UID: a trip whose day has come stays on it, and what was
	// advised before is held to. Nil where there is no feed.
	Memory map[string]Memory
}

// Memory is what a feed tells of an event that it was published with.
type Memory struct {
	Window    civil.Span
	Best      civil.Maybe
	Cancelled bool
	Chance    int               // that it told, in hundredths; below 0 if it told none
	Moved     *Moved            // its last move; nil if it never moved
	Told      map[string]string // its essence as feeds write it, by the names of facts: see [Facts.Essence]
}

// Published returns the first day of an event that stands in the place's feed.
func (p *Place) Published(uid string) (civil.Date, bool) {
	m, ok := p.Memory[uid]
	return m.Window.First, ok && !m.Cancelled
}

// Day returns the day that a fact tells.
func (m Memory) Day(name string) civil.Maybe {
	t, err := time.Parse("20060102", m.Told[name])
	if err != nil {
		return civil.Maybe{}
	}
	return civil.Some(civil.FromTime(t))
}

// BestTold returns the day that is told as the best: of a spell of weather, whose events alone tell whether it has begun,
// none is.
func (m Memory) BestTold() civil.Maybe {
	if _, spell := m.Told["begun"]; spell {
		return civil.Maybe{}
	}
	return m.Best
}

// Stand is a part of a place where seed is collected: its own height, its own trees.
type Stand struct {
	ID       string // a-z 0-9 -
	Name     string
	Outlook  *phenology.Outlook // of the stand's elevation and sightings; its site's id is the place's
	Species  []*phenology.Species
	Offset   float64 // days that spring comes later here than elevation alone makes it: above 0 in a frost hollow or on a slope that faces the pole
	SeedZone string  // the owner's own label
	Permit   string  // the owner's own words, carried into entries
	Owner    string  // the landowner: whom to ask
}

// Lot is seed of one species and season that is kept apart from others, from collection to sowing: by its seed zone or,
// where stands have none, by its stand.
type Lot struct {
	ID       string   `json:"id,omitempty"`        // the owner's own; "" for one that is still to be collected
	SeedZone string   `json:"seed_zone,omitempty"` // of its stands
	Stands   []string `json:"stands,omitempty"`    // their names, in order
	CleanKG  float64  `json:"clean_kg,omitempty"`  // of clean seed, as it was last weighed; 0: not told
	Apart    bool     `json:"-"`                   // there can be other seed of its species in the season
}

// LotNote is a line of a nursery's book: something that was done with a lot of seed.
type LotNote struct {
	Lot      string // the owner's name of it, the same for all that is done with it
	Date     civil.Date
	Species  *phenology.Species
	Stand    string // Stand.ID; "" for the place as a whole, or one that is not told
	SeedZone string // the owner's own label; "" for the stand's
	What     LotStep
	Quantity float64 // 0 for none told
	Unit     LotUnit // of Quantity
	Note     string
	Line     int // of the file
}

// LotStep is what was done with a lot.
type LotStep string

// What can be done with a lot, in the order of a seed's way.
const (
	LotTooLate    LotStep = "too-late"   // the collectors came too late: nothing was collected
	LotCollected  LotStep = "collected"  // in fruit, as it came from the tree
	LotCleaned    LotStep = "cleaned"    // made into clean seed
	LotTested     LotStep = "tested"     // germination or cut test, in percent; or moisture, in percent-water
	LotStored     LotStep = "stored"     // put in store
	LotStratified LotStep = "stratified" // a step of its treatment begun: the first, and the next at the next such line
	LotSprouting  LotStep = "sprouting"  // found with roots in the store: it has to be sown
	LotSown       LotStep = "sown"       // all that is left of it
	LotCameUp     LotStep = "came-up"    // seedlings counted
	LotDiscarded  LotStep = "discarded"  // what is left of it was thrown or given away
)

// LotSteps returns all that can be done with a lot, in the order of a seed's way.
func LotSteps() []LotStep {
	return []LotStep{LotTooLate, LotCollected, LotCleaned, LotTested, LotStored, LotStratified, LotSprouting, LotSown,
		LotCameUp, LotDiscarded}
}

// LotUnit is the unit of a lot's quantity.
type LotUnit string

// LotUnits returns all units of a lot's quantities.
func LotUnits() []LotUnit {
	return []LotUnit{"kg", "g", "l", "seeds", "seedlings", "percent", "percent-water", "bags"}
}

// CropNote is what somebody who scouted a seed crop wrote down.
type CropNote struct {
	Date    civil.Date `json:"date"`
	Stand   string     `json:"stand,omitempty"` // Stand.ID; "" for the whole place
	Species string     `json:"species"`         // Species.ID
	Crop    Crop       `json:"crop"`
	Note    string     `json:"note,omitempty"`
}

// Crop is the size of a seed crop, in the words of scouting notes.
type Crop string

// The sizes of a crop.
const (
	NoCrop     Crop = "none"
	LightCrop  Crop = "light"
	GoodCrop   Crop = "good"
	BumperCrop Crop = "bumper"
)

// Crops returns all sizes, the smallest first.
func Crops() []Crop { return []Crop{NoCrop, LightCrop, GoodCrop, BumperCrop} }

// Site returns the place's site.
func (p *Place) Site() *phenology.Site { return &p.Outlook.Site }

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
	DryingByWarmth *float64 // share, in [0, 1], of a taphole's drying that is by warmth and not by age; nil: by Collection
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

// Life returns after how many days a taphole gives half of what it gave when fresh. Six weeks by gravity and ten by vacuum
// are the middle of what is reported: four to six weeks, up to eight, by gravity; eight to twelve under vacuum with clean
// spouts (from memory).
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
	CrewLine   int              // the line of the plan that says who works here and when: sites of one line share a crew
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
	return Options{
		Tapping: TappingOptions{Collection: Gravity, Notice: 7, Reminder: 7 * 60, TapsByDiameter: CarefulTaps},
		Seed: SeedOptions{
			Sowing: civil.MonthDay{Month: 5, Day: 1}, ScoutWeeks: 6, Survive: 0.7, OneDriveKM: 30, Outings: Outings{Reminder: 7 * 60},
		},
		Twig: TwigOptions{MinDayLen: 9, Coldest: -10, Outings: Outings{Hours: Hours{9 * 60, 12 * 60}, Reminder: 7 * 60}},
		Trip: TripOptions{Trips: 2, Spacing: 7, RainWithin: 7, Outings: Outings{Hours: Hours{9 * 60, 12 * 60}, Reminder: 7 * 60}},
	}
}

// FeedDays says how a piece of work that can be done on any of many days stands in a calendar: long windows can bury a
// month's view.
type FeedDays string

// The ways of standing in a calendar.
const (
	FeedWindows  FeedDays = "windows"   // one event over all the days of the window
	FeedBestDays FeedDays = "best-days" // one event on the best day alone
	FeedBoth     FeedDays = "both"      // the window, and a second event on the best day
)
