package main

import (
	"fmt"
	"runtime/debug"
	"slices"
	"strings"

	"treewhen/calendar"
	"treewhen/calendar/planfile"
	"treewhen/phenology"
	"treewhen/phenology/civil"
	"treewhen/phenology/problem"
	"treewhen/phenology/weather"
	"treewhen/profiles"
)

// inputs are a plan with everything that it names, read.
type inputs struct {
	plan      *planfile.Plan
	library   *profiles.Library
	asOf      civil.Date
	places    []*place
	isDemo    bool
	files     []string // every file read, for commands that must not write over one
	sightings phenology.Sightings
	crops     []crop
	joined    joinCache
	notes     []string                         // what every output says of the inputs
	remote    bool                             // some were fetched over the web
	published map[string]map[string]civil.Date // by site: the trips that its feed holds; nil if nobody asks
}

// place is a site of the plan with what was read for it.
type place struct {
	site      *planfile.Site
	species   []*phenology.Species
	records   []*weather.Record // one for each of the site's temperature files
	forecasts []*weather.Record
	sightings phenology.Sightings
	stands    []*stand
	heightOf  *float64 // metres at which a record without a height of its own was taken; nil: the site's own
}

// load reads the plan named by args, or the demonstration, and everything that it names.
func (p *program) load(args []string, o *inputOptions) (in *inputs, err error) {
	if len(args) > 1 {
		return nil, problem.Usagef("found %d plans (%s), want one", len(args), strings.Join(args, ", "))
	}
	defer func() {
		if stopped := p.context().Err(); stopped != nil {
			in, err = nil, stopped // what an interruption makes of a file is no fault of the file
		}
	}()
	in = &inputs{}
	r := &reader{p: p, cache: o.cache, records: map[recordKey]*weather.Record{}}
	if len(args) == 0 {
		in.isDemo = true
		in.plan, err = r.demo()
	} else {
		in.plan, err = r.plan(args[0])
		in.files = append(in.files, args[0])
	}
	if err != nil {
		return nil, err
	}
	if err := in.readTable(r); err != nil {
		return nil, err
	}
	if in.library, err = p.library(o.profiles); err != nil {
		return nil, err
	}
	switch {
	case o.asOf.set:
		in.asOf = o.asOf.Date
	case in.plan.AsOf != nil:
		in.asOf = *in.plan.AsOf
	default:
		in.asOf = p.today
	}
	if err := in.choose(o); err != nil {
		return nil, err
	}
	in.read(r)
	span, err := o.span(in)
	if err != nil {
		return nil, err
	}
	in.readCalendars(r, span)
	if err := r.problems.Err(); err != nil {
		return nil, err
	}
	for _, id := range in.withoutDays() {
		text := "they date nothing"
		if slices.ContainsFunc(in.places, func(pl *place) bool { return pl.site.ID == id && pl.site.Normals != nil }) {
			text = "its normals are used"
		}
		p.say("%s: no day up to %s has both temperatures in the files of this site: %s", id, in.asOf, text)
	}
	if len(in.places) > manyPlaces {
		debug.FreeOSMemory() // reading so long a plan takes more memory than all that follows
	}
	if in.isDemo {
		p.say("no plan given: this is the demonstration; its places, people and weather are invented")
	}
	return in, nil
}

// list joins names, at most so many of them.
func list(names []string, most int) string {
	if len(names) > most {
		return strings.Join(names[:most], ", ") + fmt.Sprintf(" and %d more", len(names)-most)
	}
	return strings.Join(names, ", ")
}

// manyPlaces is from how many sites on a plan is a long one.
const manyPlaces = 1000

// read reads every file that the chosen sites name. The sites' temperatures are made ready when they are asked for: see
// [inputs.outlook].
func (in *inputs) read(r *reader) {
	in.readObservations(r)
	seen := map[string]phenology.Sightings{}
	for _, s := range in.sightings {
		seen[s.Site] = append(seen[s.Site], s)
	}
	for _, pl := range in.places {
		pl.sightings = seen[pl.site.ID]
		for _, src := range pl.site.Temperatures {
			rec := r.record(in, src)
			if rec != nil {
				pl.records = append(pl.records, rec)
			}
		}
		for _, src := range pl.site.Forecast {
			if rec := r.record(in, src); rec != nil {
				pl.forecasts = append(pl.forecasts, rec)
			}
		}
		if src := pl.site.NormalsFrom; src != nil {
			pl.site.Normals = r.monthly(in, *src)
		}
	}
}

// withoutDays returns the sites whose files of temperatures hold not one whole day up to the as-of day.
func (in *inputs) withoutDays() (ids []string) {
	empty := map[*weather.Record]bool{}
	for _, pl := range in.places {
		none := len(pl.records) > 0
		for _, rec := range pl.records {
			if _, known := empty[rec]; !known {
				empty[rec] = !in.hasDays(rec)
			}
			none = none && empty[rec]
		}
		if none {
			ids = append(ids, pl.site.ID)
		}
	}
	return ids
}

// hasDays reports whether a record has a whole day up to the as-of day.
func (in *inputs) hasDays(rec *weather.Record) bool {
	return slices.ContainsFunc(rec.Series.Until(in.asOf).Days, weather.Day.Complete)
}

// calendarPlan turns the inputs into what a schedule is made from, but for the places: see [inputs.calendarPlace].
func (in *inputs) calendarPlan(span civil.Span) *calendar.Plan {
	plan := &calendar.Plan{Title: in.plan.Title, AsOf: in.asOf, Span: span, FeedID: in.feedID()}
	if in.isDemo {
		plan.Notes = append(plan.Notes, "The places, people and weather of this demonstration are invented.")
	}
	plan.Notes = append(plan.Notes, in.notes...)
	return plan
}

// calendarPlace makes a site ready to be worked out. That takes a megabyte or two of running sums, so that whoever goes over
// all sites lets each go before the next. It may be called by several goroutines.
func (in *inputs) calendarPlace(pl *place) *calendar.Place {
	place := &calendar.Place{
		Outlook: in.outlook(pl), Published: in.published[pl.site.ID], Forecasts: pl.forecastSeries(), Species: pl.species, Activities: pl.site.Activities, Options: pl.site.Options,
		Stands: in.calendarStands(pl), Crops: in.cropsAt(pl), Chosen: len(pl.site.Species)+len(pl.stands) > 0,
	}
	if slices.Contains(place.Activities, calendar.SeedCollection) {
		place.Rules = rulesAt(pl.site.Site, pl.allSpecies())
	}
	return place
}

// namedPlace is a site of which no more is wanted than who and where it is.
func (in *inputs) namedPlace(pl *place) *calendar.Place {
	return &calendar.Place{Outlook: &phenology.Outlook{Site: pl.site.Site}, Activities: pl.site.Activities, Options: pl.site.Options}
}

// feedID returns the namespace of the plan's identifiers: its own, or, where it sets none, one that all such plans share.
func (in *inputs) feedID() calendar.UUID {
	if in.plan.FeedID != nil {
		return *in.plan.FeedID
	}
	return calendar.NameUUID(calendar.UUID{}, "treewhen: a plan without a feed_id")
}

// forecastSeries returns a place's forecasts as they came, but for days whose minimum is above their maximum.
func (pl *place) forecastSeries() []weather.Series {
	var list []weather.Series
	for _, f := range pl.forecasts {
		list = append(list, weather.Merge(f.Series))
	}
	return list
}
