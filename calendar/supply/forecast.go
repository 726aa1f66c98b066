package supply

import (
	"context"
	"errors"
	"fmt"

	"treewhen/calendar/fetch"
	"treewhen/calendar/services"
	"treewhen/phenology/civil"
	"treewhen/phenology/weather"
)

// remembered is for how many days it is kept what forecasts last said of a day. A record that comes some days late is
// continued by these, and tells by them whether its maxima are dated right.
const remembered = 120

// renewForecast asks where a point's forecast is, if that is not known, then for the forecast.
func (s *source) renewForecast(ctx context.Context) error {
	f := s.Service.Forecasts
	path := ""
	if f.Where == nil {
		path = f.Path(s.At)
	} else {
		var err error
		if path, err = s.where(ctx); err != nil {
			return err
		}
	}
	answer, err := s.ask(ctx, path, s.Reader == s.Service.Reader)
	if err != nil {
		if fetch.Status(err) == 404 {
			s.Path = "" // the service has drawn its grid anew
		}
		return err
	}
	s.rests(answer)
	if answer.Same {
		return nil
	}
	got, err := f.Read(answer.Body, s.Zone)
	if err != nil {
		return faultError{services.Unreadable, err}
	}
	if n := leaveOutJumps(&got.Series); n > mostJumps {
		return faultError{services.Unlikely, fmt.Errorf("found %d values %.0f °C off their neighbours", n, jump)}
	}
	today := civil.FromTime(s.Web.Now().In(s.Zone))
	if span := got.Series.Span(); span.Last < today || span.First > today+window {
		return faultError{services.Nothing, errors.New("found no day to come, want some")}
	}
	station := weather.Station{Elevation: got.Elevation}
	judged := source{Want: s.Want, held: held{Station: station}, series: got.Series}
	if s.Judge != nil {
		if why := s.Judge(judged.record()); why != "" {
			return faultError{services.Unlikely, errors.New(why)}
		}
	}
	s.copy.ETag, s.copy.LastModified, s.held.Address = answer.ETag, answer.LastModified, s.address()+path
	kept := s.series
	if first := got.Series.First - remembered; kept.First < first {
		kept = since(kept, first)
	}
	merged, _ := merge(kept.Until(got.Series.First-1), got.Series, len(kept.Until(got.Series.First-1).Days) == 0)
	s.series, s.held.Station, s.From, s.Reader = merged, station, got.Series.First, s.Service.Reader
	return nil
}

// since returns the part of a series from a day on.
func since(s weather.Series, d civil.Date) weather.Series {
	n := min(max(int(d-s.First), 0), len(s.Days))
	return weather.Series{First: s.First + civil.Date(n), Days: s.Days[n:]}
}

// where returns the path of the point's forecast, which it asks for once a month.
func (s *source) where(ctx context.Context) (string, error) {
	if s.Path != "" && s.Web.Now().Sub(s.PathOf) < staleSpot {
		return s.Path, nil
	}
	answer, err := s.ask(ctx, s.Service.Forecasts.Where(s.At), false)
	if err != nil {
		return "", err
	}
	path, err := s.Service.Forecasts.ReadWhere(answer.Body)
	if err != nil {
		return "", faultError{services.Unreadable, err}
	}
	s.Path, s.PathOf = path, s.Web.Now()
	return path, nil
}
