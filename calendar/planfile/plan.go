package planfile

import (
	"cmp"
	"errors"
	"fmt"
	"io"
	"regexp"
	"slices"
	"strings"
	"time"

	"treewhen/calendar"
	"treewhen/calendar/phrase"
	"treewhen/calendar/services"
	"treewhen/phenology"
	"treewhen/phenology/civil"
	"treewhen/phenology/weather"
	"treewhen/profiles/strictyaml"
)

// Plan is a plan file as read: files are named, not opened, and species are as the user wrote them.
type Plan struct {
	File         string
	Title        string
	FeedID       *calendar.UUID    // nil if the plan sets none
	FeedDays     calendar.FeedDays // how work of many days stands in its calendars; "" if the plan does not say
	Address      string            // where people reach the plan's page; "" if the plan does not say
	FeedKey      string            // the secret that addresses on a server are derived from; "" if the plan sets none
	AsOf         *civil.Date       // nil if the plan sets none
	Speech       phrase.Speech     // in which units and language it is told
	Contact      string            // whom a weather service may turn to; "" if the plan names nobody
	Observations *Path             // nil if there are none
	Alerts       *Alerts           // nil if nobody is to be told of anything
	Lots         *Path             // what was done with lots of seed; nil if nobody wrote it down
	Yield        *Path             // the book of sap; nil if there is none
	Sites        []*Site

	SitesFrom *Path // a table of more sites, for [Plan.AddSites]; nil if there is none
	everySite *Site // what every site of the table has; its id is empty
}

// Path is a file that a plan names, with the line that does.
type Path struct {
	Path string
	Line int
}

// Site is a place in a plan.
type Site struct {
	phenology.Site
	Short        string // begins the titles of its events where a plan has several sites
	Color        string // of its events there, a color name of CSS3
	Line         int
	Temperatures []Source
	Forecast     []Source
	Normals      *weather.Normals // as the plan has them, or, once it is read, as their file has them; nil without
	NoClimate    bool             // without temperatures or normals the site rests on the place alone
	NormalsFrom  *Source          // the file of the normals; nil where the plan has the numbers
	Species      []Word           // empty: every species in the library, or, where there are stands with species, all of theirs
	Stands       []*Stand
	Activities   []calendar.Activity
	Options      calendar.Options
}

// Word is something a user wrote that is resolved later, with its line.
type Word struct {
	Text string
	Line int
}

// Source is a temperature file, or by a pattern some of one folder; or a weather service.
type Source struct {
	Path
	Remote   bool          // Path is an address to fetch it from, http or https
	Service  services.Name // "" for a file; then Path is empty but for its line
	Address  string        // of a server that answers in the service's place; "" for its own
	Decimals int           // of the degrees that a service is told
	weather.Options
	Elevation  *float64 // metres; nil: what the file says, else the site's
	Valley     bool     // the thermometer stands on a valley's floor, where cold air pools
	Correction weather.Correction
}

// PatternLetters are those that make a path a pattern for names of files: * any letters, ? one, [a-z] one of some.
const PatternLetters = "*?["

// IsPattern reports whether a source may be several files.
func (s Source) IsPattern() bool {
	return !s.Remote && strings.ContainsAny(s.Path.Path, PatternLetters)
}

// MaxSites is how many sites a plan file may have.
const MaxSites = 100_000

// CheckDay returns why nothing can be worked out as of a day, nil if it can. The sun's place and the clocks of the
// zones are known for the years around now, and a calendar ends with the year 9999.
func CheckDay(d civil.Date) error {
	if y := d.Year(); y < 1800 || y > 2200 {
		return fmt.Errorf("found %s, want a day from 1800 to 2200", d)
	}
	return nil
}

// Read reads a plan, of [strictyaml.MaxSize] bytes and [MaxSites] at most. Everything wrong with it comes back at once,
// as a [problem.List].
func Read(r io.Reader, name string) (*Plan, error) {
	doc, err := strictyaml.Parse(r, name)
	if err != nil {
		return nil, err
	}
	m := doc.Map()
	m.Required("title")
	if !m.Has("sites_from") {
		m.Required("sites")
	}
	p := &Plan{File: name}
	p.Title, _ = m.Name("title")
	if id, ok := strictyaml.GetAs(m, "feed_id", calendar.ParseUUID); ok {
		p.FeedID = &id
	}
	p.FeedDays, _ = strictyaml.GetOneOf(m, "feed_days", calendar.FeedWindows, calendar.FeedBestDays, calendar.FeedBoth)
	p.Speech.Units, _ = strictyaml.GetOneOf(m, "units", phrase.US, phrase.Metric)
	p.Speech.Language, _ = strictyaml.GetOneOf(m, "language", phrase.English, phrase.French)
	p.Address, _ = strictyaml.GetAs(m, "address", ParseAddress)
	p.FeedKey, _ = strictyaml.GetAs(m, "feed_key", parseFeedKey)
	p.Contact, _ = strictyaml.GetAs(m, "contact", ParseContact)
	if d, ok := m.Date("as_of"); ok {
		if err := CheckDay(d); err != nil {
			m.ReportKey("as_of", "%v", err)
		}
		p.AsOf = &d
	}
	p.Observations, p.Lots, p.Yield = readPath(m, "observations"), readPath(m, "lots"), readPath(m, "yield")
	p.Alerts = readAlerts(m)
	options := calendar.DefaultOptions()
	if am, ok := m.Map("activities"); ok {
		readOptions(am, &options)
		am.Done()
	}
	sets := readSets(m)
	sites, _ := m.Maps("sites")
	if v, ok := m.Get("sites"); ok && v.IsList() && len(sites) == 0 {
		v.Report("found no site, want at least one")
	}
	seen := map[string]int{}
	for _, sm := range sites {
		s := readSite(sm, options, sets)
		if first, dup := seen[s.ID]; dup && s.ID != "" {
			sm.ReportKey("id", "found %q, which the site on line %d has already; want another", s.ID, first)
		}
		seen[s.ID] = s.Line
		p.Sites = append(p.Sites, s)
	}
	if len(p.Sites) > MaxSites {
		m.ReportKey("sites", "found %d sites, want %d at most", len(p.Sites), MaxSites)
	}
	readSitesFrom(m, p, options, sets)
	p.checkLanguage(m)
	m.Done()
	if err := doc.Err(); err != nil {
		return nil, err
	}
	return p, nil
}

// checkLanguage reports a language that does not speak of all that is to be done.
func (p *Plan) checkLanguage(m *strictyaml.Map) {
	if p.Speech.Language != phrase.French {
		return
	}
	p.Speech.Units = cmp.Or(p.Speech.Units, phrase.Metric) // as in Quebec
	sites := p.Sites
	if p.SitesFrom != nil {
		sites = append(slices.Clip(sites), p.everySite)
	}
	for _, s := range sites {
		if others := slices.DeleteFunc(slices.Clone(s.Activities), spokenInFrench); len(others) > 0 {
			m.ReportKey("language", "fr speaks of tapping so far, found activities %v at %s, want activities: "+
				"[tapping]", s.Activities, cmp.Or(s.ID, "every_site"))
			return
		}
	}
}

func spokenInFrench(a calendar.Activity) bool { return a == calendar.Tapping }

// readPath reads a key that names a file; nil if there is none.
func readPath(m *strictyaml.Map, key string) *Path {
	if v, ok := m.Get(key); ok {
		if text, ok := v.Text(); ok {
			return &Path{text, v.Line()}
		}
	}
	return nil
}

var siteID = regexp.MustCompile(`^[a-z0-9]+(-[a-z0-9]+)*$`)

func readSite(m *strictyaml.Map, options calendar.Options, sets map[string][]Source) *Site {
	m.Required("id", "latitude", "longitude", "elevation", "timezone")
	s := &Site{Line: m.Line(), Options: options, Activities: calendar.Activities()}
	if id, ok := m.Text("id"); ok {
		s.ID = id
		if len(id) > 60 || !siteID.MatchString(id) {
			m.ReportKey("id", "found %q, want a-z, 0-9 and single hyphens between them, such as fallow-creek", id)
		}
	}
	s.Name = s.ID
	if name, ok := m.Name("name"); ok {
		s.Name = name
	}
	s.Short, _ = m.Name("short_name")
	s.Color, _ = strictyaml.GetAs(m, "color", parseColor)
	s.Latitude, _ = m.FloatIn("latitude", -90, 90)
	s.Longitude, _ = m.FloatIn("longitude", -180, 180)
	if e, ok := m.Quantity("elevation", strictyaml.Length); ok {
		s.Elevation = e
		check := s.Site
		check.Latitude, check.Longitude = 0, 0 // these have been checked
		if err := check.Check(); err != nil {
			m.ReportKey("elevation", "%v", err)
		}
	}
	if zone, ok := strictyaml.GetAs(m, "timezone", loadZone); ok {
		s.Zone = zone
	}
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
	if list, ok := m.List("species"); ok {
		for _, v := range list {
			if text, ok := v.Text(); ok {
				s.Species = append(s.Species, Word{text, v.Line()})
			}
		}
		if len(list) == 0 {
			m.ReportKey("species", "found none, want at least one; leave the key out for every species in the library")
		}
	}
	s.Stands = readStands(m, s)
	if v, ok := m.Get("activities"); ok {
		if v.IsList() {
			s.Activities = readActivities(v)
		} else if am, ok := v.Map(); ok {
			s.Activities = readOptions(am, &s.Options)
			am.Done()
		}
	}
}

// loadZone loads a time zone by its IANA name. "Local" and "" would make a plan mean something else on each machine.
func loadZone(name string) (*time.Location, error) {
	if name != "" && name != "Local" {
		if zone, err := time.LoadLocation(name); err == nil {
			return zone, nil
		}
	}
	return nil, fmt.Errorf("found %q, want an IANA time zone such as America/Toronto", name)
}

// leastKinds is how many characters of a secret must differ. Of texts of 16 random digits, 997 in 1000 do;
// of letters and digits, all but two in a hundred thousand million.
const leastKinds = 6

// parseFeedKey reads a secret. What is short can be guessed, and what repeats a few letters as well; 16 characters of a
// random text are some 90 bits.
func parseFeedKey(text string) (string, error) {
	if len(text) < 16 || len(text) > 200 || strings.TrimSpace(text) != text {
		return "", errors.New("found a text too short, too long or with spaces around it, want 16 to 200 random " +
			"characters")
	}
	kinds := map[rune]bool{}
	for _, r := range text {
		kinds[r] = true
	}
	if len(kinds) < leastKinds {
		return "", fmt.Errorf("found a text of %d different characters, which can be guessed, want 16 to 200 random "+
			"ones", len(kinds))
	}
	return text, nil
}

// What a correction may order: wider ones are slips of the pen.
const (
	mostShift  = 2  // days
	mostOffset = 10 // degrees Celsius
)

// readCorrection reads what is to be done to a source before it is used.
func readCorrection(m *strictyaml.Map) (c weather.Correction) {
	if sm, ok := m.Map("shift"); ok {
		c.ShiftMin, _ = wholeDays(sm, "tmin", -mostShift, mostShift)
		c.ShiftMax, _ = wholeDays(sm, "tmax", -mostShift, mostShift)
		sm.Done()
	}
	if sm, ok := m.Map("offset"); ok {
		c.OffsetMin, c.OffsetMax = readOffset(sm, "tmin"), readOffset(sm, "tmax")
		sm.Done()
	}
	if sm, ok := m.Map("leave_out"); ok {
		c.LeaveOutMin, c.LeaveOutMax = readDates(sm, "tmin"), readDates(sm, "tmax")
		sm.Done()
	}
	return c
}

func readOffset(m *strictyaml.Map, key string) float64 {
	d, ok := m.Quantity(key, strictyaml.TemperatureDifference)
	if ok && (d < -mostOffset || d > mostOffset) {
		m.ReportKey(key, "found %.4g C, want -%d to %d degrees Celsius", d, mostOffset, mostOffset)
	}
	return d
}

func readDates(m *strictyaml.Map, key string) []civil.Date {
	list, _ := m.List(key)
	var dates []civil.Date
	for _, v := range list {
		if d, ok := strictyaml.As(v, civil.Parse); ok {
			dates = append(dates, d)
		}
	}
	return dates
}

// readNormalsFile reads where the normals are.
func readNormalsFile(m *strictyaml.Map) *Source {
	s := &Source{Elevation: readStationElevation(m)}
	if v, ok := m.Get("file"); ok {
		s.Path.Line = v.Line()
		s.Path.Path, _ = v.Text()
	}
	s.Unit, _ = strictyaml.GetOneOf(m, "unit", weather.Celsius, weather.Fahrenheit)
	s.Station, _ = m.Text("station")
	for _, key := range []string{"tmin", "tmax"} {
		if m.Has(key) {
			m.ReportKey(key, "found numbers beside a file, want one of them")
			m.Get(key)
		}
	}
	m.Done()
	return s
}

func readStationElevation(m *strictyaml.Map) *float64 {
	e, ok := m.Quantity("elevation", strictyaml.Length)
	if !ok {
		return nil
	}
	check := phenology.Site{Elevation: e}
	if err := check.Check(); err != nil {
		m.ReportKey("elevation", "%v", err)
	}
	return &e
}

func readNormals(m *strictyaml.Map) *weather.Normals {
	m.Required("unit", "tmin", "tmax")
	n := &weather.Normals{}
	unit, _ := strictyaml.GetOneOf(m, "unit", weather.Celsius, weather.Fahrenheit)
	n.Station.Elevation = readStationElevation(m)
	whole := true // both sides have twelve numbers, so that they can be compared
	for _, side := range []struct {
		key string
		to  *[12]float64
	}{{"tmin", &n.Min}, {"tmax", &n.Max}} {
		values, ok := m.Floats(side.key)
		if !ok {
			whole = false
			continue
		}
		if len(values) != 12 {
			whole = false
			m.ReportKey(side.key, "found %d numbers, want 12, January to December", len(values))
			continue
		}
		for i, v := range values {
			if unit == weather.Fahrenheit {
				v = (v - 32) / 1.8
			}
			side.to[i] = v
			if v < -70 || v > 60 {
				m.ReportKey(side.key, "found %g for %s, want a monthly mean in degrees %s", values[i],
					time.Month(i+1), unit)
				break
			}
		}
	}
	for i := range n.Min {
		if n.Min[i] > n.Max[i] && whole {
			m.ReportKey("tmin", "found a minimum above the maximum in %s", time.Month(i+1))
			break
		}
	}
	m.Done()
	return n
}

func readActivities(v strictyaml.Value) []calendar.Activity {
	list, _ := v.List()
	var activities []calendar.Activity
	for _, one := range list {
		if a, ok := strictyaml.OneOf(one, calendar.Activities()...); ok && !slices.Contains(activities, a) {
			activities = append(activities, a)
		}
	}
	if len(list) == 0 {
		v.Report("found none, want at least one of %s", strings.Join(activityNames(), ", "))
	}
	return activities
}

func activityNames() []string {
	var names []string
	for _, a := range calendar.Activities() {
		names = append(names, string(a))
	}
	return names
}
