// Package supplytest is a server that answers as the weather services do, faults included, for the tests of several
// packages. Its weather is invented; its clock is the test's.
package supplytest

import (
	"fmt"
	"math"
	"net/http"
	"net/http/httptest"
	"strings"
	"sync"
	"testing"
	"time"

	"treewhen/calendar/services"
	"treewhen/phenology/civil"
)

// Fault is how a service misbehaves.
type Fault string

// What may be wrong. None answers well.
const (
	None       Fault = ""
	Down       Fault = "down"       // 503
	HangsUp    Fault = "hangs-up"   // no HTTP at all
	Empty      Fault = "empty"      // 200, and nothing in it
	Page       Fault = "page"       // 200, and a page of HTML with words of its own
	Fahrenheit Fault = "fahrenheit" // another unit, unsaid
	Jump       Fault = "jump"       // the last four days 35 degrees off
	Inward     Fault = "inward"     // a redirect to [World.Private]
	Forbidden  Fault = "forbidden"  // 403
)

// Marked stands in every page of HTML: it must be found nowhere but in the log.
const Marked = "WORDS-OF-THE-OTHER-SIDE"

// Asked is a request that came.
type Asked struct {
	At          time.Time
	Service     services.Name
	Query       string // path and query
	Agent       string
	Conditional bool
	Status      int
}

// World is the weather and the agencies that tell of it.
type World struct {
	*httptest.Server
	Now      func() time.Time
	Zone     *time.Location
	Late     int // days by which records come late
	Stations []Station
	Private  string // where [Inward] leads to

	mu     sync.Mutex
	faults map[services.Name]Fault
	asked  []Asked
}

// Station is one of the world's: it has days from First to Last.
type Station struct {
	ID                             string
	Service                        services.Name
	Latitude, Longitude, Elevation float64
	First, Last                    civil.Date
	Off                            float64 // degrees Celsius warmer than the world
	Morning                        bool    // its observer writes a maximum to the day after
}

// New starts a world that ends with the test.
func New(t testing.TB, now func() time.Time, zone *time.Location, stations ...Station) *World {
	w := &World{Now: now, Zone: zone, Late: 3, Stations: stations, faults: map[services.Name]Fault{}}
	w.Server = httptest.NewServer(w)
	t.Cleanup(w.Close)
	return w
}

// Address returns where a service answers in this world.
func (w *World) Address(name services.Name) string { return w.URL + "/" + string(name) }

// Becomes makes a service misbehave from now on.
func (w *World) Becomes(f Fault, names ...services.Name) {
	w.mu.Lock()
	defer w.mu.Unlock()
	for _, n := range names {
		w.faults[n] = f
	}
}

// Asked returns the requests since the last call.
func (w *World) Asked() []Asked {
	w.mu.Lock()
	defer w.mu.Unlock()
	list := w.asked
	w.asked = nil
	return list
}

// Day is the truth: degrees Celsius at the height of the stations.
func Day(d civil.Date) (low, high float64) {
	x := float64(d)
	season := math.Cos(2 * math.Pi * (x - float64(civil.Of(2001, 1, 20))) / 365.25)
	mean := 6.5 - 14*season + 3.5*math.Sin(1.7*x) + 2.5*math.Sin(0.37*x)
	half := 5.5 + 1.5*math.Sin(2.3*x)
	round := func(v float64) float64 { return math.Round(10*v) / 10 }
	return round(mean - half), round(mean + half)
}

// provisional is how many days a value stays provisional, and off by how much.
const (
	provisional    = 6
	provisionalOff = 0.7
)

// value is what a station has of a day today.
func (s *Station) value(d, today civil.Date) (low, high float64) {
	low, high = Day(d)
	if s.Morning {
		_, high = Day(d - 1)
	}
	if d > today-provisional {
		high += provisionalOff
	}
	return low + s.Off, high + s.Off
}

func (w *World) today() civil.Date { return civil.FromTime(w.Now().In(w.Zone)) }

// recorder remembers the status that was answered.
type recorder struct {
	http.ResponseWriter
	status int
}

// WriteHeader remembers the status.
func (r *recorder) WriteHeader(code int) {
	r.status = code
	r.ResponseWriter.WriteHeader(code)
}

// ServeHTTP answers as the service would that is named first in the path.
func (w *World) ServeHTTP(out http.ResponseWriter, r *http.Request) {
	first, rest, _ := strings.Cut(strings.TrimPrefix(r.URL.Path, "/"), "/")
	name := services.Name(first)
	w.mu.Lock()
	fault := w.faults[name]
	w.mu.Unlock()
	rec := &recorder{out, http.StatusOK}
	defer func() {
		w.mu.Lock()
		defer w.mu.Unlock()
		query := "/" + rest
		if r.URL.RawQuery != "" {
			query += "?" + r.URL.RawQuery
		}
		conditional := r.Header.Get("If-None-Match")+r.Header.Get("If-Modified-Since") != ""
		w.asked = append(w.asked, Asked{w.Now(), name, query, r.UserAgent(), conditional, rec.status})
	}()
	switch fault {
	case Down:
		rec.WriteHeader(http.StatusServiceUnavailable)
		return
	case Forbidden:
		rec.WriteHeader(http.StatusForbidden)
		return
	case HangsUp:
		rec.status = 0
		if c, _, err := out.(http.Hijacker).Hijack(); err == nil {
			c.Close()
		}
		return
	case Empty:
		return
	case Page:
		rec.Header().Set("Content-Type", "text/html")
		fmt.Fprintf(rec, "<!DOCTYPE html><html><body>%s: please log in</body></html>", Marked)
		return
	case Inward:
		http.Redirect(rec, r, w.Private, http.StatusFound)
		return
	}
	w.answer(rec, r, name, "/"+rest, fault)
}
