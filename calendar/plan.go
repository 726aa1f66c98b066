package calendar

import (
	"time"

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
	State     string            // of [State], "" if it told none
	Hours     Hours             // of an appointment
	Chance    int               // that it told, in hundredths; below 0 if it told none
	Moved     *Moved            // its last move; nil if it never moved
	PartOf    civil.Span        // of one that is cancelled: the days of the event that its own are part of; else zero
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

// BestTold returns the day that is told as the best: of a spell of weather, whose events alone tell whether it has
// begun, none is.
func (m Memory) BestTold() civil.Maybe {
	if _, spell := m.Told["begun"]; spell {
		return civil.Maybe{}
	}
	return m.Best
}

// Stand is a part of a place where seed is collected: its own height, its own trees.
type Stand struct {
	ID      string // a-z 0-9 -
	Name    string
	Outlook *phenology.Outlook // of the stand's elevation and sightings; its site's id is the place's
	Species []*phenology.Species
	// days that spring comes later here than elevation alone makes it: above 0 in a frost hollow or on a slope that
	// faces the pole
	Offset   float64
	SeedZone string // the owner's own label
	Permit   string // the owner's own words, carried into entries
	Owner    string // the landowner: whom to ask
}

// Site returns the place's site.
func (p *Place) Site() *phenology.Site { return &p.Outlook.Site }

// FeedDays says how a piece of work that can be done on any of many days stands in a calendar: long windows can bury a
// month's view.
type FeedDays string

// The ways of standing in a calendar.
const (
	FeedWindows  FeedDays = "windows"   // one event over all the days of the window
	FeedBestDays FeedDays = "best-days" // one event on the best day alone
	FeedBoth     FeedDays = "both"      // the window, and a second event on the best day
)
