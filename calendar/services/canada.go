package services

import (
	"errors"
	"fmt"
	"math"
	"regexp"
	"strconv"
	"strings"
	"time"

	"treewhen/phenology/civil"
	"treewhen/phenology/weather"
)

// canadaDaily is the GeoMet OGC API of Environment and Climate Change Canada: daily records of stations in Canada. No
// key; pace and frequency are our own. Airports changed identifiers around 2012 to 2014, when a manned station ended
// and an automatic one began, so that a record is often two stations.
var canadaDaily = &Service{
	Name: CanadaDaily, Address: "https://api.weather.gc.ca",
	Agency: "Environment and Climate Change Canada",
	Attribution: "Daily temperatures are from Environment and Climate Change Canada (Data Servers End-use Licence, " +
		"https://eccc-msc.github.io/open-data/licence/readme_en/).",
	Terms:  "Environment and Climate Change Canada Data Servers End-use Licence: credit the agency",
	Accept: "application/geo+json, application/json",
	Pace:   time.Second, Every: 6 * time.Hour, Patience: 3 * 24 * time.Hour, Reader: 1,
	Records: &Records{
		Identifier: canadaStation, Example: "7025250",
		Days: canadaDays, ReadDays: readCanadaDays, Near: canadaNear, ReadNear: readCanadaNear,
	},
}

var canadaStation = regexp.MustCompile(`^[0-9A-Z]{7}$`)

const canadaRows = 10000 // of an answer, at most

func canadaDays(station string, span civil.Span, offset int) string {
	return "/collections/climate-daily/items?" + query(
		"CLIMATE_IDENTIFIER", station, "datetime", span.First.String()+"/"+span.Last.String(), "f", "json",
		"limit", strconv.Itoa(canadaRows), "offset", strconv.Itoa(offset), "sortby", "LOCAL_DATE",
		"properties", "CLIMATE_IDENTIFIER,LOCAL_DATE,MIN_TEMPERATURE,MAX_TEMPERATURE,"+
			"MIN_TEMPERATURE_FLAG,MAX_TEMPERATURE_FLAG",
	)
}

// featureList is an answer of the service: GeoJSON (RFC 7946) with the counts of OGC API - Features.
type featureList[T any] struct {
	Features []struct {
		Geometry struct {
			Coordinates []number `json:"coordinates"`
		} `json:"geometry"`
		Properties T `json:"properties"`
	} `json:"features"`
	Matched int `json:"numberMatched"` // how many rows there are in all; 0 where the answer does not say
}

// readCanadaDays reads days in degrees Celsius. Of the flags, M is missing and E estimated; a value with another is
// kept as suspect.
func readCanadaDays(body []byte, station string) (Days, error) {
	var answer featureList[struct {
		Station string  `json:"CLIMATE_IDENTIFIER"`
		Date    string  `json:"LOCAL_DATE"`
		Min     *number `json:"MIN_TEMPERATURE"`
		Max     *number `json:"MAX_TEMPERATURE"`
		MinFlag string  `json:"MIN_TEMPERATURE_FLAG"`
		MaxFlag string  `json:"MAX_TEMPERATURE_FLAG"`
	}]
	if err := readJSON(body, &answer); err != nil {
		return Days{}, err
	}
	if answer.Features == nil {
		return Days{}, errors.New("found no features")
	}
	got := Days{Rows: len(answer.Features), More: answer.Matched, Station: weather.Station{ID: station}}
	for _, f := range answer.Features {
		p := f.Properties
		if p.Station != "" && p.Station != station {
			return Days{}, fmt.Errorf("found station %q, want %q", p.Station, station)
		}
		d, ok := startOfDay(p.Date)
		if !ok || d.Year() < 1700 || d.Year() > 2200 {
			return Days{}, fmt.Errorf("found LOCAL_DATE %q, want a day", p.Date)
		}
		low, lowFlag, err := canadaValue(p.Min, p.MinFlag)
		if err != nil {
			return Days{}, err
		}
		high, highFlag, err := canadaValue(p.Max, p.MaxFlag)
		if err != nil {
			return Days{}, err
		}
		if at := f.Geometry.Coordinates; got.Station.Latitude == nil && len(at) >= 2 {
			got.Station.Longitude, got.Station.Latitude = at[0].known(), at[1].known()
		}
		got.Series.Put(d, weather.Day{Min: low, Max: high, Flags: lowFlag | highFlag})
	}
	return got, nil
}

func canadaValue(v *number, flag string) (float64, weather.Flags, error) {
	t, flag := v.known(), strings.TrimSpace(flag)
	switch {
	case t == nil || flag == "M":
		return math.NaN(), 0, nil
	case *t < coldest || *t > hottest:
		return 0, 0, fmt.Errorf("found %g, want degrees Celsius", *t)
	case flag == "":
		return *t, 0, nil
	case flag == "E":
		return *t, weather.Estimated, nil
	}
	return *t, weather.Suspect, nil
}

// canadaNear asks for the stations in a box: west, south, east, north. The span is not asked for: see [Pick].
func canadaNear(at Point, within float64, _ civil.Span, offset int) string {
	b := boxAround(at, within)
	return "/collections/climate-stations/items?" + query(
		"bbox", fmt.Sprintf("%.2f,%.2f,%.2f,%.2f", b.west, b.south, b.east, b.north), "f", "json", "limit", "500",
		"offset", strconv.Itoa(offset),
	)
}

// readCanadaNear reads where stations are from their geometry: the integers beside it are degrees, minutes and seconds.
// Of fullness the service says nothing.
func readCanadaNear(body []byte) (Stations, error) {
	var answer featureList[struct {
		ID        string  `json:"CLIMATE_IDENTIFIER"`
		Name      string  `json:"STATION_NAME"`
		Elevation *number `json:"ELEVATION"`
		First     string  `json:"DLY_FIRST_DATE"`
		Last      string  `json:"DLY_LAST_DATE"`
	}]
	if err := readJSON(body, &answer); err != nil {
		return Stations{}, err
	}
	if answer.Features == nil {
		return Stations{}, errors.New("found no features")
	}
	list := Stations{Rows: len(answer.Features), More: answer.Matched}
	for _, f := range answer.Features {
		p, at := f.Properties, f.Geometry.Coordinates
		first, ok1 := startOfDay(p.First)
		last, ok2 := startOfDay(p.Last)
		if !ok1 || !ok2 || len(at) < 2 { // no daily record, or nowhere
			continue
		}
		s := Station{
			ID: p.ID, Name: p.Name, Longitude: float64(at[0]), Latitude: float64(at[1]), Elevation: p.Elevation.known(),
			First: first, Last: last, Fullness: math.NaN(),
		}
		if s.sound(canadaStation) {
			list.List = append(list.List, s)
		}
	}
	return list, nil
}
