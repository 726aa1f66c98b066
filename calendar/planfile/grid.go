package planfile

import (
	"io"
	"strconv"
	"strings"
	"time"

	"treewhen/calendar"
	"treewhen/phenology/problem"
	"treewhen/profiles/strictyaml"
)

// MaxTable is how large a table of sites may be, in bytes.
const MaxTable = 32 << 20

var sitesTable = csvTable{
	must: 3, wants: "id,latitude,longitude,elevation_m,timezone", optional: " and if wanted name",
	wantsRow: "one site a row",
	columns: []string{
		"id", "latitude", "longitude", "elevation", "elevation_m", "elevation_ft", "timezone", "name",
	},
}

// readSitesFrom reads where more sites are listed, and what all of them have.
func readSitesFrom(m *strictyaml.Map, p *Plan, options calendar.Options, sets map[string][]Source) {
	p.SitesFrom = readPath(m, "sites_from")
	every, ok := m.Map("every_site")
	p.everySite = &Site{Options: options, Activities: calendar.Activities()}
	if !ok {
		return
	}
	if !m.Has("sites_from") {
		m.ReportKey("every_site", "found it without sites_from, want both or neither")
	}
	set(&p.everySite.Zone)(strictyaml.GetAs(every, "timezone", loadZone))
	readShared(every, p.everySite, sets)
	every.Done()
}

// AddSites reads the table of sites that the plan names, of [MaxTable] bytes at most, and adds its sites to the plan's
// own, in the table's order; together they may be [MaxSites]. Everything wrong with it comes back at once, as a
// [problem.List]. It reads row by row: what it keeps of a row is a site.
func (p *Plan) AddSites(r io.Reader, name string) error {
	size := &countingReader{r: io.LimitReader(r, MaxTable+1)}
	t := siteTable{
		csvFile: &csvFile{csvTable: sitesTable, name: name}, plan: p,
		zones: map[string]*time.Location{}, seen: map[string]int{},
	}
	inPlan := map[string]bool{}
	for _, s := range p.Sites {
		inPlan[s.ID] = true
	}
	before := len(p.Sites)
	t.header(size)
	for t.read() && size.n <= MaxTable {
		s := t.site()
		if inPlan[s.ID] {
			t.bad("id", "found %q, which the plan has already under sites; want another", s.ID)
		}
		p.Sites = append(p.Sites, s)
		if len(p.Sites) > MaxSites {
			t.bad("", "found more than %d sites, want fewer; cut the table and run the parts one by one", MaxSites)
			break
		}
	}
	switch {
	case size.n > MaxTable:
		t.line = 0
		t.bad("", "found more than %d MiB, want a table of sites of %d MiB at most", MaxTable>>20, MaxTable>>20)
	case len(t.wrong) == 0 && len(p.Sites) == before:
		t.bad("", "found a header and no site, want one site a row")
	}
	return t.err()
}

// siteTable is a table of sites as it is read.
type siteTable struct {
	*csvFile
	plan  *Plan
	zones map[string]*time.Location
	seen  map[string]int // line by id
}

// header reads the first row.
func (t *siteTable) header(r io.Reader) {
	header := t.csvFile.header(r)
	heights := 0
	for _, c := range []string{"elevation", "elevation_m", "elevation_ft"} {
		if t.has(c) {
			heights++
		}
	}
	var missing []string
	if heights == 0 {
		missing = append(missing, "elevation_m or elevation_ft")
	}
	if !t.has("timezone") && t.plan.everySite.Zone == nil {
		missing = append(missing, "timezone, which every_site may give instead")
	}
	t.lacks(header, missing...)
	if heights > 1 {
		t.bad("elevation", "found %d columns of elevation, want one", heights)
	}
}

// site reads a row.
func (t *siteTable) site() *Site {
	s := *t.plan.everySite
	s.Line = t.line
	s.ID = strings.Clone(t.of("id"))
	if first, dup := t.seen[s.ID]; dup {
		t.bad("id", "found %q, which the site on line %d has already; want another", s.ID, first)
	} else if len(s.ID) > 60 || !siteID.MatchString(s.ID) {
		t.bad("id", "found %.80q, want a-z, 0-9 and single hyphens between them, such as cell-0412", s.ID)
	}
	t.seen[s.ID] = s.Line
	if s.Name = strings.Clone(t.of("name")); s.Name == "" {
		s.Name = s.ID
	}
	if err := problem.CheckText(s.Name, problem.MostName, false); err != nil {
		t.bad("name", "%v", err)
	}
	s.Latitude = t.number("latitude", t.of("latitude"), "decimal degrees, north positive")
	s.Longitude = t.number("longitude", t.of("longitude"), "decimal degrees, east positive")
	s.Elevation = t.elevation()
	if err := s.Check(); err != nil {
		t.bad("", "%v", err)
	}
	s.look()
	if zone := t.of("timezone"); zone != "" || s.Zone == nil {
		if _, known := t.zones[zone]; !known {
			loaded, err := loadZone(zone)
			if err != nil {
				t.bad("timezone", "%v", err)
			}
			t.zones[strings.Clone(zone)] = loaded
		}
		s.Zone = t.zones[zone]
	}
	return &s
}

// elevation returns the row's height in metres.
func (t *siteTable) elevation() float64 {
	column, text, unit := "elevation_m", t.of("elevation_m"), "m"
	switch {
	case t.has("elevation_ft"):
		column, text, unit = "elevation_ft", t.of("elevation_ft"), "ft"
	case t.has("elevation"):
		column = "elevation"
		text, unit, _ = strings.Cut(t.of("elevation"), " ")
	}
	switch strings.TrimSpace(unit) {
	case "m":
		return t.number(column, text, "metres")
	case "ft":
		return t.number(column, text, "feet") * 0.3048
	}
	t.bad(column, "found %.80q, want a height with its unit such as 350 m or 1150 ft", t.of(column))
	return 0
}

// number reads a number of the row.
func (t *siteTable) number(column, text, wanted string) float64 {
	f, err := strconv.ParseFloat(text, 64)
	if err != nil || f != f || strings.ContainsAny(text, "xXpP_iI") {
		t.bad(column, "found %.80q, want %s", text, wanted)
		return 0
	}
	return f
}

// countingReader counts what is read through it.
type countingReader struct {
	r io.Reader
	n int
}

func (c *countingReader) Read(b []byte) (int, error) {
	n, err := c.r.Read(b)
	c.n += n
	return n, err
}
