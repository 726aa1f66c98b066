// Package services answers: which open weather services are there, what is asked of each, and what do their answers
// say?
//
// Each service has a file of its own, with its address, its parameters, the reader of its answers, its terms and whom
// to credit. All of it was built from recorded answers and published descriptions (testdata/README.md says which): none
// of the services could be asked where this was written. Where one differs by a letter, its file is the place to mend.
//
// The package asks nobody and keeps nothing: see package supply.
package services

import (
	"fmt"
	"regexp"
	"time"

	"treewhen/phenology/civil"
	"treewhen/phenology/weather"
)

// Name is how plans name a service.
type Name string

// The services.
const (
	NOAADaily      Name = "noaa-daily"
	CanadaDaily    Name = "canada-daily"
	USForecast     Name = "us-forecast"
	NorwayForecast Name = "norway-forecast"
)

// Service is an open weather service, with what its terms ask of whoever asks it.
type Service struct {
	Name        Name
	Address     string // scheme and host, and what all its paths begin with
	Agency      string
	Attribution string // whom to credit, in a sentence
	Terms       string // what it asks of its users, in short
	Contact     bool   // it wants to know whom to turn to, and refuses others
	Accept      string // the media type of its answers

	Pace     time.Duration // between two requests, at least
	Every    time.Duration // between two requests for the same, at least
	Patience time.Duration // how old a copy may be before people are told
	Reader   int           // counts changes of the reader: what another one has read is asked for anew

	Records   *Records   // nil for a service of forecasts
	Forecasts *Forecasts // nil for a service of records
}

// Records is a service of what was measured, day by day, by station.
type Records struct {
	Identifier *regexp.Regexp // of its stations
	Example    string         // of an identifier

	// Days returns the path and query that ask for a station's days, from the offset-th row of the answer on.
	Days func(station string, span civil.Span, offset int) string
	// ReadDays reads an answer. Errors may hold bytes of it.
	ReadDays func(body []byte, station string) (Days, error)
	// Near returns the path and query that ask which stations are within so many kilometres, with days in a span.
	Near func(at Point, within float64, span civil.Span, offset int) string
	// ReadNear reads an answer. Errors may hold bytes of it.
	ReadNear func(body []byte) (Stations, error)
	// Heights returns the path and query that ask for what stations say of where they are; nil where ReadNear tells.
	Heights func(stations []string, span civil.Span) string
	// ReadHeights reads an answer.
	ReadHeights func(body []byte) (map[string]weather.Station, error)
}

// Days are those of one answer.
type Days struct {
	Series  weather.Series // degrees Celsius; empty where the answer has none
	Station weather.Station
	Rows    int // of the answer
	More    int // how many rows there are in all; 0 where the answer has them all
}

// Forecasts is a service of what is expected at a point.
type Forecasts struct {
	// Where returns the path that asks where a point's forecast is; nil where Path asks for it.
	Where     func(Point) string
	ReadWhere func(body []byte) (path string, err error)
	Path      func(Point) string
	// Read reads a forecast by the clocks of a zone. Errors may hold bytes of it.
	Read func(body []byte, zone *time.Location) (Forecast, error)
}

// First returns the path that is asked for first at a point.
func (f *Forecasts) First(p Point) string {
	if f.Where != nil {
		return f.Where(p)
	}
	return f.Path(p)
}

// Forecast is one answer.
type Forecast struct {
	Series    weather.Series // whole days alone, degrees Celsius, flagged as forecast
	Elevation *float64       // metres that it is for; nil where the service does not say
}

// Point is where a forecast is asked for, as it is sent.
type Point struct {
	Latitude, Longitude float64 // decimal degrees, north and east positive
	Elevation           float64 // metres
	Decimals            int     // of the degrees that are sent: two tell a place to a kilometre
}

// latitude and longitude write the coordinates as they are sent.
func (p Point) latitude() string  { return fmt.Sprintf("%.*f", p.Decimals, p.Latitude) }
func (p Point) longitude() string { return fmt.Sprintf("%.*f", p.Decimals, p.Longitude) }

// String gives the coordinates as they are sent.
func (p Point) String() string { return p.latitude() + ", " + p.longitude() }

// All lists the services, those of records first.
func All() []*Service { return []*Service{noaaDaily, canadaDaily, usForecast, norwayForecast} }

// Find returns a service by its name, nil if there is none of it.
func Find(name Name) *Service {
	for _, s := range All() {
		if s.Name == name {
			return s
		}
	}
	return nil
}

// For returns the services that suit a country (ISO 3166-1 alpha-2), best first: of records, and of forecasts.
func For(country string) (records, forecasts []*Service) {
	switch country {
	case "US":
		return []*Service{noaaDaily}, []*Service{usForecast}
	case "CA":
		return []*Service{canadaDaily, noaaDaily}, []*Service{norwayForecast}
	}
	return []*Service{noaaDaily}, []*Service{norwayForecast}
}

// The bounds of a temperature that any thermometer showed: the coldest and hottest air measured, with room, in degrees
// Celsius (common knowledge, no source).
const coldest, hottest = -90.0, 60.0
