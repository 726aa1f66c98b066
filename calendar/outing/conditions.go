package outing

import (
	"encoding/json"
	"fmt"
	"math"
	"time"

	"treewhen/calendar"
	"treewhen/calendar/busy"
	"treewhen/phenology"
	"treewhen/phenology/civil"
)

// Conditions are what the hours of an outing are usually like.
type Conditions struct {
	Sun       Sun
	Rise, Set int // of the sun, minutes after midnight by the site's clocks; 0 where it does not rise and set

	Known     bool    // the temperatures are
	Low, High float64 // usual at the beginning and the end of the hours, the lower first, degrees Celsius
	Night     float64 // usual minimum of the night before, degrees Celsius
	Drawn     bool    // by the monthly normals alone
	BuiltIn   bool    // those of the built-in climate
}

// Sun is what the sun does on a day.
type Sun uint8

// What the sun does.
const (
	RisesAndSets Sun = iota
	NeverSets
	NeverRises
)

// MarshalText returns what the sun does as JSON has it.
func (s Sun) MarshalText() ([]byte, error) {
	return []byte([...]string{"rises-and-sets", "never-sets", "never-rises"}[s]), nil
}

// conditionsAt returns what the hours of a day are usually like at a place.
func conditionsAt(o *phenology.Outlook, d civil.Date, h calendar.Hours) Conditions {
	site := &o.Site
	zone := zoneOf(site)
	var c Conditions
	if rise, set, ok := phenology.SunTimes(site.Latitude, site.Longitude, d); ok {
		c.Rise, c.Set = clockMinutes(rise, zone), clockMinutes(set, zone)
	} else if phenology.DayLengthAt(site.Latitude, site.Longitude, d) > 12 {
		c.Sun = NeverSets
	} else {
		c.Sun = NeverRises
	}
	if o.Temps == nil {
		return c
	}
	tmin, tmax, _, ok := o.Temps.Usual(d)
	if !ok {
		return c
	}
	at := func(minutes int) float64 {
		return phenology.TemperatureAt(site.Latitude, site.Longitude, d, tmin, tmax, busy.Clock(d, minutes, zone))
	}
	a, b := at(h.Start), at(h.End)
	c.Known, c.Low, c.High, c.Night, c.Drawn = true, min(a, b), max(a, b), tmin, o.Temps.Drawn()
	c.BuiltIn = o.Temps.BuiltIn() > 0
	return c
}

func clockMinutes(t time.Time, zone *time.Location) int {
	t = t.In(zone)
	return t.Hour()*60 + t.Minute()
}

// MarshalJSON writes the sun's times as the site's clocks show them and the temperatures in whole degrees, what there
// is of them.
func (c Conditions) MarshalJSON() ([]byte, error) {
	j := struct {
		Sun     Sun      `json:"sun"`
		Sunrise string   `json:"sunrise,omitempty"`
		Sunset  string   `json:"sunset,omitempty"`
		Low     *float64 `json:"low_c,omitempty"`
		High    *float64 `json:"high_c,omitempty"`
		Night   *float64 `json:"night_c,omitempty"`
		Drawn   bool     `json:"from_normals,omitempty"`
	}{Sun: c.Sun, Drawn: c.Drawn}
	if c.Sun == RisesAndSets {
		clock := func(minutes int) string { return fmt.Sprintf("%02d:%02d", minutes/60, minutes%60) }
		j.Sunrise, j.Sunset = clock(c.Rise), clock(c.Set)
	}
	if c.Known {
		whole := func(t float64) *float64 { t = math.Round(t) + 0; return &t } // adding 0 makes -0 into 0
		j.Low, j.High, j.Night = whole(c.Low), whole(c.High), whole(c.Night)
	}
	return json.Marshal(j)
}
