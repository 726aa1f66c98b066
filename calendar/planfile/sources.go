package planfile

import (
	"errors"
	"fmt"
	"net/url"
	"strings"

	"treewhen/calendar/services"
	"treewhen/phenology/weather"
	"treewhen/profiles/strictyaml"
)

// readSets reads lists of sources that several sites name, by their names.
func readSets(m *strictyaml.Map) map[string][]Source {
	sets := map[string][]Source{}
	if named, ok := m.Map("temperature_sets"); ok {
		for _, name := range named.Keys() {
			sets[name] = readSources(named, name, recordServices, nil)
		}
		named.Done()
	}
	return sets
}

// readSources reads where temperatures come from; of services, those that are known there will do, and of sets, those
// that the plan names.
func readSources(
	m *strictyaml.Map, key string, known []services.Name, sets map[string][]Source,
) (sources []Source) {
	list, _ := m.List(key)
	for _, v := range list {
		if v.IsScalar() {
			path, _ := v.Text()
			sources = append(sources, Source{Path: Path{path, v.Line()}})
		} else if sm, ok := v.Map(); ok {
			sources = append(sources, readSource(sm, known, sets)...)
			sm.Done()
		}
	}
	return sources
}

// readSource reads a source, or names those of a set.
func readSource(m *strictyaml.Map, known []services.Name, sets map[string][]Source) []Source {
	if sets != nil {
		if name, ok := m.Text("set"); ok {
			set, ok := sets[name]
			if !ok {
				m.ReportKey("set", "found %q, want the name of a list under temperature_sets", name)
			}
			return set
		}
	}
	s := Source{Path: Path{Line: m.Line()}}
	s.Path.Path, _ = m.Text("file")
	address, remote := strictyaml.GetAs(m, "url", ParseAddress)
	switch {
	case m.Has("service") && (m.Has("file") || m.Has("url")):
		m.ReportKey("service", "found a service beside a file or a url, want one of them")
	case m.Has("service"):
		readService(m, &s, known)
		readValley(m, &s)
		return []Source{s}
	case m.Has("file") && m.Has("url"):
		m.ReportKey("url", "found both file and url, want one of them")
	case m.Has("url"):
		s.Path.Path, s.Remote = address, remote
	default:
		m.Required("file")
	}
	s.Format, _ = strictyaml.GetOneOf(m, "format", weather.FormatAuto, weather.FormatPlain, weather.FormatGHCNDly,
		weather.FormatGHCNCSV, weather.FormatCanada, weather.FormatGridCell)
	s.Unit, _ = strictyaml.GetOneOf(m, "unit", weather.Celsius, weather.Fahrenheit)
	s.Station, _ = m.Text("station")
	readValley(m, &s)
	setNew(&s.Elevation)(m.Quantity("elevation", strictyaml.Length))
	s.Correction = readCorrection(m)
	return []Source{s}
}

// valley is said of a thermometer that stands on a valley's floor: in the place of a station's name, since no agency
// has one of that name, or as its setting.
const valley = "valley"

func readValley(m *strictyaml.Map, s *Source) {
	setting, _ := strictyaml.GetOneOf(m, "setting", "open", valley)
	if s.Valley = setting == valley || s.Station == valley; s.Station == valley {
		s.Station = ""
	}
}

// usualDecimals is how exactly a service is told where a site is: to a kilometre.
const usualDecimals = 2

// The services of records and of forecasts.
var (
	recordServices   = serviceNames(func(s *services.Service) bool { return s.Records != nil })
	forecastServices = serviceNames(func(s *services.Service) bool { return s.Forecasts != nil })
)

func serviceNames(which func(*services.Service) bool) (names []services.Name) {
	for _, s := range services.All() {
		if which(s) {
			names = append(names, s.Name)
		}
	}
	return names
}

// readService reads which service is asked for what.
func readService(m *strictyaml.Map, s *Source, known []services.Name) {
	s.Service, _ = strictyaml.GetOneOf(m, "service", known...)
	s.Address, _ = strictyaml.GetAs(m, "address", ParseAddress)
	s.Decimals = usualDecimals
	set(&s.Decimals)(m.IntIn("decimals", 0, 4))
	service := services.Find(s.Service)
	switch {
	case service == nil:
		m.Get("station")
	case service.Records != nil:
		m.Required("station")
		s.Station, _ = strictyaml.GetAs(m, "station", func(text string) (string, error) {
			if text = strings.ToUpper(text); !service.Records.Identifier.MatchString(text) {
				return "", fmt.Errorf("found %q, want the identifier of a station of %s such as %s", text, service.Name,
					service.Records.Example)
			}
			return text, nil
		})
	}
	setNew(&s.Elevation)(m.Quantity("elevation", strictyaml.Length))
	s.Correction = readCorrection(m)
}

// ParseContact reads whom a service may turn to: an address of mail or of the web, which goes into what is sent.
func ParseContact(text string) (string, error) {
	const never = "()<>\"\\,;" // what may end a comment of the User-Agent: RFC 9110 section 5.6.5
	odd := func(r rune) bool { return r <= ' ' || r > '~' || strings.ContainsRune(never, r) }
	u, err := url.Parse(text)
	web := err == nil && (u.Scheme == "https" || u.Scheme == "http") && u.Host != ""
	name, host, mail := strings.Cut(text, "@")
	if mail = mail && name != "" && strings.Contains(host, "."); !web && !mail || len(text) > 100 ||
		strings.ContainsFunc(text, odd) {
		return "", fmt.Errorf("found %q, want an address such as you@example.org or https://example.org/", text)
	}
	return text, nil
}

// ParseAddress reads the address of a temperature file. Names and passwords have no place in a plan.
func ParseAddress(text string) (string, error) {
	u, err := url.Parse(text)
	switch {
	case err != nil || u.Scheme != "http" && u.Scheme != "https" || u.Host == "" || u.Fragment != "":
		return "", fmt.Errorf("found %q, want an address such as https://example.org/daily.csv", text)
	case u.User != nil:
		return "", errors.New("found an address with a user's name in it, want one without")
	}
	return text, nil
}
