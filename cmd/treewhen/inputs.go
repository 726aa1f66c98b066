package main

import (
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"path/filepath"
	"slices"
	"strings"

	"github.com/spf13/pflag"

	"treewhen/calendar"
	"treewhen/calendar/planfile"
	"treewhen/cmd/treewhen/demo"
	"treewhen/phenology"
	"treewhen/phenology/civil"
	"treewhen/phenology/problem"
	"treewhen/phenology/weather"
	"treewhen/profiles"
	"treewhen/profiles/strictyaml"
)

// inputOptions are the options that say what to work on. They are the same for all commands that read a plan.
type inputOptions struct {
	asOf       optionalDate
	from, to   optionalDate
	season     int
	sites      []string
	species    []string
	activities []string
	profiles   string
	lazy       bool   // the command makes each site's outlook itself, when it comes to it
	cache      string // folder for copies of what is fetched
}

// optionalDate is a date that an option may set.
type optionalDate struct {
	civil.Date
	set bool
}

// Set, String and Type make an optionalDate an option's value.
func (d *optionalDate) Set(s string) error {
	d.set = true
	if err := d.UnmarshalText([]byte(s)); err != nil {
		return err
	}
	return planfile.CheckDay(d.Date)
}

func (d *optionalDate) String() string {
	if !d.set {
		return ""
	}
	return d.Date.String()
}

// Type names the value in help.
func (d *optionalDate) Type() string { return "DATE" }

func (o *inputOptions) addTo(fs *pflag.FlagSet) {
	fs.Var(&o.asOf, "as-of", "pretend today is this `DATE`: later rows and sightings are not looked at")
	fs.IntVar(&o.season, "season", 0, "only this growing `YEAR`")
	fs.StringArrayVar(&o.sites, "site", nil, "only the site with this `ID` (repeatable)")
	fs.StringArrayVar(&o.species, "species", nil, "only the species of this `NAME` (repeatable)")
	fs.StringVar(&o.cache, "cache", "", "a `DIR` for copies of what the plan fetches over the web, used again while unchanged there or when the other side is down")
	fs.StringVar(&o.profiles, "profiles", "", "a `DIR` of your own species, beside or over the built-in ones")
}

func (o *inputOptions) addActivity(fs *pflag.FlagSet) {
	fs.StringArrayVar(&o.activities, "activity", nil, "only the activity of this `NAME`: tapping, seed-collection,\ntwig-survey or field-trip (repeatable)")
}

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
	notes     []string // what every output says of the inputs
	remote    bool     // some were fetched over the web
}

// place is a site of the plan with what was read for it.
type place struct {
	site      *planfile.Site
	species   []*phenology.Species
	records   []*weather.Record // one for each of the site's temperature files
	forecasts []*weather.Record
	sightings phenology.Sightings
	outlook   *phenology.Outlook
	stands    []*stand
	heightOf  *float64 // metres at which a record without a height of its own was taken; nil: the site's own
}

// reader reads the files of a plan, each once: thousands of sites may share a record.
type reader struct {
	p         *program
	open      func(path string) (io.ReadCloser, error)
	name      func(path string) string
	records   map[recordKey]*weather.Record
	problems  problem.List
	stdinUsed bool
	cache     string
}

// recordKey is what makes two readings of a file the same.
type recordKey struct {
	path    string
	options weather.Options
}

// load reads the plan named by args, or the demonstration, and everything that it names.
func (p *program) load(args []string, o *inputOptions) (*inputs, error) {
	if len(args) > 1 {
		return nil, usagef("found %d plans (%s), want one", len(args), strings.Join(args, ", "))
	}
	in := &inputs{}
	r := &reader{p: p, cache: o.cache, records: map[recordKey]*weather.Record{}}
	var err error
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
		p.say("%s: no day up to %s has both temperatures in the files of this site: they date nothing", id, in.asOf)
	}
	if !o.lazy {
		in.prepare()
	}
	if in.isDemo {
		p.say("no plan given: this is the demonstration; its places, people and weather are invented")
	}
	return in, nil
}

func (r *reader) demo() (*planfile.Plan, error) {
	r.open = func(path string) (io.ReadCloser, error) { return demo.Files.Open(path) }
	r.name = func(path string) string { return path }
	f, err := r.open(demo.Plan)
	if err != nil {
		return nil, err
	}
	defer f.Close()
	return planfile.Read(f, demo.Plan)
}

// plan reads a plan file; files that it names are relative to it.
func (r *reader) plan(path string) (*planfile.Plan, error) {
	dir := "."
	if path != "-" {
		dir = filepath.Dir(path)
	}
	r.name = func(path string) string {
		if path == "-" || filepath.IsAbs(path) {
			return path
		}
		return filepath.Join(dir, path)
	}
	r.open = func(path string) (io.ReadCloser, error) {
		if path == "-" {
			if r.stdinUsed {
				return nil, errors.New("standard input can be read only once")
			}
			r.stdinUsed = true
			return io.NopCloser(r.p.stdin), nil
		}
		return os.Open(r.name(path))
	}
	var f io.ReadCloser
	var err error
	if path == "-" {
		f, err = r.open("-")
	} else {
		f, err = os.Open(path)
	}
	if err != nil {
		return nil, plain(err)
	}
	defer f.Close()
	return planfile.Read(f, path)
}

// plain rewords an error of the file system as "PATH: what", without the name of the system call.
func plain(err error) error {
	var path *fs.PathError
	if errors.As(err, &path) {
		return fmt.Errorf("%s: %w", path.Path, path.Err)
	}
	return err
}

// readTable reads the table of sites that the plan names, if it does.
func (in *inputs) readTable(r *reader) error {
	from := in.plan.SitesFrom
	if from == nil {
		return nil
	}
	f, err := r.open(from.Path)
	if err != nil {
		r.problems.Add(in.plan.File, from.Line, "sites_from", "%v", plain(err))
		return r.problems.Err()
	}
	defer f.Close()
	name := r.name(from.Path)
	in.files = append(in.files, name)
	return in.plan.AddSites(f, name)
}

// library returns the species: the built-in ones, and over them the user's own.
func (p *program) library(dir string) (*profiles.Library, error) {
	if dir == "" {
		return profiles.Builtin(), nil
	}
	if info, err := os.Stat(dir); err != nil {
		return nil, plain(err)
	} else if !info.IsDir() {
		return nil, fmt.Errorf("%s: found a file, want a folder of species profiles", dir)
	}
	return profiles.Read(os.DirFS(dir), dir)
}

// choose resolves sites, species and activities: all of the plan's, or those that the options name.
func (in *inputs) choose(o *inputOptions) error {
	var wrong problem.List
	var only []*phenology.Species
	for _, name := range o.species {
		sp, err := in.library.Find(name)
		if err != nil {
			return usagef("--species: %v", err)
		}
		only = append(only, sp)
	}
	var ids []string
	for _, s := range in.plan.Sites {
		ids = append(ids, s.ID)
	}
	for _, id := range o.sites {
		if !slices.Contains(ids, id) {
			err := usageError{text: fmt.Sprintf("--site: found %q, want one of %s", id, list(ids, 10))}
			if near := strictyaml.Nearest(id, ids); near != "" {
				err.hint = fmt.Sprintf("did you mean %s?", near)
			}
			return err
		}
	}
	for _, s := range in.plan.Sites {
		for i, name := range s.Options.Seed.Prohibited {
			sp, err := in.library.Find(name)
			if err != nil {
				wrong.Add(in.plan.File, s.Line, "prohibited", "%v", err)
				continue
			}
			s.Options.Seed.Prohibited = slices.Clone(s.Options.Seed.Prohibited)
			s.Options.Seed.Prohibited[i] = sp.ID
		}
		in.resolveSowing(s, &wrong)
		in.resolveOutings(s, &wrong)
		if len(o.sites) > 0 && !slices.Contains(o.sites, s.ID) {
			continue
		}
		pl := &place{site: s}
		for _, w := range s.Species {
			sp, err := in.library.Find(w.Text)
			if err != nil {
				wrong.Add(in.plan.File, w.Line, "species", "%v", err)
			} else if !slices.Contains(pl.species, sp) {
				pl.species = append(pl.species, sp)
			}
		}
		in.chooseStands(pl, only, &wrong)
		if len(s.Species) == 0 {
			pl.species = pl.speciesOfStands()
		}
		if len(pl.species) == 0 && len(s.Species) == 0 {
			pl.species = in.library.All()
		}
		if len(only) > 0 {
			pl.species = slices.DeleteFunc(slices.Clone(pl.species), func(sp *phenology.Species) bool { return !slices.Contains(only, sp) })
		}
		slices.SortFunc(pl.species, func(a, b *phenology.Species) int { return strings.Compare(a.ID, b.ID) })
		if len(s.Activities) == 1 && s.Activities[0] == calendar.Tapping {
			for _, w := range s.Species {
				if sp, err := in.library.Find(w.Text); err == nil && sp.Sap.Tapped == phenology.TappedNever {
					wrong.Add(in.plan.File, w.Line, "species", "%s", notTapped(sp, in.library.All()))
				}
			}
		}
		in.places = append(in.places, pl)
	}
	if err := wrong.Err(); err != nil {
		return err
	}
	for _, a := range o.activities {
		if !slices.Contains(calendar.Activities(), calendar.Activity(a)) {
			return usagef("--activity: found %q, want one of %s", a, joinActivities())
		}
	}
	if len(o.activities) == 1 && o.activities[0] == string(calendar.Tapping) {
		for _, sp := range only {
			if sp.Sap.Tapped == phenology.TappedNever {
				return usagef("--species: %s", notTapped(sp, in.library.All()))
			}
		}
	}
	if len(only) > 0 && !slices.ContainsFunc(in.places, func(pl *place) bool { return len(pl.species) > 0 }) {
		return usageError{text: fmt.Sprintf("--species: no site chosen has %s", list(o.species, 10)), hint: "add it under species: in the plan, or leave the option out"}
	}
	for _, pl := range in.places {
		if len(o.activities) > 0 {
			pl.site.Activities = slices.DeleteFunc(slices.Clone(pl.site.Activities), func(a calendar.Activity) bool {
				return !slices.Contains(o.activities, string(a))
			})
		}
	}
	return nil
}

func joinActivities() string {
	var names []string
	for _, a := range calendar.Activities() {
		names = append(names, string(a))
	}
	return strings.Join(names, ", ")
}

// list joins names, at most so many of them.
func list(names []string, most int) string {
	if len(names) > most {
		return strings.Join(names[:most], ", ") + fmt.Sprintf(" and %d more", len(names)-most)
	}
	return strings.Join(names, ", ")
}

// read reads every file that the chosen sites name. The sites' temperatures are made ready when they are asked for: see
// [inputs.prepare] and [inputs.outlook].
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
	}
}

// withoutDays returns the sites whose files of temperatures hold not one whole day up to the as-of day.
func (in *inputs) withoutDays() (ids []string) {
	empty := map[*weather.Record]bool{}
	for _, pl := range in.places {
		none := len(pl.records) > 0
		for _, rec := range pl.records {
			if _, known := empty[rec]; !known {
				s := rec.Series.Until(in.asOf)
				empty[rec] = !slices.ContainsFunc(s.Days, weather.Day.Complete)
			}
			none = none && empty[rec]
		}
		if none {
			ids = append(ids, pl.site.ID)
		}
	}
	return ids
}

// record reads a temperature file, or finds it read.
func (r *reader) record(in *inputs, src planfile.Source) *weather.Record {
	key := recordKey{src.Path.Path, src.Options}
	if rec, ok := r.records[key]; ok {
		return rec
	}
	r.records[key] = nil
	if src.Remote {
		rec := r.remote(in, src)
		r.records[key] = rec
		return rec
	}
	f, err := r.open(src.Path.Path)
	if err != nil {
		r.problems.Add(in.plan.File, src.Line, "file", "%v", plain(err))
		return nil
	}
	defer f.Close()
	name := r.name(src.Path.Path)
	rec, err := weather.Read(f, name, src.Options)
	if err != nil {
		r.add(name, err)
		return nil
	}
	in.files = append(in.files, name)
	r.records[key] = rec
	return rec
}

// remote fetches a temperature file. What is not as it should be with it is said, and noted for every output.
func (r *reader) remote(in *inputs, src planfile.Source) *weather.Record {
	in.remote = true
	name := shown(src.Path.Path)
	var rec *weather.Record
	stale, err := newFetcher(r.cache).get(r.p.context(), src.Path.Path, func(body io.Reader) (err error) {
		rec, err = weather.Read(body, name, src.Options)
		return err
	})
	var list problem.List
	switch {
	case errors.As(err, &list):
		r.add(name, err)
		return nil
	case err != nil:
		r.problems.Add(in.plan.File, src.Line, "url", "%s: %v", name, err)
		return nil
	}
	if stale != "" {
		r.p.say("%s: %s", name, stale)
		in.notes = append(in.notes, fmt.Sprintf("Temperatures are not the latest: %s: %s.", name, stale))
	}
	return rec
}

// add keeps an error's problems.
func (r *reader) add(name string, err error) {
	var list problem.List
	if errors.As(err, &list) {
		r.problems = append(r.problems, list...)
		return
	}
	r.problems.Add(name, 0, "", "%v", err)
}

// readObservations reads what was seen and matches it with the plan's sites and the library's species.
func (in *inputs) readObservations(r *reader) {
	if in.plan.Observations == nil {
		return
	}
	f, err := r.open(in.plan.Observations.Path)
	if err != nil {
		r.problems.Add(in.plan.File, in.plan.Observations.Line, "observations", "%v", plain(err))
		return
	}
	defer f.Close()
	name := r.name(in.plan.Observations.Path)
	in.files = append(in.files, name)
	list, err := planfile.ReadObservations(f, name)
	if err != nil {
		r.add(name, err)
		return
	}
	var ids []string
	for _, s := range in.plan.Sites {
		ids = append(ids, s.ID)
	}
	known := map[string]bool{}
	for _, id := range ids {
		known[id] = true
	}
	for _, o := range list {
		site, ofStand, _ := strings.Cut(o.Site, "/")
		if known[site] && ofStand != "" && !in.hasStand(site, ofStand) {
			r.problems.Add(name, o.Line, "site", "found stand %q, which the plan's site %s does not have", ofStand, site)
			continue
		}
		if !known[site] || o.Site != site && ofStand == "" {
			text := fmt.Sprintf("found site %q, which the plan does not have", o.Site)
			if near := strictyaml.Nearest(o.Site, ids); near != "" {
				text += fmt.Sprintf("; did you mean %q?", near)
			}
			r.problems.Add(name, o.Line, "site", "%s", text)
			continue
		}
		sp, err := in.library.Find(o.Species)
		if err != nil {
			r.problems.Add(name, o.Line, "species", "%v", err)
			continue
		}
		if o.Crop != "" && o.Date <= in.asOf {
			in.crops = append(in.crops, crop{site, calendar.CropNote{Date: o.Date, Stand: ofStand, Species: sp.ID, Crop: o.Crop, Note: o.Note}})
		}
		if !o.HasPhase {
			continue
		}
		in.sightings = append(in.sightings, phenology.Sighting{Date: o.Date, Site: o.Site, Species: sp.ID, Phase: o.Phase, Note: o.Note})
	}
	in.sightings = in.sightings.Until(in.asOf)
}

// calendarPlan turns the inputs into what a schedule is made from.
func (in *inputs) calendarPlan(span civil.Span) *calendar.Plan {
	plan := &calendar.Plan{Title: in.plan.Title, AsOf: in.asOf, Span: span, FeedID: in.feedID()}
	if in.isDemo {
		plan.Notes = append(plan.Notes, "The places, people and weather of this demonstration are invented.")
	}
	plan.Notes = append(plan.Notes, in.notes...)
	for _, pl := range in.places {
		plan.Places = append(plan.Places, &calendar.Place{
			Outlook: pl.outlook, Forecasts: pl.forecastSeries(), Species: pl.species, Activities: pl.site.Activities, Options: pl.site.Options,
			Stands: in.calendarStands(pl), Crops: in.cropsAt(pl), Chosen: len(pl.site.Species)+len(pl.stands) > 0,
		})
	}
	return plan
}

// feedID returns the namespace of the plan's identifiers: its own, or, where it sets none, one that all such plans share.
func (in *inputs) feedID() calendar.UUID {
	if in.plan.FeedID != nil {
		return *in.plan.FeedID
	}
	return calendar.NameUUID(calendar.UUID{}, "treewhen: a plan without a feed_id")
}

// forecastSeries returns a place's forecasts as they came.
func (pl *place) forecastSeries() []weather.Series {
	var list []weather.Series
	for _, f := range pl.forecasts {
		list = append(list, f.Series)
	}
	return list
}
