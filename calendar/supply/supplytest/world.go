// Package supplytest is a server that answers as the weather services do, faults included, for the tests of several
// packages. Its weather is invented; its clock is the test's.
package supplytest

import (
	"encoding/json"
	"fmt"
	"math"
	"net/http"
	"net/http/httptest"
	"strconv"
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
	mean := 6.5 - 14*math.Cos(2*math.Pi*(x-float64(civil.Of(2001, 1, 20)))/365.25) + 3.5*math.Sin(1.7*x) + 2.5*math.Sin(0.37*x)
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
		w.asked = append(w.asked, Asked{
			w.Now(), name, query, r.UserAgent(), r.Header.Get("If-None-Match")+r.Header.Get("If-Modified-Since") != "", rec.status,
		})
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

// answer answers well, but for values that a fault changes.
func (w *World) answer(out http.ResponseWriter, r *http.Request, name services.Name, path string, fault Fault) {
	if (name == services.USForecast || name == services.NorwayForecast) && !strings.ContainsAny(r.UserAgent(), "@:") {
		out.WriteHeader(http.StatusForbidden)
		return
	}
	change := func(d civil.Date, v float64) float64 {
		switch {
		case fault == Fahrenheit:
			v = v*1.8 + 32
		case fault == Jump && d > w.today()-civil.Date(w.Late)-4:
			v += 35
		}
		return v
	}
	switch {
	case name == services.NOAADaily && path == "/search/v1/data":
		w.noaaNear(out)
	case name == services.NOAADaily:
		w.noaaDays(out, r, change)
	case name == services.CanadaDaily && strings.Contains(path, "climate-stations"):
		w.canadaNear(out)
	case name == services.CanadaDaily:
		w.canadaDays(out, r, change)
	case name == services.USForecast && strings.HasPrefix(path, "/points/"):
		if !strings.Contains(path, ",-") { // east of Greenwich
			out.WriteHeader(http.StatusNotFound)
			return
		}
		answer(out, map[string]any{"properties": map[string]any{
			"forecastGridData": "https://api.weather.gov/gridpoints/BTV/103,66", "timeZone": w.Zone.String(),
		}})
	case name == services.USForecast:
		w.conditional(out, r, func() { w.nws(out, change) })
	case name == services.NorwayForecast:
		w.conditional(out, r, func() { w.norway(out, change) })
	default:
		out.WriteHeader(http.StatusNotFound)
	}
}

// conditional answers 304 as long as the forecast is the same: it is made anew every six hours, and stays good for half an
// hour.
func (w *World) conditional(out http.ResponseWriter, r *http.Request, write func()) {
	made := w.Now().UTC().Truncate(6 * time.Hour).Format(http.TimeFormat)
	out.Header().Set("Last-Modified", made)
	out.Header().Set("Date", w.Now().UTC().Format(http.TimeFormat))
	out.Header().Set("Expires", w.Now().UTC().Add(30*time.Minute).Format(http.TimeFormat))
	if r.Header.Get("If-Modified-Since") == made {
		out.WriteHeader(http.StatusNotModified)
		return
	}
	write()
}

func answer(out http.ResponseWriter, v any) {
	out.Header().Set("Content-Type", "application/json")
	_ = json.NewEncoder(out).Encode(v)
}

// last is the last day that a station has today.
func (w *World) last(s *Station) civil.Date { return min(s.Last, w.today()-civil.Date(w.Late)) }

func (w *World) noaaNear(out http.ResponseWriter) {
	type object = map[string]any
	var results []object
	for _, s := range w.Stations {
		if s.Service != services.NOAADaily || s.First > w.today() {
			continue
		}
		var types []object
		for _, id := range []string{"TMAX", "TMIN"} {
			types = append(types, object{"id": id, "coverage": 0.99, "dateRange": object{
				"start": s.First.String() + "T00:00:00", "end": w.last(&s).String() + "T23:59:59",
			}})
		}
		results = append(results, object{
			"stations":       []object{{"id": s.ID, "name": "INVENTED " + Marked, "dataTypes": types}},
			"boundingPoints": []object{{"coordinates": []float64{s.Longitude, s.Latitude}}},
		})
	}
	answer(out, object{"count": len(results), "results": results})
}

func (w *World) noaaDays(out http.ResponseWriter, r *http.Request, change func(civil.Date, float64) float64) {
	q := r.URL.Query()
	from, err1 := civil.Parse(q.Get("startDate"))
	to, err2 := civil.Parse(q.Get("endDate"))
	if err1 != nil || err2 != nil || q.Get("units") != "metric" || q.Get("dataset") != "daily-summaries" {
		out.WriteHeader(http.StatusBadRequest)
		return
	}
	out.Header().Set("Content-Type", "text/csv")
	fmt.Fprintln(out, `"STATION","DATE","LATITUDE","LONGITUDE","ELEVATION","NAME","TMAX","TMAX_ATTRIBUTES","TMIN","TMIN_ATTRIBUTES"`)
	for _, id := range strings.Split(q.Get("stations"), ",") {
		for _, s := range w.Stations {
			if s.ID != id || s.Service != services.NOAADaily {
				continue
			}
			for d := max(from, s.First); d <= min(to, w.last(&s)); d++ {
				low, high := s.value(d, w.today())
				fmt.Fprintf(out, "%q,%q,\"%g\",\"%g\",\"%g\",%q,\"%.1f\",\",,W,0700\",\"%.1f\",\",,W,0700\"\n", s.ID, d.String(),
					s.Latitude, s.Longitude, s.Elevation, "INVENTED "+Marked, change(d, high), change(d, low))
			}
		}
	}
}

func (w *World) canadaNear(out http.ResponseWriter) {
	type object = map[string]any
	features := []object{}
	for _, s := range w.Stations {
		if s.Service == services.CanadaDaily && s.First <= w.today() {
			features = append(features, object{
				"geometry": object{"coordinates": []float64{s.Longitude, s.Latitude}},
				"properties": object{
					"CLIMATE_IDENTIFIER": s.ID, "STATION_NAME": "INVENTED " + Marked, "ELEVATION": fmt.Sprint(s.Elevation),
					"DLY_FIRST_DATE": s.First.String() + " 00:00:00", "DLY_LAST_DATE": w.last(&s).String() + " 00:00:00",
				},
			})
		}
	}
	answer(out, object{"features": features, "numberMatched": len(features), "numberReturned": len(features)})
}

func (w *World) canadaDays(out http.ResponseWriter, r *http.Request, change func(civil.Date, float64) float64) {
	type object = map[string]any
	q := r.URL.Query()
	first, second, _ := strings.Cut(q.Get("datetime"), "/")
	from, err1 := civil.Parse(first)
	to, err2 := civil.Parse(second)
	limit, err3 := strconv.Atoi(q.Get("limit"))
	offset, err4 := strconv.Atoi(q.Get("offset"))
	if err1 != nil || err2 != nil || err3 != nil || err4 != nil {
		out.WriteHeader(http.StatusBadRequest)
		return
	}
	all := []object{}
	for _, s := range w.Stations {
		if s.ID != q.Get("CLIMATE_IDENTIFIER") || s.Service != services.CanadaDaily {
			continue
		}
		for d := max(from, s.First); d <= min(to, w.last(&s)); d++ {
			low, high := s.value(d, w.today())
			all = append(all, object{"geometry": object{"coordinates": []float64{s.Longitude, s.Latitude}}, "properties": object{
				"CLIMATE_IDENTIFIER": s.ID, "LOCAL_DATE": d.String() + " 00:00:00", "MIN_TEMPERATURE": change(d, low),
				"MAX_TEMPERATURE": change(d, high), "MIN_TEMPERATURE_FLAG": nil, "MAX_TEMPERATURE_FLAG": nil,
			}})
		}
	}
	part := all[min(offset, len(all)):min(offset+limit, len(all))]
	answer(out, object{"features": part, "numberMatched": len(all), "numberReturned": len(part)})
}

// stamp writes an interval of hours from an hour of a local day on, in UTC.
func (w *World) stamp(d civil.Date, hour, hours int) string {
	y, m, day := d.Date()
	return time.Date(y, m, day, hour, 0, 0, 0, w.Zone).UTC().Format("2006-01-02T15:04:05-07:00") + fmt.Sprintf("/PT%dH", hours)
}

func (w *World) nws(out http.ResponseWriter, change func(civil.Date, float64) float64) {
	type object = map[string]any
	var low, high []object
	for d := w.today(); d < w.today()+7; d++ {
		a, b := Day(d)
		low = append(low, object{"validTime": w.stamp(d-1, 19, 14), "value": change(d, a)})
		high = append(high, object{"validTime": w.stamp(d, 7, 13), "value": change(d, b)})
	}
	answer(out, object{"properties": object{
		"elevation":      object{"unitCode": "wmoUnit:m", "value": 230},
		"maxTemperature": object{"uom": "wmoUnit:degC", "values": high},
		"minTemperature": object{"uom": "wmoUnit:degC", "values": low},
	}})
}

func (w *World) norway(out http.ResponseWriter, change func(civil.Date, float64) float64) {
	type object = map[string]any
	var list []object
	start := w.Now().UTC().Truncate(time.Hour)
	for h := 0; h < 9*24; {
		at := start.Add(time.Duration(h) * time.Hour)
		local := at.In(w.Zone)
		d := civil.FromTime(local)
		low, high := Day(d)
		low, high = change(d, low), change(d, high)
		air := (low+high)/2 - (high-low)/2*math.Cos(2*math.Pi*(float64(local.Hour())-3)/24)
		list = append(list, object{"time": at.Format(time.RFC3339), "data": object{
			"instant":      object{"details": object{"air_temperature": math.Round(10*air) / 10}},
			"next_6_hours": object{"details": object{"air_temperature_max": air + 1, "air_temperature_min": air - 1}},
		}})
		if h < 60 {
			h++
		} else {
			h += 6 - at.Hour()%6
		}
	}
	answer(out, object{"geometry": object{"coordinates": []float64{-72.68, 44.47, 230}}, "properties": object{
		"meta": object{"units": object{"air_temperature": "celsius"}}, "timeseries": list,
	}})
}
