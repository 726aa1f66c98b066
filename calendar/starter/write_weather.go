package starter

import (
	"fmt"

	"treewhen/calendar/services"
	"treewhen/calendar/words"
)

// weatherLines says where the temperatures come from, and where those of the days ahead.
func (s *Draft) weatherLines() (record, forecast string) {
	w := &s.Weather
	if w.Asked == nil { // nobody looked
		records, forecasts := services.For(s.country())
		w.Asked, w.Forecast, w.Fault = records[0], forecasts[0], services.Offline
	}
	forecast = fmt.Sprintf("  - {service: %s%s}", w.Forecast.Name, s.atAddress(w.Forecast))
	if len(w.Records) == 0 {
		why := fmt.Sprintf("No station was found: %s was asked, and %s.", w.Asked.Agency, words.ServiceFault(w.Fault))
		if w.Fault == services.Offline {
			why = "No station is named yet, for no weather service was asked."
		}
		record = fmt.Sprintf("    # %s\n"+
			"    # treewhen init looks for stations near the trees when it can reach the service; "+
			"or put a station's identifier here.\n"+
			"    #temperatures:\n    #  - {service: %s, station: %s}", why, w.Asked.Name, w.Asked.Records.Example)
		return record, "    #forecast:\n    #" + forecast
	}
	record = "    temperatures:"
	for _, c := range w.Records {
		record += fmt.Sprintf("\n      # %s\n      - {service: %s, station: %s",
			c.Describe(s.Spot.metres(), s.Spot.Units), w.Asked.Name, yamlText(c.ID))
		if c.Elevation != nil {
			record += fmt.Sprintf(", elevation: %.0f m", *c.Elevation)
		}
		if !c.Order.IsZero() {
			record += ", " + c.Order.String()
		}
		record += s.atAddress(w.Asked) + "}"
	}
	return record, "    forecast:\n    " + forecast
}

// atAddress is the key for a server that answers in a service's place.
func (s *Draft) atAddress(service *services.Service) string {
	if at := s.Addresses[service.Name]; at != "" {
		return ", address: " + yamlText(at)
	}
	return ""
}
