package planfile

import (
	"regexp"
	"strings"

	"treewhen/calendar"
	"treewhen/profiles/strictyaml"
)

var siteID = regexp.MustCompile(`^[a-z0-9]+(-[a-z0-9]+)*$`)

func readSite(m *strictyaml.Map, options calendar.Options, sets map[string][]Source) *Site {
	m.Required("id", "latitude", "longitude", "elevation", "timezone")
	s := &Site{Line: m.Line(), Options: options, Activities: calendar.Activities()}
	s.ID = readID(m, "fallow-creek")
	s.Name = s.ID
	set(&s.Name)(m.Name("name"))
	s.Short, _ = m.Name("short_name")
	s.Color, _ = strictyaml.GetAs(m, "color", parseColor)
	s.Latitude, _ = m.FloatIn("latitude", -90, 90)
	s.Longitude, _ = m.FloatIn("longitude", -180, 180)
	s.Elevation, _ = readElevation(m)
	set(&s.Zone)(strictyaml.GetAs(m, "timezone", loadZone))
	readShared(m, s, sets)
	m.Done()
	s.look()
	return s
}

// What a site rests on that has neither temperatures nor normals, and what its record is too short for.
const (
	climateBuiltIn = "built-in"
	climateNone    = "none"
)

// readShared reads what sites of a table may have in common.
func readShared(m *strictyaml.Map, s *Site, sets map[string][]Source) {
	s.Temperatures = readSources(m, "temperatures", recordServices, sets)
	s.Forecast = readSources(m, "forecast", forecastServices, nil)
	if nm, ok := m.Map("normals"); ok {
		if nm.Has("file") {
			s.NormalsFrom = readNormalsFile(nm)
		} else {
			s.Normals = readNormals(nm)
		}
	}
	if text, ok := strictyaml.GetOneOf(m, "climate", climateBuiltIn, climateNone); ok {
		s.NoClimate = text == climateNone
	}
	const none = "found none, want at least one; leave the key out for every species in the library"
	s.Species, _ = listOf(m, "species", none, readWord)
	s.Stands = readStands(m)
	if v, ok := m.Get("activities"); ok && v.IsList() {
		set(&s.Activities)(readActivities(m))
	} else if am, ok := m.Map("activities"); ok {
		s.Activities = readOptions(am, &s.Options)
		am.Done()
	}
}

// readActivities reads a list of activities, each once.
func readActivities(m *strictyaml.Map) ([]calendar.Activity, bool) {
	all := calendar.Activities()
	none := "found none, want at least one of " + ActivityNames()
	list, ok := listOf(m, "activities", none, func(v strictyaml.Value) (calendar.Activity, bool) {
		return strictyaml.OneOf(v, all...)
	})
	return unique(list), ok
}

// ActivityNames lists what can be scheduled, as plans and options name it.
func ActivityNames() string {
	var names []string
	for _, a := range calendar.Activities() {
		names = append(names, string(a))
	}
	return strings.Join(names, ", ")
}
