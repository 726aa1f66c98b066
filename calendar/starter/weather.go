package starter

import (
	"context"
	"fmt"
	"math"
	"slices"

	"treewhen/calendar/gazetteer"
	"treewhen/calendar/phrase"
	"treewhen/calendar/services"
	"treewhen/calendar/supply"
	"treewhen/phenology/civil"
	"treewhen/phenology/weather"
)

// Weather is where a new plan's temperatures come from.
type Weather struct {
	Records  []Chosen // the stations, in order of trust; none where none was found
	Asked    *services.Service
	Fault    services.Fault // why none was found
	Forecast *services.Service
}

// Chosen is a station that a plan is to name.
type Chosen struct {
	services.Station
	Kilometres float64
	Days       civil.Span         // of its record, as it is kept; empty where it could not be had yet
	Complete   int                // of them, days with both temperatures
	Order      weather.Correction // what mends it: an observer's morning maxima moved to their day
}

// mostTried is how many pairs of stations are tried, since some have no days after all.
const mostTried = 4

// FindWeather asks the services that suit the place which stations are near, takes those that serve best, and asks for
// their records, which the plan then finds kept. Whatever is wrong, the plan can be written.
func (s *Draft) FindWeather(ctx context.Context, desk *supply.Desk) {
	records, forecasts := services.For(s.country())
	s.Weather = Weather{Asked: records[0], Forecast: forecasts[0]}
	at := services.Point{
		Latitude: s.Spot.Latitude, Longitude: s.Spot.Longitude, Elevation: s.Spot.metres(), Decimals: 2,
	}
	for i, service := range records {
		list, err := desk.Near(ctx, service, s.Addresses[service.Name], at)
		if err != nil {
			if i == 0 {
				s.Weather.Fault = supply.FaultOf(err)
			}
			desk.Log("%s: %v", service.Name, err)
			continue
		}
		if chosen := s.try(ctx, desk, service, list, at); len(chosen) > 0 {
			s.Weather.Records, s.Weather.Asked, s.Weather.Fault = chosen, service, services.NoFault
			return
		}
		s.Weather.Fault = services.Nothing
	}
}

// country returns the country of the place, "" where no town tells.
func (s *Draft) country() string {
	if town, km := gazetteer.Nearest(s.Spot.Latitude, s.Spot.Longitude); km <= gazetteer.ZoneReach {
		return town.Region.Country
	}
	return ""
}

// try picks stations until the ones picked have days.
func (s *Draft) try(
	ctx context.Context, desk *supply.Desk, service *services.Service, list []services.Station, at services.Point,
) []Chosen {
	for range mostTried {
		picked := services.Pick(list, at, desk.Today)
		if len(picked) == 0 {
			return nil
		}
		var chosen []Chosen
		again := false
		var files []weather.Source
		for _, st := range picked {
			got := desk.Get(ctx, supply.Want{
				Service: service, Address: s.Addresses[service.Name], Station: st.ID, At: at, Until: desk.Today,
			})
			days, found := got.Record.Series, got.Record.Station.Elevation
			if got.State.Fault == services.Nothing || got.State.Fault == services.Unreadable ||
				found != nil && st.Elevation == nil && math.Abs(*found-at.Elevation) > farUp {
				again = true
				list = without(list, st.ID, found)
				break
			}
			if found != nil {
				st.Elevation = found
			}
			c := Chosen{Station: st, Kilometres: st.Kilometres(at), Days: days.Span()}
			for _, d := range days.Days {
				if d.Complete() {
					c.Complete++
				}
			}
			chosen = append(chosen, c)
			files = append(files, weather.Source{Name: st.ID, Series: days, Elevation: st.Elevation})
		}
		if again {
			continue
		}
		for _, f := range weather.Check(files) {
			if f.Kind == weather.FindingShift {
				chosen[f.Source].Order = f.Correction
			}
		}
		return chosen
	}
	return nil
}

// farUp is by how many metres a station may stand higher or lower than was thought before others are looked at.
const farUp = 300

// without takes a station out of a list, or, where its height is known now, says it there.
func without(list []services.Station, id string, height *float64) []services.Station {
	list = slices.Clone(list)
	if height == nil {
		return slices.DeleteFunc(list, func(s services.Station) bool { return s.ID == id })
	}
	for i := range list {
		if list[i].ID == id {
			list[i].Elevation = height
		}
	}
	return list
}

// metres returns the height of a spot.
func (s *Spot) metres() float64 {
	m := elevationForm().FindStringSubmatch(s.Elevation)
	if m == nil {
		return 0
	}
	var v float64
	fmt.Sscan(m[1], &v)
	if m[2] == "ft" {
		v *= 0.3048
	}
	return v
}

// Height returns the height of the site in metres.
func (s *Draft) Height() float64 { return s.Spot.metres() }

// Describe says of a station what a person chooses by: where it is, how high, how long and how full its record.
func (c *Chosen) Describe(at float64, u phrase.Units) string {
	text := fmt.Sprintf("station %s, %s off", c.ID, u.Way(c.Kilometres))
	if c.Elevation != nil {
		switch climb := math.Round(*c.Elevation - at); {
		case climb > 0:
			text += ", " + u.Height(climb) + " higher"
		case climb < 0:
			text += ", " + u.Height(-climb) + " lower"
		default:
			text += ", at the same height"
		}
	}
	if c.Days.Empty() {
		return text + "; its record is yet to come"
	}
	return text + fmt.Sprintf("; %s to %s, %.0f %% of the days", c.Days.First, c.Days.Last,
		math.Floor(100*float64(c.Complete)/float64(c.Days.Days())))
}
