package services

import (
	"errors"
	"fmt"
	"math"
	"time"
)

// norwayForecast is Locationforecast 2.0 of MET Norway: nine or ten days for any point of the world. No key. Its terms:
// a User-Agent with a contact; Expires and Last-Modified honoured; four decimals of a degree at most; times of asking
// spread.
var norwayForecast = &Service{
	Name: NorwayForecast, Address: "https://api.met.no/weatherapi/locationforecast/2.0",
	Agency:      "MET Norway",
	Attribution: "Data from MET Norway, licensed under CC BY 4.0 (https://creativecommons.org/licenses/by/4.0/).",
	Terms:       "CC BY 4.0 or NLOD; a User-Agent with a contact",
	Contact:     true, Accept: "application/json",
	Pace: 100 * time.Millisecond, Every: time.Hour, Patience: 24 * time.Hour, Reader: 1,
	Forecasts: &Forecasts{Path: norwayPath, Read: readNorway},
}

// norwayPath asks for the complete form, which alone has the extremes of six hours. Heights are sent to ten metres, so
// that neighbours ask for the same.
func norwayPath(p Point) string {
	return "/complete?" + query(
		"lat", p.latitude(), "lon", p.longitude(), "altitude", fmt.Sprintf("%.0f", math.Round(p.Elevation/10)*10+0),
	)
}

// readNorway makes days of hours. A day's extremes are those of the instants in it and of the spans of six hours in it.
// A span over midnight counts for the day that has more of it, and not at all where there is a value for every hour.
func readNorway(body []byte, zone *time.Location) (Forecast, error) {
	var answer struct {
		Geometry struct {
			Coordinates []number `json:"coordinates"`
		} `json:"geometry"`
		Properties struct {
			Meta struct {
				Units struct {
					Air string `json:"air_temperature"`
				} `json:"units"`
			} `json:"meta"`
			Series []struct {
				Time time.Time `json:"time"`
				Data struct {
					Instant struct {
						Details struct {
							Air *number `json:"air_temperature"`
						} `json:"details"`
					} `json:"instant"`
					Six struct {
						Details struct {
							Max *number `json:"air_temperature_max"`
							Min *number `json:"air_temperature_min"`
						} `json:"details"`
					} `json:"next_6_hours"`
				} `json:"data"`
			} `json:"timeseries"`
		} `json:"properties"`
	}
	if err := readJSON(body, &answer); err != nil {
		return Forecast{}, err
	}
	p := answer.Properties
	switch {
	case len(p.Series) == 0:
		return Forecast{}, errors.New("found no timeseries")
	case p.Meta.Units.Air != "celsius":
		return Forecast{}, fmt.Errorf("found the unit %q of air_temperature, want celsius", p.Meta.Units.Air)
	}
	parts := dayParts{zone: zone}
	add := func(day, from, to time.Time, low, high *float64) error {
		if low == nil || high == nil {
			return nil
		}
		for _, v := range []float64{*low, *high} {
			if _, err := celsius(v, "wmoUnit:degC"); err != nil {
				return err
			}
		}
		return parts.add(day, from, to, *low, *high)
	}
	for i, at := range p.Series {
		hourly := i+1 < len(p.Series) && p.Series[i+1].Time.Sub(at.Time) <= time.Hour
		to := at.Time
		if hourly {
			to = at.Time.Add(time.Hour)
		}
		air := at.Data.Instant.Details.Air.known()
		if err := add(at.Time, at.Time, to, air, air); err != nil {
			return Forecast{}, err
		}
		six := at.Data.Six.Details
		from, until := at.Time, at.Time.Add(6*time.Hour)
		if hourly && parts.day(from) != parts.day(until.Add(-time.Second)) {
			continue
		}
		if err := add(from.Add(3*time.Hour-time.Second), from, until, six.Min.known(), six.Max.known()); err != nil {
			return Forecast{}, err
		}
	}
	series, err := parts.series()
	f := Forecast{Series: series}
	if at := answer.Geometry.Coordinates; len(at) > 2 {
		f.Elevation = at[2].known()
	}
	return f, err
}
