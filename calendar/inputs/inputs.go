// Package inputs answers: what is there to work from? It reads a plan and everything that the plan names, for commands
// and for the server alike, matches sites, species, stands and sightings with each other, and makes one series of a
// site's temperatures. It decides nothing and words nothing but what is wrong with an input.
package inputs

import (
	"context"
	"runtime/debug"
	"slices"
	"sync"
	"time"

	"treewhen/calendar"
	"treewhen/calendar/planfile"
	"treewhen/calendar/services"
	"treewhen/phenology"
	"treewhen/phenology/civil"
	"treewhen/phenology/weather"
	"treewhen/profiles"
)

// Inputs are a plan with everything that it names, read. They may be used by several goroutines.
type Inputs struct {
	Plan      *planfile.Plan
	Library   *profiles.Library
	AsOf      civil.Date
	Places    []*Place  // the sites that are wanted, in the plan's order
	Demo      bool      // all is invented
	Files     []string  // of the machine that were read, for commands that must not write over one
	Patterns  []Pattern // for names of such files; another that fits makes other inputs
	Awaited   []string  // forecasts of the machine that could not be read; once they can, that makes other inputs
	Sightings phenology.Sightings
	Undated   int      // rows of what was seen that tell no date: the phase came before, not yet, or nobody looked
	Notes     []string // what every output says of the inputs
	Remote    bool     // some were fetched over the web
	Lags      []Lag    // of those and of services, the ones for which an old copy stands in

	Services  []services.State // of the plan's weather services, in the order in which it names them first
	Asks      []Ask            // what they would be asked, where nobody was
	Agent     string           // by what name
	Addresses []string         // of the plan's own, that are fetched
	Due       time.Time        // when the first of them may be asked again; zero where there are none

	// Memory is, by site, what its feed tells of its events; nil if nobody asks.
	Memory map[string]map[string]calendar.Memory

	only    []*phenology.Species           // that are wanted; none: all
	crops   map[string][]calendar.CropNote // by site
	lots    []lotNote
	book    map[string][]calendar.Gathered // by site
	records shelf[*Record, *weather.Record]
	joined  shelf[string, *phenology.JoinedStations]
	temps   shelf[string, *phenology.Temperatures]
	uses    map[uint64]int // how many sites and stands have the same temperatures, by a digest of what they are made of

	lostMu  sync.Mutex
	lostErr error
}

// Lag is a file that could not be fetched anew, so that its last good copy is used.
type Lag struct {
	Line  int       // of the plan, that names it
	Since time.Time // when the other side last said that the copy is what it has
	// Why is what was wrong. It may hold what the other side sent, so that it is for the owner's eyes alone.
	Why string
}

// Place is a site of the plan with what was read for it.
type Place struct {
	Site      *planfile.Site
	Species   []*phenology.Species
	Records   []*Record // one for each of the site's temperature files
	Forecasts []*Record // one for each of its forecasts; those that could not be read are in LeftOut instead
	LeftOut   []LeftOut
	Sightings phenology.Sightings
	Stands    []*Stand

	usualHeight *float64 // metres at which a record without a height of its own was taken; nil: the site's own
}

// Read reads a plan and everything that it names. An error is of type [problem.List] where files are wrong, with all
// that is wrong with them, of type [problem.Usage] where the options are, else of the file system; it is that of ctx
// once ctx ends.
func Read(ctx context.Context, o *Options) (in *Inputs, err error) {
	defer func() {
		if stopped := ctx.Err(); stopped != nil {
			in, err = nil, stopped // what an interruption makes of a file is no fault of the file
		}
	}()
	in = &Inputs{Demo: o.Demo != nil}
	in.records.room, in.joined.room, in.temps.room = heldDays, heldDays, heldDays
	r := newReader(ctx, o, in)
	if in.Plan, err = r.plan(); err != nil {
		return nil, err
	}
	if err := r.readTable(); err != nil {
		return nil, err
	}
	if err := r.readAlerts(); err != nil {
		return nil, err
	}
	if in.Library, err = Library(o.Profiles); err != nil {
		return nil, err
	}
	switch {
	case o.AsOf != nil:
		in.AsOf = *o.AsOf
	case in.Plan.AsOf != nil:
		in.AsOf = *in.Plan.AsOf
	default:
		in.AsOf = o.Today
	}
	if err := in.choose(o); err != nil {
		return nil, err
	}
	r.readSites()
	r.refuseSlips()
	span, err := o.Days(in)
	if err != nil {
		return nil, err
	}
	r.tellServices()
	r.readCalendars(span)
	if err := r.problems.Err(); err != nil {
		return nil, err
	}
	in.countUses()
	for _, pl := range in.withoutDays() {
		text := "they date nothing"
		if pl.Site.Normals != nil {
			text = "its normals are used"
		} else if _, ok := pl.OnClimate(); ok {
			text = "the climate of the place, which is built in, is used"
		}
		o.say("%s: no day up to %s has both temperatures in the files of this site: %s", pl.Site.ID, in.AsOf, text)
	}
	for _, d := range in.DoubtfulSightings() {
		if d.LeftOut {
			o.say("%s", d)
		}
	}
	if len(in.Places) > manyPlaces {
		debug.FreeOSMemory() // reading so long a plan takes more memory than all that follows
	}
	if in.Demo {
		o.say("no plan given: this is the demonstration; its places, people and weather are invented")
	}
	return in, nil
}

// manyPlaces is from how many sites on a plan is a long one.
const manyPlaces = 1000

// withoutDays returns the sites whose files of temperatures hold not one whole day up to the as-of day.
func (in *Inputs) withoutDays() (list []*Place) {
	for _, pl := range in.Places {
		if len(pl.Records) > 0 && !pl.measured() {
			list = append(list, pl)
		}
	}
	return list
}

// hasDays reports whether a record has a whole day up to the as-of day.
func (in *Inputs) hasDays(rec *weather.Record) bool {
	return slices.ContainsFunc(rec.Series.Until(in.AsOf).Days, weather.Day.Complete)
}

// Schedule returns what a schedule of some days is made from, but for the places: see [Inputs.Ready].
func (in *Inputs) Schedule(days civil.Span) *calendar.Plan {
	plan := &calendar.Plan{Title: in.Plan.Title, AsOf: in.AsOf, Span: days, FeedID: in.FeedID(), Speech: in.Plan.Speech}
	if in.Demo {
		plan.Notes = append(plan.Notes, "The places, people and weather of this demonstration are invented.")
	}
	plan.Notes = append(plan.Notes, in.Notes...)
	plan.Credit = in.Attributions()
	return plan
}

// FeedID returns the namespace of the plan's identifiers: its own, or, where it sets none, one that all such plans
// share.
func (in *Inputs) FeedID() calendar.UUID {
	if in.Plan.FeedID != nil {
		return *in.Plan.FeedID
	}
	return calendar.NameUUID(calendar.UUID{}, "treewhen: a plan without a feed_id")
}
