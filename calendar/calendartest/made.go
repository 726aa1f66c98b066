package calendartest

import (
	"math"
	"time"

	"treewhen/calendar"
	"treewhen/phenology"
	"treewhen/phenology/civil"
	"treewhen/phenology/weather"
	"treewhen/profiles"
)

// MadePlan is a plan for one place with a record of its own: invented weather, an even course of the year with waves of
// eight days.
func MadePlan(asOf civil.Date, years int, warmth float64, names ...string) *calendar.Plan {
	site := phenology.Site{ID: "made", Name: "Made Hill", Latitude: 44, Longitude: -73, Elevation: 300, Zone: time.UTC}
	return &calendar.Plan{Title: "Made", AsOf: asOf, Span: civil.Span{First: asOf, Last: asOf + 365},
		Places: []*calendar.Place{{
			Outlook: outlookOf(site, MadeSeries(asOf, years, warmth)), Species: species(names...),
			Activities: []calendar.Activity{calendar.Tapping}, Options: calendar.DefaultOptions(),
		}}}
}

// MadeSeries is the record of [MadePlan], of so many years, so many degrees warmer.
func MadeSeries(asOf civil.Date, years int, warmth float64) weather.Series {
	s := weather.Series{First: civil.Of(asOf.Year()-years, time.January, 1)}
	for d := s.First; d <= asOf; d++ {
		x := float64(d.YearDay())
		year := float64(d.Year())
		mean := 7 - 14*math.Cos((x-25)*2*math.Pi/365) + 5*math.Sin(x*2*math.Pi/8+year) + 2*math.Sin(year*1.7) + warmth
		s.Days = append(s.Days, weather.Day{Min: mean - 5, Max: mean + 5})
	}
	return s
}

// WithForecast adds a forecast of nights and days of freeze and thaw from the day after the record on.
func WithForecast(p *calendar.Plan, days int) weather.Series {
	pl := p.Places[0]
	s := pl.Outlook.Temps.Series()
	s.Days = append([]weather.Day(nil), s.Days...)
	f := weather.Series{First: p.AsOf + 1}
	for range days {
		f.Days = append(f.Days, weather.Day{Min: -5, Max: 7})
	}
	for i, d := range f.Days {
		d.Flags |= weather.Forecast
		s.Put(f.First+civil.Date(i), d)
	}
	pl.Outlook = outlookOf(pl.Outlook.Site, s)
	pl.Forecasts = []weather.Series{f}
	return f
}

// species returns species of the library. It panics if there is none of a name.
func species(names ...string) (list []*phenology.Species) {
	for _, n := range names {
		sp, err := profiles.Builtin().Find(n)
		if err != nil {
			panic(err)
		}
		list = append(list, sp)
	}
	return list
}

func outlookOf(site phenology.Site, s weather.Series) *phenology.Outlook {
	return &phenology.Outlook{Site: site, Temps: phenology.NewTemperatures(site, s)}
}
