package inputs

import (
	"context"
	"errors"
	"fmt"
	"io"
	"os"
	"path/filepath"

	"treewhen/calendar"
	"treewhen/calendar/fetch"
	"treewhen/calendar/planfile"
	"treewhen/calendar/regular"
	"treewhen/calendar/supply"
	"treewhen/calendar/words"
	"treewhen/phenology"
	"treewhen/phenology/problem"
	"treewhen/phenology/weather"
	"treewhen/profiles"
)

// reader reads the files of a plan, each once: thousands of sites may share a record.
type reader struct {
	*Options
	ctx       context.Context
	in        *Inputs
	records   map[recordKey]*Record
	normals   map[recordKey]*weather.Normals
	judged    map[recordAt]bool     // by the climate of their place
	leftOut   map[recordKey]LeftOut // forecasts
	problems  problem.List
	stdinUsed bool
	desk      *supply.Desk // of the weather services
}

// recordKey is what makes two readings of a file the same.
type recordKey struct {
	path    string
	options weather.Options
}

func newReader(ctx context.Context, o *Options, in *Inputs) *reader {
	return &reader{
		Options: o, ctx: ctx, in: in, records: map[recordKey]*Record{}, normals: map[recordKey]*weather.Normals{},
		judged: map[recordAt]bool{}, leftOut: map[recordKey]LeftOut{}, desk: newDesk(o),
	}
}

// name returns a path in the plan as the user sees it: relative to the folder that the program runs in.
func (r *reader) name(path string) string {
	if r.Demo != nil || r.Plan == "-" || path == "-" || filepath.IsAbs(path) {
		return path
	}
	return filepath.Join(filepath.Dir(r.Plan), path)
}

// open opens a file that the plan names.
func (r *reader) open(path string) (io.ReadCloser, error) {
	switch {
	case r.Demo != nil:
		return r.Demo.Open(path)
	case path == "-":
		return r.standardInput()
	}
	return r.openFile(r.name(path))
}

func (r *reader) openFile(path string) (io.ReadCloser, error) {
	f, err := regular.Open(path)
	if err != nil {
		return nil, err
	}
	return interruptible{r.ctx, f}, nil
}

func (r *reader) standardInput() (io.ReadCloser, error) {
	switch {
	case r.Stdin == nil:
		return nil, errors.New(
			"found standard input, which can be read only once where everything is read again and again; want a file",
		)
	case r.stdinUsed:
		return nil, errors.New("standard input can be read only once")
	}
	r.stdinUsed = true
	return io.NopCloser(awaited{r.ctx, r.Stdin}), nil
}

// plan reads the plan file.
func (r *reader) plan() (*planfile.Plan, error) {
	open := r.openFile
	if r.Demo != nil || r.Plan == "-" {
		open = r.open
	}
	f, err := open(r.Plan)
	if err != nil {
		return nil, problem.OfFile(err)
	}
	defer f.Close()
	r.note(r.Plan)
	return planfile.Read(f, r.Plan)
}

// note keeps the name of a file that is read.
func (r *reader) note(name string) {
	if r.Demo == nil {
		r.in.Files = append(r.in.Files, name)
	}
}

// readTable reads the table of sites that the plan names, if it does.
func (r *reader) readTable() error {
	from := r.in.Plan.SitesFrom
	if from == nil {
		return nil
	}
	f, name := r.named(*from, "sites_from")
	if f == nil {
		return r.problems.Err()
	}
	defer f.Close()
	r.note(name)
	return r.in.Plan.AddSites(f, name)
}

// readAlerts holds the plan's alerts to its sites, and names the files of their passwords as this machine does. What is
// in these only who sends alerts reads.
func (r *reader) readAlerts() error {
	if r.in.Plan.Alerts == nil {
		return nil
	}
	for _, s := range r.in.Plan.Alerts.Secrets() {
		if s.File != "" {
			s.File = r.name(s.File)
			r.note(s.File)
		}
	}
	return r.in.Plan.CheckAlerts()
}

// Library returns the species: the built-in ones, and over them the user's own of a folder, "" for none. Errors are of
// the file system, or a [problem.List] of what is wrong with which profile.
func Library(folder string) (*profiles.Library, error) {
	if folder == "" {
		return profiles.Builtin(), nil
	}
	if info, err := os.Stat(folder); err != nil {
		return nil, problem.OfFile(err)
	} else if !info.IsDir() {
		return nil, fmt.Errorf("%s: found a file, want a folder of species profiles", folder)
	}
	return profiles.Read(regular.Folder(folder), folder)
}

// readSites reads every file that the chosen sites name, but for calendars. The sites' temperatures are made ready when
// they are asked for: see [Inputs.Outlook].
func (r *reader) readSites() {
	r.readObservations()
	r.readLots()
	r.readBook()
	seen := map[string]phenology.Sightings{}
	for _, s := range r.in.Sightings {
		seen[s.Site] = append(seen[s.Site], s)
	}
	r.fitPatterns()
	r.prepareServices()
	r.readAll()
	for _, pl := range r.in.Places {
		pl.Sightings = seen[pl.Site.ID]
		pl.Records = r.recordsOf(pl, pl.Site.Temperatures)
		r.forecastsOf(pl)
		if src := pl.Site.NormalsFrom; src != nil {
			pl.Site.Normals = r.monthly(*src)
		}
	}
}

// monthly reads a file of monthly normals, or finds it read.
func (r *reader) monthly(src planfile.Source) *weather.Normals {
	key := keyOf(src)
	n, known := r.normals[key]
	if !known {
		n = readFile(r, src, weather.ReadNormals)
		r.normals[key] = n
	}
	if n == nil || src.Elevation == nil {
		return n
	}
	moved := *n
	moved.Station.Elevation = src.Elevation
	return &moved
}

// readFile reads a file that a source names; nil if that cannot be done, which is noted.
func readFile[T any](r *reader, src planfile.Source, read func(io.Reader, string, weather.Options) (*T, error)) *T {
	f, name := r.named(src.Path, "file")
	if f == nil {
		return nil
	}
	defer f.Close()
	got, err := read(f, name, src.Options)
	if err != nil {
		r.add(name, err)
		return nil
	}
	r.note(name)
	return got
}

// addresses returns the addresses that the plan names.
func (r *reader) addresses() (list []string) {
	for _, s := range r.in.Plan.Sites {
		for _, sources := range [][]planfile.Source{s.Temperatures, s.Forecast} {
			for _, src := range sources {
				if src.Address != "" {
					list = append(list, src.Address)
				}
				// sites of a table share theirs
				if src.Remote && (len(list) == 0 || list[len(list)-1] != src.Path.Path) {
					list = append(list, src.Path.Path)
				}
			}
		}
	}
	return list
}

// remote fetches a temperature file. What is not as it should be with it is said, and noted for every output.
func (r *reader) remote(src planfile.Source, forecast bool) *weather.Record {
	r.in.Remote = true
	r.in.Addresses = append(r.in.Addresses, src.Path.Path)
	name := fetch.Shown(src.Path.Path)
	if r.Offline {
		return &weather.Record{Name: name}
	}
	var rec *weather.Record
	web := fetch.New(r.Cache, r.addresses()...)
	stale, since, err := web.Get(r.ctx, src.Path.Path, func(body io.Reader) (err error) {
		rec, err = weather.Read(body, name, src.Options)
		return err
	})
	var list problem.List
	switch {
	case err != nil && forecast:
		r.without(src, calendar.Missing, fmt.Errorf("%s: %w", name, err))
		return nil
	case errors.As(err, &list):
		r.add(name, err)
		return nil
	case err != nil:
		r.problems.Add(r.in.Plan.File, src.Line, "url", "%s: %v", name, err)
		return nil
	}
	if stale != "" {
		why := name + ": " + stale
		r.say("%s", why)
		r.in.Lags = append(r.in.Lags, Lag{src.Line, since, why})
		// What others read holds no byte that the other side chose: it could be anybody's.
		r.in.Notes = append(r.in.Notes, words.OldSource(src.Line, since, fetch.CopyTime, r.in.Plan.Speech))
	}
	return rec
}

// add keeps an error's problems.
func (r *reader) add(name string, err error) {
	if list, is := errors.AsType[problem.List](err); is {
		r.problems = append(r.problems, list...)
		return
	}
	r.problems.Add(name, 0, "", "%v", err)
}
