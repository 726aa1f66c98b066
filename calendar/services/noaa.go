package services

import (
	"bytes"
	"encoding/csv"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"math"
	"net/url"
	"regexp"
	"strconv"
	"strings"
	"time"

	"treewhen/phenology/civil"
	"treewhen/phenology/weather"
)

// noaaDaily is the Access Data Service of NOAA's National Centers for Environmental Information: daily records of
// stations (GHCN-Daily), most of North America's and many of the world's, two or three days late. No key, no
// restrictions; pace and frequency are our own.
var noaaDaily = &Service{
	Name: NOAADaily, Address: "https://www.ncei.noaa.gov/access/services",
	Agency: "NOAA National Centers for Environmental Information",
	Attribution: "Daily temperatures are from NOAA National Centers for Environmental Information, Global Historical " +
		"Climatology Network daily (GHCN-Daily).",
	Terms:  "US government data, without restrictions",
	Accept: "text/csv, application/json, */*;q=0.1",
	Pace:   time.Second, Every: 6 * time.Hour, Patience: 3 * 24 * time.Hour, Reader: 1,
	Records: &Records{
		Identifier: noaaStation, Example: "USW00014742",
		Days: noaaDays, ReadDays: readNOAADays, Near: noaaNear, ReadNear: readNOAANear,
		Heights: func(stations []string, span civil.Span) string {
			return noaaDays(strings.Join(stations, ","), span, 0)
		},
		ReadHeights: readNOAAHeights,
	},
}

var noaaStation = regexp.MustCompile(`^[A-Z]{2}[A-Z0-9_-]{9}$`)

// noaaDays asks for degrees Celsius and for quality flags, by which values that failed a check are left out.
func noaaDays(station string, span civil.Span, _ int) string {
	return "/data/v1?" + query(
		"dataset", "daily-summaries", "stations", station,
		"startDate", span.First.String(), "endDate", span.Last.String(), "dataTypes", "TMAX,TMIN", "units", "metric",
		"format", "csv", "includeAttributes", "true", "includeStationName", "true", "includeStationLocation", "1",
	)
}

// query writes parameters in their order; commas stay, as the services' own examples have them.
func query(pairs ...string) string {
	var parts []string
	for i := 0; i < len(pairs); i += 2 {
		parts = append(parts, pairs[i]+"="+strings.ReplaceAll(url.QueryEscape(pairs[i+1]), "%2C", ","))
	}
	return strings.Join(parts, "&")
}

// readNOAADays reads the CSV of one station. Whole degrees, tenths and the flags are told apart by package weather.
func readNOAADays(body []byte, station string) (Days, error) {
	header, rows, _ := bytes.Cut(bytes.TrimSpace(body), []byte("\n"))
	if len(bytes.TrimSpace(rows)) == 0 && (len(header) == 0 || bytes.Contains(header, []byte("STATION"))) {
		return Days{}, nil // it has no day of these: the service sends the header alone, or nothing
	}
	if !bytes.Contains(header, []byte("TMAX")) || !bytes.Contains(header, []byte("TMIN")) {
		if bytes.Contains(header, []byte("STATION")) && bytes.Contains(header, []byte("DATE")) {
			return Days{}, nil // a station without thermometers
		}
		return Days{}, errors.New("found no table with STATION, DATE, TMAX and TMIN")
	}
	rec, err := weather.Read(bytes.NewReader(body), "answer", weather.Options{
		Format: weather.FormatGHCNCSV, Unit: weather.Celsius, Station: station,
	})
	if err != nil {
		return Days{}, err
	}
	if rec.Station.ID != "" && !strings.EqualFold(rec.Station.ID, station) {
		return Days{}, fmt.Errorf("found station %q, want %q", rec.Station.ID, station)
	}
	return Days{Series: rec.Series, Station: rec.Station, Rows: len(rec.Series.Days)}, nil
}

// noaaNear asks for the stations in a box: north, west, south, east.
func noaaNear(at Point, within float64, span civil.Span, offset int) string {
	b := boxAround(at, within)
	return "/search/v1/data?" + query(
		"dataset", "daily-summaries", "bbox", fmt.Sprintf("%.2f,%.2f,%.2f,%.2f", b.north, b.west, b.south, b.east),
		"dataTypes", "TMAX,TMIN", "startDate", span.First.String(), "endDate", span.Last.String(),
		"limit", "60", "offset", strconv.Itoa(offset),
	)
}

// box is an area in degrees.
type box struct{ north, west, south, east float64 }

// boxAround returns a box that holds all that is within so many kilometres of a point.
func boxAround(at Point, within float64) box {
	const kilometresADegree = 111.2
	up := within / kilometresADegree
	side := up / max(0.1, math.Cos(at.Latitude*math.Pi/180))
	return box{
		min(at.Latitude+up, 90), max(at.Longitude-side, -180), max(at.Latitude-up, -90), min(at.Longitude+side, 180),
	}
}

// readNOAANear reads a search's answer. Its fields' exact letters are from memory but for those of testdata, so that
// what is missing is done without, but for the station's identifier, its coordinates and its days.
func readNOAANear(body []byte) (Stations, error) {
	var answer struct {
		Count   *int `json:"count"`
		Results []struct {
			Stations []struct {
				ID        string         `json:"id"`
				Name      string         `json:"name"`
				Elevation *number        `json:"elevation"`
				DataTypes []noaaDataType `json:"dataTypes"`
			} `json:"stations"`
			BoundingPoints []struct {
				Coordinates []number `json:"coordinates"`
			} `json:"boundingPoints"`
		} `json:"results"`
	}
	if err := readJSON(body, &answer); err != nil {
		return Stations{}, err
	}
	if answer.Count == nil && answer.Results == nil {
		return Stations{}, errors.New("found neither count nor results")
	}
	list := Stations{Rows: len(answer.Results)}
	if answer.Count != nil {
		list.More = *answer.Count
	}
	for _, r := range answer.Results {
		if len(r.BoundingPoints) == 0 || len(r.BoundingPoints[0].Coordinates) < 2 {
			continue
		}
		at := r.BoundingPoints[0].Coordinates
		for _, s := range r.Stations {
			st := Station{
				ID: strings.TrimPrefix(s.ID, "GHCND:"), Name: s.Name,
				Longitude: float64(at[0]), Latitude: float64(at[1]),
				Elevation: s.Elevation.known(), Fullness: math.NaN(),
			}
			if st.covers(s.DataTypes) && st.sound(noaaStation) {
				list.List = append(list.List, st)
			}
		}
	}
	return list, nil
}

// noaaDataType is what a station has of one kind of value.
type noaaDataType struct {
	ID        string  `json:"id"`
	Coverage  *number `json:"coverage"`
	DateRange struct {
		Start string `json:"start"`
		End   string `json:"end"`
	} `json:"dateRange"`
}

// covers sets from when to when a station has maxima and minima, and how full the less full of the two is; false where
// it has not both.
func (s *Station) covers(types []noaaDataType) bool {
	both := map[string]bool{}
	for _, t := range types {
		if t.ID != "TMAX" && t.ID != "TMIN" {
			continue
		}
		first, ok1 := startOfDay(t.DateRange.Start)
		last, ok2 := startOfDay(t.DateRange.End)
		if !ok1 || !ok2 {
			continue
		}
		if len(both) == 0 {
			s.First, s.Last = first, last
		}
		both[t.ID] = true
		s.First, s.Last = max(s.First, first), min(s.Last, last)
		if c := t.Coverage.known(); c != nil && !(s.Fullness < *c) {
			s.Fullness = *c
		}
	}
	return len(both) == 2
}

// readNOAAHeights reads where the stations of an answer of days are.
func readNOAAHeights(body []byte) (map[string]weather.Station, error) {
	r := csv.NewReader(bytes.NewReader(body))
	r.FieldsPerRecord = -1
	header, err := r.Read()
	if err != nil {
		return nil, fmt.Errorf("found no table: %w", err)
	}
	at := map[string]int{}
	for i, name := range header {
		at[name] = i
	}
	found := map[string]weather.Station{}
	for {
		row, err := r.Read()
		if err == io.EOF {
			return found, nil
		}
		if err != nil {
			return nil, fmt.Errorf("found a broken table: %w", err)
		}
		cell := func(name string) string {
			if i, ok := at[name]; ok && i < len(row) {
				return row[i]
			}
			return ""
		}
		id := cell("STATION")
		height, err := strconv.ParseFloat(strings.TrimSpace(cell("ELEVATION")), 64)
		if err == nil && height > -450 && height < 9000 {
			found[id] = weather.Station{ID: id, Elevation: &height}
		}
	}
}

// readJSON reads a JSON document of which more may be there than is wanted.
func readJSON(body []byte, into any) error {
	if err := json.Unmarshal(body, into); err != nil {
		return fmt.Errorf("found no answer in JSON as it is known: %w", err)
	}
	return nil
}

// startOfDay reads the day of a date, with a time behind it or without.
func startOfDay(text string) (civil.Date, bool) {
	if len(text) < len(time.DateOnly) {
		return 0, false
	}
	d, err := civil.Parse(text[:len(time.DateOnly)])
	return d, err == nil
}

// number is a number that may be written as text, NaN where there is none.
type number float64

// UnmarshalJSON reads 3.2, "3.2" and null.
func (n *number) UnmarshalJSON(b []byte) error {
	*n = number(math.NaN())
	text := strings.TrimSpace(strings.Trim(string(b), `"`))
	if v, err := strconv.ParseFloat(text, 64); err == nil && !math.IsInf(v, 0) {
		*n = number(v)
	}
	return nil // what is no number is not known
}

// known returns the number, nil where there is none.
func (n *number) known() *float64 {
	if n == nil || math.IsNaN(float64(*n)) {
		return nil
	}
	return new(float64(*n))
}
