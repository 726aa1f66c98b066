package planfile

import (
	"encoding/csv"
	"errors"
	"fmt"
	"io"
	"slices"
	"strconv"
	"strings"
	"time"

	"treewhen/calendar"
	"treewhen/phenology/problem"
	"treewhen/profiles/strictyaml"
)

// MaxTable is how large a table of sites may be, in bytes.
const MaxTable = 32 << 20

// tableColumns are the columns of a table of sites that are read; others are left alone.
var tableColumns = []string{"id", "name", "latitude", "longitude", "elevation", "elevation_m", "elevation_ft",
	"timezone"}

// readSitesFrom reads where more sites are listed, and what all of them have.
func readSitesFrom(m *strictyaml.Map, p *Plan, options calendar.Options, sets map[string][]Source) {
	if v, ok := m.Get("sites_from"); ok {
		if text, ok := v.Text(); ok {
			p.SitesFrom = &Path{text, v.Line()}
		}
	}
	every, ok := m.Map("every_site")
	p.everySite = &Site{Options: options, Activities: calendar.Activities()}
	if !ok {
		return
	}
	if !m.Has("sites_from") {
		m.ReportKey("every_site", "found it without sites_from, want both or neither")
	}
	if zone, ok := strictyaml.GetAs(every, "timezone", loadZone); ok {
		p.everySite.Zone = zone
	}
	readShared(every, p.everySite, sets)
	every.Done()
}

// AddSites reads the table of sites that the plan names, of [MaxTable] bytes at most, and adds its sites to the plan's
// own, in the table's order; together they may be [MaxSites]. Everything wrong with it comes back at once, as a
// [problem.List]. It reads row by row: what it keeps of a row is a site.
func (p *Plan) AddSites(r io.Reader, name string) error {
	t := table{plan: p, name: name, zones: map[string]*time.Location{}, seen: map[string]int{}}
	size := &countingReader{r: io.LimitReader(r, MaxTable+1)}
	t.rows = csv.NewReader(size)
	t.rows.FieldsPerRecord = -1
	t.rows.TrimLeadingSpace = true
	t.rows.ReuseRecord = true
	inPlan := map[string]bool{}
	for _, s := range p.Sites {
		inPlan[s.ID] = true
	}
	if !t.header() {
		return t.wrong.Err()
	}
	before := len(p.Sites)
	for {
		row, err := t.rows.Read()
		if size.n > MaxTable {
			t.wrong.Add(name, 0, "", "found more than %d MiB, want a table of sites of %d MiB at most", MaxTable>>20,
				MaxTable>>20)
			break
		}
		if errors.Is(err, io.EOF) {
			break
		}
		var bad *csv.ParseError
		if errors.As(err, &bad) {
			t.wrong.Add(name, bad.Line, "", "found a row that is no CSV (%v), want one site a row", bad.Err)
			break
		}
		if err != nil {
			return fmt.Errorf("%s: %w", name, err)
		}
		s := t.site(row)
		if inPlan[s.ID] {
			t.wrong.Add(name, s.Line, "id", "found %q, which the plan has already under sites; want another", s.ID)
		}
		p.Sites = append(p.Sites, s)
		if len(p.Sites) > MaxSites {
			t.wrong.Add(name, s.Line, "", "found more than %d sites, want fewer; cut the table and run the parts one "+
				"by one", MaxSites)
			break
		}
		if len(t.wrong) >= maxWrong {
			t.wrong.Add(name, s.Line, "", "more is wrong further down; mend this first")
			break
		}
	}
	if len(t.wrong) == 0 && len(p.Sites) == before {
		t.wrong.Add(name, 1, "", "found a header and no site, want one site a row")
	}
	return t.wrong.Err()
}

// table is a table of sites as it is read.
type table struct {
	plan   *Plan
	name   string
	rows   *csv.Reader
	column map[string]int
	zones  map[string]*time.Location
	seen   map[string]int // line by id
	wrong  problem.List
}

// header reads the first row, and reports whether sites can be read by it.
func (t *table) header() bool {
	header, err := t.rows.Read()
	if err != nil {
		t.wrong.Add(t.name, 1, "", "found %s, want a header: id,latitude,longitude,elevation_m,timezone", what(err))
		return false
	}
	t.column = map[string]int{}
	for i, h := range header {
		h = strings.ToLower(strings.TrimSpace(strings.TrimPrefix(h, "\ufeff")))
		if _, dup := t.column[h]; dup && slices.Contains(tableColumns, h) {
			t.wrong.Add(t.name, 1, h, "found this column twice, want it once")
		}
		t.column[h] = i
	}
	var missing []string
	for _, c := range []string{"id", "latitude", "longitude"} {
		if !t.has(c) {
			missing = append(missing, c)
		}
	}
	heights := 0
	for _, c := range []string{"elevation", "elevation_m", "elevation_ft"} {
		if t.has(c) {
			heights++
		}
	}
	if heights == 0 {
		missing = append(missing, "elevation_m or elevation_ft")
	}
	if !t.has("timezone") && t.plan.everySite.Zone == nil {
		missing = append(missing, "timezone, which every_site may give instead")
	}
	if len(missing) > 0 {
		t.wrong.Add(t.name, 1, "", "found a header without %s: %.200q, want "+
			"id,latitude,longitude,elevation_m,timezone and if wanted name",
			strings.Join(missing, ", "), strings.Join(header, ","))
	}
	if heights > 1 {
		t.wrong.Add(t.name, 1, "elevation", "found %d columns of elevation, want one", heights)
	}
	return len(t.wrong) == 0
}

func (t *table) has(column string) bool {
	_, ok := t.column[column]
	return ok
}

// site reads a row. What is wrong with it is noted.
func (t *table) site(row []string) *Site {
	s := *t.plan.everySite
	s.Line, _ = t.rows.FieldPos(0)
	cell := func(c string) string {
		if i, ok := t.column[c]; ok && i < len(row) {
			return strings.TrimSpace(row[i])
		}
		return ""
	}
	s.ID = strings.Clone(cell("id"))
	if first, dup := t.seen[s.ID]; dup {
		t.wrong.Add(t.name, s.Line, "id", "found %q, which the site on line %d has already; want another", s.ID, first)
	} else if len(s.ID) > 60 || !siteID.MatchString(s.ID) {
		t.wrong.Add(t.name, s.Line, "id", "found %.80q, want a-z, 0-9 and single hyphens between them, such as "+
			"cell-0412", s.ID)
	}
	t.seen[s.ID] = s.Line
	if s.Name = strings.Clone(cell("name")); s.Name == "" {
		s.Name = s.ID
	}
	if err := problem.CheckText(s.Name, problem.MostName, false); err != nil {
		t.wrong.Add(t.name, s.Line, "name", "%v", err)
	}
	s.Latitude = t.number(s.Line, "latitude", cell("latitude"), "decimal degrees, north positive")
	s.Longitude = t.number(s.Line, "longitude", cell("longitude"), "decimal degrees, east positive")
	switch {
	case t.has("elevation_m"):
		s.Elevation = t.number(s.Line, "elevation_m", cell("elevation_m"), "metres")
	case t.has("elevation_ft"):
		s.Elevation = t.number(s.Line, "elevation_ft", cell("elevation_ft"), "feet") * 0.3048
	default:
		number, unit, _ := strings.Cut(cell("elevation"), " ")
		switch strings.TrimSpace(unit) {
		case "m":
			s.Elevation = t.number(s.Line, "elevation", number, "metres")
		case "ft":
			s.Elevation = t.number(s.Line, "elevation", number, "feet") * 0.3048
		default:
			t.wrong.Add(t.name, s.Line, "elevation", "found %.80q, want a height with its unit such as 350 m or 1150 "+
				"ft", cell("elevation"))
		}
	}
	if err := s.Check(); err != nil {
		t.wrong.Add(t.name, s.Line, "", "%v", err)
	}
	s.look()
	if zone := cell("timezone"); zone != "" || s.Zone == nil {
		if _, known := t.zones[zone]; !known {
			loaded, err := loadZone(zone)
			if err != nil {
				t.wrong.Add(t.name, s.Line, "timezone", "%v", err)
			}
			t.zones[strings.Clone(zone)] = loaded
		}
		s.Zone = t.zones[zone]
	}
	return &s
}

func (t *table) number(line int, column, text, wanted string) float64 {
	f, err := strconv.ParseFloat(text, 64)
	if err != nil || f != f || strings.ContainsAny(text, "xXpP_iI") {
		t.wrong.Add(t.name, line, column, "found %.80q, want %s", text, wanted)
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
