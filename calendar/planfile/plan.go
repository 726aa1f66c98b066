package planfile

import (
	"cmp"
	"errors"
	"fmt"
	"io"
	"slices"
	"strings"

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
	Species      []Word           // empty: every species in the library, or all of those that its stands name
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
	setNew(&p.FeedID)(strictyaml.GetAs(m, "feed_id", calendar.ParseUUID))
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
