package supplytest

import (
	"encoding/json"
	"fmt"
	"math"
	"net/http"
	"strconv"
	"strings"
	"time"

	"treewhen/calendar/services"
	"treewhen/phenology/civil"
)

// object is one of JSON.
type object = map[string]any

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
		answer(out, object{"properties": object{
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

// conditional answers 304 as long as the forecast is the same: it is made anew every six hours, and stays good for half
// an hour.
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
	fmt.Fprintln(out, `"STATION","DATE","LATITUDE","LONGITUDE","ELEVATION","NAME",`+
		`"TMAX","TMAX_ATTRIBUTES","TMIN","TMIN_ATTRIBUTES"`)
	for _, id := range strings.Split(q.Get("stations"), ",") {
		for _, s := range w.Stations {
			if s.ID != id || s.Service != services.NOAADaily {
				continue
			}
			for d := max(from, s.First); d <= min(to, w.last(&s)); d++ {
				low, high := s.value(d, w.today())
				fmt.Fprintf(out, `"%s","%s","%g","%g","%g","%s","%.1f",",,W,0700","%.1f",",,W,0700"`+"\n", s.ID, d,
					s.Latitude, s.Longitude, s.Elevation, "INVENTED "+Marked, change(d, high), change(d, low))
			}
		}
	}
}

func (w *World) canadaNear(out http.ResponseWriter) {
	features := []object{}
	for _, s := range w.Stations {
		if s.Service == services.CanadaDaily && s.First <= w.today() {
			features = append(features, object{
				"geometry": object{"coordinates": []float64{s.Longitude, s.Latitude}},
				"properties": object{
					"CLIMATE_IDENTIFIER": s.ID, "STATION_NAME": "INVENTED " + Marked,
					"ELEVATION":      fmt.Sprint(s.Elevation),
					"DLY_FIRST_DATE": s.First.String() + " 00:00:00",
					"DLY_LAST_DATE":  w.last(&s).String() + " 00:00:00",
				},
			})
		}
	}
	answer(out, object{"features": features, "numberMatched": len(features), "numberReturned": len(features)})
}

func (w *World) canadaDays(out http.ResponseWriter, r *http.Request, change func(civil.Date, float64) float64) {
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
			all = append(all, object{
				"geometry": object{"coordinates": []float64{s.Longitude, s.Latitude}},
				"properties": object{
					"CLIMATE_IDENTIFIER": s.ID, "LOCAL_DATE": d.String() + " 00:00:00",
					"MIN_TEMPERATURE": change(d, low), "MIN_TEMPERATURE_FLAG": nil,
					"MAX_TEMPERATURE": change(d, high), "MAX_TEMPERATURE_FLAG": nil,
				},
			})
		}
	}
	part := all[min(offset, len(all)):min(offset+limit, len(all))]
	answer(out, object{"features": part, "numberMatched": len(all), "numberReturned": len(part)})
}

// stamp writes an interval of hours from an hour of a local day on, in UTC.
func (w *World) stamp(d civil.Date, hour, hours int) string {
	y, m, day := d.Date()
	from := time.Date(y, m, day, hour, 0, 0, 0, w.Zone).UTC()
	return from.Format("2006-01-02T15:04:05-07:00") + fmt.Sprintf("/PT%dH", hours)
}

func (w *World) nws(out http.ResponseWriter, change func(civil.Date, float64) float64) {
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
