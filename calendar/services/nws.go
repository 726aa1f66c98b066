package services

import (
	"errors"
	"fmt"
	"math"
	"net/url"
	"regexp"
	"strconv"
	"strings"
	"time"
)

// usForecast is the forecast of the US National Weather Service for points of the United States, some seven days. No
// key. A User-Agent with a contact is asked for, at most four decimals of a degree are taken, and errors of 500 and 503
// are common: one more try, then the last good forecast.
var usForecast = &Service{
	Name: USForecast, Address: "https://api.weather.gov",
	Agency:      "the US National Weather Service",
	Attribution: "The forecast is from the US National Weather Service.",
	Terms:       "US government data, open; a User-Agent with a contact",
	Contact:     true, Accept: "application/geo+json",
	Pace: 250 * time.Millisecond, Every: time.Hour, Patience: 24 * time.Hour, Reader: 1,
	Forecasts: &Forecasts{
		Where: func(p Point) string { return "/points/" + plain(p.latitude()) + "," + plain(p.longitude()) },

		ReadWhere: readNWSWhere, Read: readNWS,
	},
}

// plain writes a degree without the zeros at its end: the service redirects from those.
func plain(degree string) string {
	if strings.Contains(degree, ".") {
		degree = strings.TrimRight(strings.TrimRight(degree, "0"), ".")
	}
	return degree
}

var nwsPath = regexp.MustCompile(`^/gridpoints/[A-Z]{3}/[0-9]{1,4},[0-9]{1,4}$`)

// readNWSWhere returns the path of a point's forecast. The host that the answer names is not looked at.
func readNWSWhere(body []byte) (string, error) {
	var answer struct {
		Properties struct {
			Data string `json:"forecastGridData"`
		} `json:"properties"`
	}
	if err := readJSON(body, &answer); err != nil {
		return "", err
	}
	u, err := url.Parse(answer.Properties.Data)
	if err != nil || !nwsPath.MatchString(u.Path) {
		return "", fmt.Errorf("found forecastGridData %q, want such as /gridpoints/TBW/93,38", answer.Properties.Data)
	}
	return u.Path, nil
}

// nwsLayer is one quantity of a forecast, over intervals of time.
type nwsLayer struct {
	Unit   string `json:"uom"`
	Values []struct {
		Time  string  `json:"validTime"`
		Value *number `json:"value"`
	} `json:"values"`
}

// readNWS reads the daily maxima and minima. A maximum belongs to the local day on which its interval starts, a minimum
// to the local morning on which it ends.
func readNWS(body []byte, zone *time.Location) (Forecast, error) {
	var answer struct {
		Properties struct {
			Max       nwsLayer `json:"maxTemperature"`
			Min       nwsLayer `json:"minTemperature"`
			Elevation struct {
				Value *number `json:"value"`
			} `json:"elevation"`
		} `json:"properties"`
	}
	if err := readJSON(body, &answer); err != nil {
		return Forecast{}, err
	}
	parts := dayParts{zone: zone}
	for _, layer := range []struct {
		name  string
		of    nwsLayer
		isMax bool
	}{{"maxTemperature", answer.Properties.Max, true}, {"minTemperature", answer.Properties.Min, false}} {
		if len(layer.of.Values) == 0 {
			return Forecast{}, fmt.Errorf("found no values of %s", layer.name)
		}
		for _, v := range layer.of.Values {
			value := v.Value.known()
			if value == nil {
				continue
			}
			from, to, err := interval(v.Time)
			if err != nil {
				return Forecast{}, err
			}
			t, err := celsius(*value, layer.of.Unit)
			if err != nil {
				return Forecast{}, err
			}
			if layer.isMax {
				err = parts.add(from, from, to, math.NaN(), t)
			} else {
				err = parts.add(to.Add(-time.Second), from, to, t, math.NaN())
			}
			if err != nil {
				return Forecast{}, err
			}
		}
	}
	series, err := parts.series()
	return Forecast{series, answer.Properties.Elevation.Value.known()}, err
}

// celsius reads a temperature by a unit of the WMO's vocabulary, such as wmoUnit:degC.
func celsius(v float64, unit string) (float64, error) {
	switch _, code, _ := strings.Cut(unit, ":"); code {
	case "degC":
	case "degF":
		v = (v - 32) / 1.8
	default:
		return 0, fmt.Errorf("found the unit %q, want wmoUnit:degC", unit)
	}
	if v < coldest || v > hottest {
		return 0, fmt.Errorf("found %.1f degrees Celsius, want a temperature of the air", v)
	}
	return v, nil
}

var durations = regexp.MustCompile(`^P(?:([0-9]{1,3})D)?(?:T(?:([0-9]{1,4})H)?(?:([0-9]{1,4})M)?)?$`)

// interval reads an interval of ISO 8601, a start and a duration of days, hours and minutes.
func interval(text string) (from, to time.Time, err error) {
	start, length, _ := strings.Cut(text, "/")
	m := durations.FindStringSubmatch(length)
	from, err = time.Parse(time.RFC3339, start)
	if err != nil || m == nil {
		return from, to, fmt.Errorf("found the interval %q, want one such as 2022-02-03T13:00:00+00:00/PT12H", text)
	}
	minutes := 0
	for i, each := range []int{24 * 60, 60, 1} {
		n, _ := strconv.Atoi(m[i+1])
		minutes += n * each
	}
	if minutes == 0 || minutes > mostInterval {
		return from, to, errors.New("found an interval of no length or of more than two days")
	}
	return from, from.Add(time.Duration(minutes) * time.Minute), nil
}
