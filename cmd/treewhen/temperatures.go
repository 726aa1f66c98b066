package main

import (
	"treewhen/phenology"
	"treewhen/phenology/civil"
	"treewhen/phenology/weather"
)

// temperatures makes one series of a site's records and forecasts, up to the as-of day for what was observed.
func (in *inputs) temperatures(pl *place, forecasts []*weather.Record, prepared map[string]*phenology.Temperatures) *phenology.Temperatures {
	var s weather.Series
	for i := len(pl.records) - 1; i >= 0; i-- { // the most trusted last, over the others
		observed := pl.records[i].Series.Until(in.asOf)
		for k, d := range observed.Days {
			if day := observed.First + civil.Date(k); d.Complete() || !s.At(day).Complete() {
				s.Put(day, d)
			}
		}
	}
	s = weather.Fill(s)
	last := s.Last()
	for last >= s.First && !s.At(last).Complete() {
		last--
	}
	s = s.Until(last)
	for _, f := range forecasts {
		for k, d := range f.Series.Days {
			day := f.Series.First + civil.Date(k)
			if day > last && d.Complete() && !s.At(day).Complete() {
				d.Flags |= weather.Forecast
				s.Put(day, d)
			}
		}
	}
	return phenology.NewTemperatures(pl.site.Site, s)
}
