// Package supply answers: what do the open weather services give for this place? It asks them as seldom and as politely
// as their terms want, keeps what they gave, takes over what they revise, and goes on with the last good copy when one
// is down, slow, changed or lying.
//
// History is asked for once and kept; from then on a request reaches from [window] days before the last one kept to the
// day it is. What is kept lies in one file a source: a line of what is known of it, then its days as plain CSV.
package supply

import (
	"context"
	"fmt"
	"hash/fnv"
	"strings"
	"time"

	"treewhen/calendar/fetch"
	"treewhen/calendar/services"
	"treewhen/phenology/civil"
	"treewhen/phenology/weather"
)

// Desk asks for the sources of one plan.
type Desk struct {
	Web     *fetch.Client
	Contact string     // whom a service may turn to: an address of mail or of the web; "" for none
	Today   civil.Date // the day it is
	Offline bool       // nobody is asked

	// Log is told what was wrong, as in [fmt.Printf]. The text may hold what the other side sent.
	Log func(format string, args ...any)

	failing map[services.Name]int // how often in a row a service did not answer
}

// Want is a source that a plan names.
type Want struct {
	Service *services.Service
	Address string // in place of the service's own; "" for that
	Line    int    // of the plan
	Station string
	At      services.Point // of a forecast, or that of the site
	Zone    *time.Location
	Until   civil.Date // the as-of day: what comes later is of no use

	// Judge says why temperatures cannot be of this place, "" if they may; nil if nobody judges.
	Judge func(*weather.Record) string
}

// Got is what there is of a source: a record without a day where there is nothing.
type Got struct {
	Record *weather.Record
	Before weather.Series // what forecasts last said of days before those of the last one
	State  services.State
}

// The bounds of asking.
const (
	history    = 30                  // years before this one
	window     = 60                  // days that are asked for anew: agencies revise them
	tries      = 2                   // of one address
	mostWait   = 24 * time.Hour      // that an answer is believed to stay good
	firstRest  = 15 * time.Minute    // after a failure; doubled with each more
	mostRest   = 6 * time.Hour       // after many, or where asking again does not help
	staleSpot  = 30 * 24 * time.Hour // after which it is asked anew where a point's forecast is
	silentRest = 7 * 24 * time.Hour
	giveUp     = 2 // failures in a row of a service, after which a run asks it no more
	mostPages  = 20
)

// source is a source at work.
type source struct {
	*Desk
	Want
	held
	copy   *fetch.Copy
	series weather.Series
}

// Get returns what there is of a source, after asking for it where that is due.
func (d *Desk) Get(ctx context.Context, w Want) Got {
	if d.failing == nil {
		d.failing = map[services.Name]int{}
	}
	s := d.open(w)
	fault := s.renew(ctx)
	got := Got{State: services.State{
		Service: w.Service.Name, Line: w.Line, Station: w.Station, Fault: fault,
		Confirmed: s.copy.Confirmed, Due: s.Due,
		Revised: s.Revised, RevisedOn: s.RevisedOn, LeftOut: s.LeftOut,
	}}
	if w.Service.Forecasts != nil {
		got.State.Point = w.At.String()
		// Of the past, one that was made later knows more than was known on the as-of day.
		if w.Until < d.Today && civil.FromTime(s.copy.Confirmed.In(w.Zone)) > w.Until {
			s.series = weather.Series{}
		}
		got.Before, s.series = s.series.Until(s.From-1), since(s.series, s.From)
	}
	got.Record = s.record()
	for i, day := range s.series.Days {
		if day.Complete() {
			got.State.Last = civil.Some(s.series.First + civil.Date(i))
		}
	}
	return got
}

// record returns what is held as a record of a file would be.
func (s *source) record() *weather.Record {
	name := "station " + s.Want.Station
	if s.Service.Forecasts != nil {
		name = "forecast for " + s.At.String()
	}
	return &weather.Record{
		Name: name, Format: weather.Format(s.Service.Name), Unit: weather.Celsius, Station: s.held.Station,
		Series: s.series,
	}
}

// Key tells sources apart: those with the same key are asked for in the same words.
func (w *Want) Key() string {
	parts := []string{"service", string(w.Service.Name), w.address(), w.Station}
	if w.Service.Forecasts != nil {
		parts = append(parts, w.Service.Forecasts.First(w.At), w.Zone.String())
	}
	return strings.Join(parts, " ")
}

func (w *Want) address() string {
	if w.Address != "" {
		return strings.TrimSuffix(w.Address, "/")
	}
	return w.Service.Address
}

// due reports whether a source may be asked, and is of more use then.
func (s *source) due() bool {
	now := s.Web.Now()
	if s.Until < s.Today { // of the past, which does not change but for revisions
		if s.Service.Forecasts != nil || len(s.series.Days) > 0 && s.series.Last() >= s.Until {
			return false
		}
	}
	return !now.Before(s.Due) || s.Reader != s.Service.Reader && s.Failures == 0
}

// renew asks for a source where that is due, and keeps what came.
func (s *source) renew(ctx context.Context) services.Fault {
	switch {
	case s.Service.Contact && s.Contact == "":
		return services.NoContact
	case !s.due():
		return s.Fault
	case s.Offline:
		return services.Offline
	case s.failing[s.Service.Name] >= giveUp:
		return services.Down
	}
	var err error
	if s.Service.Records != nil {
		err = s.renewRecord(ctx)
	} else {
		err = s.renewForecast(ctx)
	}
	if ctx.Err() != nil {
		return services.Down
	}
	now := s.Web.Now()
	if err == nil {
		s.failing[s.Service.Name] = 0
		s.Fault, s.Failures = services.NoFault, 0
		s.copy.Confirmed = now
		return s.keep()
	}
	s.Fault = FaultOf(err)
	s.Log("%s: %v", s.what(), err)
	s.Failures++
	rest := min(firstRest<<min(s.Failures-1, 8), mostRest)
	switch s.Fault {
	case services.Down:
		s.failing[s.Service.Name]++
	case services.Refused, services.Astray, services.Nothing:
		rest = mostRest
	}
	s.Due = now.Add(max(rest, fetch.Pause(err)) + s.spread(rest/4))
	if s.copy.Confirmed.IsZero() && s.Fault == services.Down {
		s.Due = now // nothing is there yet, and somebody waits
	}
	s.keep()
	return s.Fault
}

// what names a source in the log.
func (s *source) what() string {
	if s.Want.Station != "" {
		return fmt.Sprintf("%s, station %s", s.Service.Name, s.Want.Station)
	}
	return fmt.Sprintf("%s at %s", s.Service.Name, s.At)
}

// spread returns a part of a span of time, always the same for a source, so that not all that were asked for together
// are asked for together again.
func (s *source) spread(over time.Duration) time.Duration {
	h := fnv.New64a()
	h.Write([]byte(s.Key() + s.Contact))
	if over <= 0 {
		return 0
	}
	return time.Duration(h.Sum64() % uint64(over))
}

// rests sets when to ask again, after a good answer.
func (s *source) rests(answer *fetch.Answer) {
	now := s.Web.Now()
	s.Due = now.Add(s.Service.Every)
	if answer.Expires.After(s.Due) {
		s.Due = now.Add(min(answer.Expires.Sub(now), mostWait))
	}
	if len(s.series.Days) > 0 && s.series.Last() < s.Today-services.Fresh {
		s.Due = now.Add(silentRest) // a station that has fallen silent
	}
	s.Due = s.Due.Add(s.spread(s.Service.Every / 4))
}

// ask asks for a path of the service.
func (s *source) ask(ctx context.Context, path string, validate bool) (*fetch.Answer, error) {
	r := fetch.Request{
		Address: s.address() + path, Agent: s.Agent(), Accept: s.Service.Accept, Tries: tries, Pace: s.Service.Pace,
	}
	if validate && s.held.Address == r.Address {
		r.ETag, r.LastModified = s.copy.ETag, s.copy.LastModified
	}
	return s.Web.Ask(ctx, r)
}

// Agent is how the program names itself, and whom to turn to.
func (d *Desk) Agent() string {
	if d.Contact == "" {
		return "treewhen"
	}
	return "treewhen (" + d.Contact + ")"
}

// Asks returns the addresses that [Desk.Get] would ask if it were due, the first ones of several.
func (d *Desk) Asks(w Want) []string {
	s := d.open(w)
	path := func(p string) string { return s.address() + p }
	f := w.Service.Forecasts
	switch {
	case f == nil:
		return []string{path(w.Service.Records.Days(w.Station, s.span(), 0))}
	case f.Where == nil:
		return []string{path(f.Path(w.At))}
	case s.Path == "":
		return []string{path(f.Where(w.At)), path("/…")}
	}
	return []string{path(f.Where(w.At)), path(s.Path)}
}

// withValues counts the days of a series with both temperatures.
func withValues(s weather.Series) (n int) {
	for _, d := range s.Days {
		if d.Complete() {
			n++
		}
	}
	return n
}
