package services

import (
	"errors"
	"maps"
	"math"
	"slices"
	"time"

	"treewhen/phenology/civil"
	"treewhen/phenology/weather"
)

const (
	mostInterval = 48 * 60 // minutes
	// leastCovered is of how much of a day a forecast must speak, so that its extremes can be told.
	leastCovered = 18 * time.Hour
	slot         = 15 * time.Minute // zones are off by quarters of an hour
	mostDays     = 40               // of a forecast
)

// dayParts makes local days of intervals of time.
type dayParts struct {
	zone *time.Location
	days map[civil.Date]*dayPart
}

type dayPart struct {
	low, high float64
	covered   map[int64]bool // slots of time that a value speaks of
}

// day returns the local day of a time.
func (p *dayParts) day(t time.Time) civil.Date { return civil.FromTime(t.In(p.zone)) }

// part returns what there is of a day.
func (p *dayParts) part(d civil.Date) *dayPart {
	if p.days == nil {
		p.days = map[civil.Date]*dayPart{}
	}
	if p.days[d] == nil {
		p.days[d] = &dayPart{math.NaN(), math.NaN(), map[int64]bool{}}
	}
	return p.days[d]
}

// add puts extremes, NaN for none, to the local day of a time, and covers an interval, whose days may be others.
func (p *dayParts) add(day, from, to time.Time, low, high float64) error {
	d := p.part(p.day(day))
	if !(d.low <= low) && !math.IsNaN(low) {
		d.low = low
	}
	if !(d.high >= high) && !math.IsNaN(high) {
		d.high = high
	}
	for t := from; t.Before(to); t = t.Add(slot) {
		p.part(p.day(t)).covered[t.Unix()/int64(slot/time.Second)] = true
	}
	if len(p.days) > mostDays {
		return errors.New("found a forecast of more than a month")
	}
	return nil
}

// series returns the days that are covered well enough, flagged as forecast.
func (p *dayParts) series() (s weather.Series, err error) {
	for _, d := range slices.Sorted(maps.Keys(p.days)) {
		part := p.days[d]
		if len(s.Days) > 0 && d-s.First > mostDays {
			return weather.Series{}, errors.New("found a forecast of more than a month")
		}
		day := weather.Day{Min: part.low, Max: part.high, Flags: weather.Forecast}
		if day.Complete() && !day.Reversed() && time.Duration(len(part.covered))*slot >= leastCovered {
			s.Put(d, day)
		}
	}
	if len(s.Days) == 0 {
		return s, errors.New("found no whole day")
	}
	return s, nil
}
