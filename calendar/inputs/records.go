package inputs

import (
	"fmt"

	"treewhen/calendar"
	"treewhen/calendar/planfile"
	"treewhen/calendar/services"
	"treewhen/phenology/parallel"
	"treewhen/phenology/problem"
	"treewhen/phenology/weather"
)

// heldDays is how many days of temperatures are held at most, of records and again of what they were joined to: those
// of 60 files of thirty years, 16 MB. Reading such a file again takes half a millisecond.
const heldDays = 700_000

// Record is a file of temperatures that sites of the plan name. It is read when the plan is, so that all that is wrong
// with any file is known before anything is worked out. Its days are then held while there is room for them, and else
// read again by whoever needs them: those of a thousand files of decades would be hundreds of megabytes.
type Record struct {
	in      *Inputs
	name    string
	station weather.Station
	held    *weather.Record                 // what can be read once only; else nil
	again   func() (*weather.Record, error) // reads it
	hasDays bool                            // a whole day up to the as-of day

	// State is how the service stands that it came from; nil for a file.
	State  *services.State
	before weather.Series // of a service's forecast: what it said, while they were to come, of days gone by
}

// Read returns what the file held. Should the file be gone or turned bad since the plan was read, that is an empty
// record, and [Inputs.Err] says so. It may be called by several goroutines.
func (r *Record) Read() *weather.Record {
	if r.held != nil {
		return r.held
	}
	return r.in.records.get(r, func() (*weather.Record, int) {
		rec, err := r.again()
		if err != nil {
			r.in.lost(err)
			rec = &weather.Record{Name: r.name}
		}
		return rec, len(rec.Series.Days)
	})
}

// lost notes that a file cannot be read any more.
func (in *Inputs) lost(err error) {
	in.lostMu.Lock()
	defer in.lostMu.Unlock()
	if in.lostErr == nil {
		in.lostErr = err
	}
}

// Err returns why a file that was read with the plan could not be read again, nil if none had to be or all could. What
// was worked out since is not to be used then.
func (in *Inputs) Err() error {
	in.lostMu.Lock()
	defer in.lostMu.Unlock()
	return in.lostErr
}

// Release puts away the days of temperatures that are held. The inputs stay good for use.
func (in *Inputs) Release() {
	in.records.clear()
	in.joined.clear()
	in.temps.clear()
}

// readAll reads the temperature files that the sites name, each once: those of this machine on all cores, those of the
// web and standard input one by one.
func (r *reader) readAll() {
	type use struct {
		src      planfile.Source
		key      recordKey
		pl       *Place // the first that names it
		forecast bool
	}
	var uses []use
	known := map[recordKey]bool{}
	for _, pl := range r.in.Places {
		for i, list := range [...][]planfile.Source{pl.Site.Temperatures, pl.Site.Forecast} {
			for _, src := range list {
				if key := r.keyAt(pl, src); !known[key] {
					known[key] = true
					uses = append(uses, use{src, key, pl, i == 1})
				}
			}
		}
	}
	type result struct {
		rec    *weather.Record
		err    error
		opened bool
		at     climateCell
		slip   string
	}
	judged := func(u use, got result) result { // while its days are at hand
		if got.rec != nil && !u.forecast { // forecasts are few days: see [reader.refuseSlips]
			got.at, got.slip = r.in.slip(u.pl, u.src, got.rec, false)
		}
		return got
	}
	done := 0
	// An error of the context is told by whoever called.
	_ = parallel.InOrder(r.ctx, len(uses), func(i int) (got result) {
		if src := uses[i].src; !once(src) {
			got.rec, got.opened, got.err = r.read(src)
			got = judged(uses[i], got)
		}
		return got
	}, func(got result) error {
		u := uses[done]
		done++
		switch {
		case u.src.Service != "":
			r.records[u.key] = r.service(u.pl, u.src)
			return nil
		case u.src.Remote:
			got.rec = r.remote(u.src, u.forecast)
			got = judged(u, got)
		default:
			if once(u.src) {
				got.rec, got.opened, got.err = r.read(u.src)
				got = judged(u, got)
			}
			if u.forecast && got.err != nil && u.src.Path.Path != "-" {
				r.without(u.src, r.flawOf(u.src, got.opened), got.err)
				return nil
			}
			r.told(u.src, got.opened, got.err)
		}
		if got.rec != nil {
			if u.forecast && len(got.rec.Series.Days) == 0 {
				r.without(u.src, calendar.Empty, fmt.Errorf("%s: found no day with a temperature",
					r.name(u.src.Path.Path)))
				return nil
			}
			rec := r.keep(u.src, got.rec)
			r.records[u.key] = rec
			if u.forecast {
				rec.held = got.rec
			} else {
				r.noteSlip(rec, got.at, got.slip)
			}
		}
		return nil
	})
}

// once reports whether a source can be read once only.
func once(src planfile.Source) bool { return src.Remote || src.Service != "" || src.Path.Path == "-" }

// keyAt tells apart what is read for a site: a service is asked for a site's own forecast.
func (r *reader) keyAt(pl *Place, src planfile.Source) recordKey {
	if src.Service == "" {
		return keyOf(src)
	}
	w := r.want(pl, src)
	return recordKey{w.Key(), src.Options}
}

func keyOf(src planfile.Source) recordKey { return recordKey{src.Path.Path, src.Options} }

// keep makes a record of what was read, and says what its user must know.
func (r *reader) keep(src planfile.Source, rec *weather.Record) *Record {
	for _, w := range rec.Warnings {
		r.say("%s", w)
	}
	kept := &Record{in: r.in, name: rec.Name, station: rec.Station, hasDays: r.in.hasDays(rec)}
	if once(src) {
		kept.held = rec
		return kept
	}
	kept.again = func() (*weather.Record, error) {
		rec, opened, err := r.read(src)
		if err != nil && !opened {
			var list problem.List
			list.Add(r.in.Plan.File, src.Line, "file", "%v", problem.OfFile(err))
			err = list
		}
		return rec, err
	}
	r.in.records.offer(kept, rec, len(rec.Series.Days))
	return kept
}

// read reads a temperature file, and tells whether it could be opened.
func (r *reader) read(src planfile.Source) (rec *weather.Record, opened bool, err error) {
	f, err := r.open(src.Path.Path)
	if err != nil {
		return nil, false, err
	}
	defer f.Close()
	rec, err = weather.Read(f, r.name(src.Path.Path), src.Options)
	return rec, true, err
}

// told notes what came of reading a file.
func (r *reader) told(src planfile.Source, opened bool, err error) {
	switch name := r.name(src.Path.Path); {
	case err == nil:
		r.note(name)
	case opened:
		r.add(name, err)
	default:
		r.problems.Add(r.in.Plan.File, src.Line, "file", "%v", problem.OfFile(err))
	}
}

// records returns the records of some sources; those that could not be read are among the problems.
func (r *reader) recordsOf(pl *Place, sources []planfile.Source) (records []*Record) {
	for _, src := range sources {
		if rec := r.records[r.keyAt(pl, src)]; rec != nil {
			records = append(records, rec)
		}
	}
	return records
}
