package starter

import (
	"fmt"

	"treewhen/calendar/services"
	"treewhen/calendar/words"
)

// fillWeather fills in where the temperatures come from.
func (s *Draft) fillWeather(f *starterFields) {
	w := &s.Weather
	f.Contact = s.Contact
	if w.Asked == nil { // nobody looked
		records, forecasts := services.For(s.country())
		w.Asked, w.Forecast, w.Fault = records[0], forecasts[0], services.Offline
	}
	f.RecordService, f.RecordExample = string(w.Asked.Name), w.Asked.Records.Example
	if len(w.Records) == 0 {
		why := words.ServiceFault(w.Fault)
		f.NoStation = fmt.Sprintf("No station was found: %s was asked, and %s.", w.Asked.Agency, why)
		if w.Fault == services.Offline {
			f.NoStation = "No station is named yet, for no weather service was asked."
		}
	}
	for _, c := range w.Records {
		line := fmt.Sprintf("{service: %s, station: %s", w.Asked.Name, yamlText(c.ID))
		if c.Elevation != nil {
			line += fmt.Sprintf(", elevation: %.0f m", *c.Elevation)
		}
		if !c.Order.IsZero() {
			line += ", " + c.Order.String()
		}
		f.Stations = append(f.Stations, line+s.atAddress(w.Asked)+"}")
		f.StationNotes = append(f.StationNotes, c.Describe(s.Spot.metres(), s.Spot.Units))
	}
	f.Forecast = fmt.Sprintf("{service: %s%s}", w.Forecast.Name, s.atAddress(w.Forecast))
}

// atAddress is the key for a server that answers in a service's place.
func (s *Draft) atAddress(service *services.Service) string {
	if at := s.Addresses[service.Name]; at != "" {
		return ", address: " + yamlText(at)
	}
	return ""
}
