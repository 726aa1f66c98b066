// Package calendartest has what the tests of several packages write their cases with.
package calendartest

import (
	"time"

	"treewhen/calendar"
	"treewhen/phenology"
	"treewhen/phenology/civil"
)

// Day returns the day that a text such as 2027-03-12 names. It panics on another text.
func Day(s string) civil.Date {
	d, err := civil.Parse(s)
	if err != nil {
		panic(err)
	}
	return d
}

// Span returns the days from a first to a last, both included.
func Span(first, last string) civil.Span { return civil.Span{First: Day(first), Last: Day(last)} }

// Zone returns an IANA time zone. It panics if there is none of that name.
func Zone(name string) *time.Location {
	loc, err := time.LoadLocation(name)
	if err != nil {
		panic(err)
	}
	return loc
}

// FeedID is the namespace of identifiers in tests.
var FeedID = calendar.UUID{0x3c, 0x5d, 0x0f, 0x52, 0x5a, 0x0e, 0x4f, 0x8e, 0x9d, 0x5c, 0x2f, 0x1b, 0x7c, 0x0a, 0x9e,
	0x41}

// Sugarbush is an invented place in Wisconsin.
func Sugarbush() *phenology.Site {
	return &phenology.Site{ID: "fallow-creek", Name: "Fallow Creek sugarbush", Latitude: 44.62, Longitude: -89.61,
		Elevation: 350, Zone: time.UTC}
}

// Nursery is an invented place in central New England that has no thermometer.
func Nursery() *calendar.Place {
	return &calendar.Place{
		Outlook: &phenology.Outlook{Site: phenology.Site{
			ID: "mill-fork", Name: "Mill Fork nursery", Latitude: 42.6, Longitude: -72.3, Elevation: 300,
			Zone: time.UTC,
		}},
		Activities: []calendar.Activity{calendar.SeedCollection}, Options: calendar.DefaultOptions(), Chosen: true,
	}
}

// Maple is a species of no more than its name.
func Maple() *phenology.Species {
	return &phenology.Species{ID: "acer-saccharum", Botanical: "Acer saccharum", Common: []string{"sugar maple"}}
}
