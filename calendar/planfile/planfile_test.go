package planfile

import (
	"bytes"
	"encoding/csv"
	"errors"
	"flag"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"strconv"
	"strings"
	"testing"

	"treewhen/calendar"
	"treewhen/calendar/phrase"
	"treewhen/phenology/civil"
	"treewhen/phenology/problem"
	"treewhen/phenology/weather"
)

// The plan that the documentation shows must be read, and mean what it says.
func TestTheDocumentedPlan(t *testing.T) {
	p, err := Read(strings.NewReader(documentedPlan(t)), "doc.go")
	if err != nil {
		t.Fatal(err)
	}
	s := p.Sites[0]
	switch {
	case p.FeedID == nil || p.AsOf == nil || *p.AsOf != civil.Of(2027, 3, 5) || p.Observations.Path != "seen.csv":
		t.Errorf("plan: %+v", p)
	case p.Speech != (phrase.Speech{Units: phrase.US, Language: phrase.English}):
		t.Errorf("speech: %+v", p.Speech)
	case s.ID != "fallow-creek" || s.Elevation != 350 || s.Zone.String() != "America/Chicago":
		t.Errorf("site: %+v", s)
	case len(s.Temperatures) < 1 || *s.Temperatures[0].Elevation != 120 || s.Temperatures[0].Unit != weather.Celsius:
		t.Errorf("temperatures: %+v", s.Temperatures)
	case len(s.Species) != 2 || s.Species[1].Text != "red maple":
		t.Errorf("species: %+v", s.Species)
	case len(s.Activities) != 1 || s.Activities[0] != calendar.Tapping:
		t.Errorf("activities: %v", s.Activities)
	case s.Options.Tapping.Life() != 42 || s.Options.Twig.Closed[0].Days() != 16:
		t.Errorf("options: %+v", s.Options)
	}
}

// documentedPlan cuts the example plan out of the package's documentation.
func documentedPlan(t *testing.T) string {
	data, err := os.ReadFile("doc.go")
	if err != nil {
		t.Fatal(err)
	}
	var b strings.Builder
	whole, _, _ := strings.Cut(string(data), "// # Many sites")
	for line := range strings.Lines(whole) {
		if rest, ok := strings.CutPrefix(line, "//\t"); ok {
			b.WriteString(rest)
		}
	}
	// What stands in brackets there is a description, and one key needs twelve numbers.
	return strings.ReplaceAll(b.String(), "[12 numbers]", "[0, 0, 0, 0, 0, 0, 0, 0, 0, 0, 0, 0]")
}

// A thermometer on a valley's floor is told in the place of a station's name, which no agency gives, or beside one.
func TestValley(t *testing.T) {
	for text, want := range map[string]Source{
		"station: valley":                        {Valley: true},
		"station: USC00470000, setting: valley":  {Valley: true, Options: weather.Options{Station: "USC00470000"}},
		"station: USC00470000, setting: open":    {Options: weather.Options{Station: "USC00470000"}},
		"station: USC00470000, elevation: 120 m": {Options: weather.Options{Station: "USC00470000"}},
	} {
		p, err := Read(strings.NewReader("title: T\nsites:\n  - {id: a, latitude: 44, longitude: -72, elevation: 100 m, "+
			"timezone: UTC, temperatures: [{file: a.csv, "+text+"}]}\n"), "plan.yaml")
		if err != nil {
			t.Fatal(err)
		}
		if got := p.Sites[0].Temperatures[0]; got.Valley != want.Valley || got.Station != want.Station {
			t.Errorf("%s: found %+v", text, got)
		}
	}
}

// A site's options stand over the plan's, and do not reach other sites.
func TestOptionsOfASite(t *testing.T) {
	p, err := Read(strings.NewReader(`title: Two
activities:
  tapping: {notice: 3 days}
  field-trip: {closed: [2027-05-01]}
sites:
  - {id: a, latitude: 44, longitude: -72, elevation: 100 m, timezone: America/New_York,
     activities: {tapping: {taphole_life: 8 weeks}, field-trip: {closed: [2027-05-02]}}}
  - {id: b, latitude: 44, longitude: -72, elevation: 1000 ft, timezone: America/New_York,
     activities: {field-trip: {closed: [2027-05-03]}}}
`), "two.yaml")
	if err != nil {
		t.Fatal(err)
	}
	a, b := p.Sites[0], p.Sites[1]
	if o := a.Options.Tapping; o.Notice != 3 || o.Life() != 56 {
		t.Errorf("a: %+v", o)
	}
	if o := b.Options.Tapping; o.Notice != 3 || o.Life() != 42 {
		t.Errorf("b: %+v", o)
	}
	if len(a.Options.Trip.Closed) != 2 || a.Options.Trip.Closed[1].First != civil.Of(2027, 5, 2) ||
		len(b.Options.Trip.Closed) != 2 || b.Options.Trip.Closed[1].First != civil.Of(2027, 5, 3) {
		t.Errorf("closed: %v, %v", a.Options.Trip.Closed, b.Options.Trip.Closed)
	}
	if got := b.Elevation; got < 304.7 || got > 304.9 {
		t.Errorf("1000 ft are %v m", got)
	}
}

func TestObservations(t *testing.T) {
	list, err := ReadObservations(strings.NewReader("\ufeffnote,Phase,date,site,species\r\n\"half, or so\",leaf-fall,2026-10-30,here,red maple\r\n"), "seen.csv")
	if err != nil {
		t.Fatal(err)
	}
	if len(list) != 1 || list[0].Note != "half, or so" || list[0].Line != 2 || list[0].Date != civil.Of(2026, 10, 30) {
		t.Errorf("got %+v", list)
	}
	rows := strings.Repeat("2026-10-30,here,red maple,wrong,\n", 50_000)
	_, err = ReadObservations(strings.NewReader("date,site,species,phase,note\n"+rows), "seen.csv")
	var many problem.List
	if !errors.As(err, &many) || len(many) > maxWrong+1 {
		t.Errorf("fifty thousand broken rows give %d messages", len(many))
	}
}

func FuzzRead(f *testing.F) {
	flag.Set("test.fuzzminimizetime", "10x") // by default, a minute goes into each find and stops all else
	plans, _ := filepath.Glob("../../testdata/bad/plans/*.yaml")
	for _, path := range append(plans, "../../cmd/treewhen/demo/plan.yaml") {
		if data, err := os.ReadFile(path); err == nil {
			f.Add(data)
		}
	}
	f.Fuzz(func(t *testing.T, data []byte) {
		p, err := Read(bytes.NewReader(data), "fuzz.yaml")
		if err == nil {
			for _, s := range p.Sites {
				if s.Zone == nil || s.Check() != nil || s.ID == "" {
					t.Errorf("it let through %+v", s)
				}
			}
			return
		}
		checkProblems(t, err)
	})
}

func FuzzReadObservations(f *testing.F) {
	flag.Set("test.fuzzminimizetime", "10x") // by default, a minute goes into each find and stops all else
	seen, _ := filepath.Glob("../../testdata/bad/observations/*.csv")
	for _, path := range append(seen, "../../cmd/treewhen/demo/seen.csv") {
		if data, err := os.ReadFile(path); err == nil {
			f.Add(data)
		}
	}
	f.Fuzz(func(t *testing.T, data []byte) {
		list, err := ReadObservations(bytes.NewReader(data), "fuzz.csv")
		if err != nil {
			checkProblems(t, err)
			return
		}
		// Written and read again, they are the same rows.
		var b bytes.Buffer
		w := csv.NewWriter(&b)
		w.Write([]string{"date", "site", "species", "phase", "crop", "note"})
		for _, o := range list {
			phase := ""
			if o.HasPhase {
				phase = o.Phase.String()
			}
			w.Write([]string{o.Date.String(), o.Site, o.Species, phase, string(o.Crop), o.Note})
		}
		w.Flush()
		again, err := ReadObservations(&b, "again.csv")
		if err != nil || len(again) != len(list) {
			t.Fatalf("%d rows, written and read again %d: %v", len(list), len(again), err)
		}
		for i := range list {
			again[i].Line = list[i].Line
			if again[i] != list[i] {
				t.Errorf("row %d: %+v, written and read again %+v", i+1, list[i], again[i])
			}
		}
	})
}

// checkProblems checks that an error names the file and, unless the file as a whole is to blame, a line.
func checkProblems(t *testing.T, err error) {
	var list problem.List
	if !errors.As(err, &list) {
		t.Fatalf("%v is no list of problems", err)
	}
	for _, p := range list {
		if p.File == "" || p.Text == "" || p.Line < 0 {
			t.Errorf("it says too little: %+v", p)
		}
	}
}

const gridPlan = `title: A grid
sites_from: grid.csv
every_site: {timezone: America/Chicago, species: [red maple], activities: [seed-collection], temperatures: [{file: county.csv, elevation: 120 m}]}
`

// A table adds sites that have what the plan gives them all.
func TestSitesFromATable(t *testing.T) {
	p, err := Read(strings.NewReader(gridPlan), "plan.yaml")
	if err != nil {
		t.Fatal(err)
	}
	if p.SitesFrom == nil || p.SitesFrom.Path != "grid.csv" || p.SitesFrom.Line != 2 {
		t.Fatalf("found %+v", p.SitesFrom)
	}
	if err := p.AddSites(strings.NewReader("\ufeffname,id,longitude,latitude,elevation_ft,timezone,owner\nThe first,a-1,-89.5,44.5,1000,,x\n,a-2,-74,45.5,0,America/Toronto\n"), "grid.csv"); err != nil {
		t.Fatal(err)
	}
	a, b := p.Sites[0], p.Sites[1]
	if a.Name != "The first" || a.Latitude != 44.5 || a.Longitude != -89.5 || a.Elevation != 304.8 || a.Zone.String() != "America/Chicago" || a.Line != 2 ||
		len(a.Temperatures) != 1 || *a.Temperatures[0].Elevation != 120 || len(a.Activities) != 1 || len(a.Species) != 1 {
		t.Errorf("the first: %+v", a)
	}
	if b.Name != "a-2" || b.Zone.String() != "America/Toronto" || b.ID != "a-2" {
		t.Errorf("the second: %+v", b)
	}
}

// The limits that are stated hold, and are told.
func TestStatedLimits(t *testing.T) {
	row := "2026-10-30,here,red maple,leaf-fall," + strings.Repeat("x", 4000) + "\n"
	for _, tt := range []struct {
		name, want string
		err        func() error
	}{
		{"the bytes of a plan", "found more than 16777216 bytes", func() error {
			_, err := Read(&endless{line: "# ring\n"}, "plan.yaml")
			return err
		}},
		{"the sites of a plan", "found 100001 sites, want 100000 at most", func() error {
			var b strings.Builder
			b.WriteString("title: x\nsites:\n")
			for i := range MaxSites + 1 {
				fmt.Fprintf(&b, "- {id: s-%d, latitude: 44, longitude: -72, elevation: 9 m, timezone: UTC}\n", i)
			}
			_, err := Read(strings.NewReader(b.String()), "plan.yaml")
			return err
		}},
		{"observations", "found more than 67108864 bytes", func() error {
			_, err := ReadObservations(io.MultiReader(strings.NewReader("date,site,species,phase,note\n"), &endless{line: row}), "seen.csv")
			return err
		}},
		{"the bytes of a table", "found more than 32 MiB", func() error {
			p, _ := Read(strings.NewReader(gridPlan), "plan.yaml")
			return p.AddSites(io.MultiReader(strings.NewReader("id,latitude,longitude,elevation_m\n"), &endless{line: " "}), "grid.csv")
		}},
		{"the sites of a table", "found more than 100000 sites", func() error {
			p, _ := Read(strings.NewReader(gridPlan), "plan.yaml")
			var b strings.Builder
			b.WriteString("id,latitude,longitude,elevation_m\n")
			for i := range MaxSites + 1 {
				fmt.Fprintf(&b, "s-%d,44,-72,9\n", i)
			}
			return p.AddSites(strings.NewReader(b.String()), "grid.csv")
		}},
	} {
		if err := tt.err(); err == nil || !strings.Contains(err.Error(), tt.want) {
			t.Errorf("%s: %v, want %q", tt.name, err, tt.want)
		}
	}
}

// endless is a file of one line for ever.
type endless struct{ line string }

func (e *endless) Read(b []byte) (int, error) {
	n := 0
	for n < len(b) {
		n += copy(b[n:], e.line)
	}
	return n, nil
}

func FuzzAddSites(f *testing.F) {
	flag.Set("test.fuzzminimizetime", "10x") // by default, a minute goes into each find and stops all else
	f.Add([]byte("id,latitude,longitude,elevation_m,timezone,name\na-1,44,-72,300,America/New_York,One\n"))
	f.Add([]byte("id,latitude,longitude,elevation,timezone\na,44,-72,300 ft,\na,91,181,1e9 m,Local\n\"b,,,,"))
	f.Fuzz(func(t *testing.T, data []byte) {
		p, err := Read(strings.NewReader(gridPlan), "plan.yaml")
		if err != nil {
			t.Fatal(err)
		}
		if err := p.AddSites(bytes.NewReader(data), "fuzz.csv"); err != nil {
			checkProblems(t, err)
			return
		}
		seen := map[string]bool{}
		var b bytes.Buffer
		w := csv.NewWriter(&b)
		w.Write([]string{"id", "latitude", "longitude", "elevation_m", "timezone", "name"})
		for _, s := range p.Sites {
			if s.Zone == nil || s.Check() != nil || !siteID.MatchString(s.ID) || seen[s.ID] {
				t.Errorf("it let through %+v", s)
			}
			seen[s.ID] = true
			g := func(f float64) string { return strconv.FormatFloat(f, 'g', -1, 64) }
			w.Write([]string{s.ID, g(s.Latitude), g(s.Longitude), g(s.Elevation), s.Zone.String(), s.Name})
		}
		w.Flush()
		again, _ := Read(strings.NewReader(gridPlan), "plan.yaml")
		if err := again.AddSites(&b, "again.csv"); err != nil || len(again.Sites) != len(p.Sites) {
			t.Fatalf("%d sites, written and read again %d: %v", len(p.Sites), len(again.Sites), err)
		}
		for i, s := range p.Sites {
			s.Site.Zone, again.Sites[i].Site.Zone = nil, nil
			if s.Site != again.Sites[i].Site {
				t.Errorf("%+v, written and read again %+v", s.Site, again.Sites[i].Site)
			}
		}
	})
}

// A list of temperatures has a name, under which several sites take it, among others of their own.
func TestTemperatureSets(t *testing.T) {
	const site = "  - {id: %s, name: A, latitude: 44, longitude: -72, elevation: 300 m, timezone: America/New_York, temperatures: [%s]}\n"
	text := "title: Two bushes\ntemperature_sets:\n  house: [a.csv, {file: b.csv, unit: F}]\nsites:\n" +
		fmt.Sprintf(site, "one", "{set: house}") + fmt.Sprintf(site, "two", "own.csv, {set: house}")
	p, err := Read(strings.NewReader(text), "plan.yaml")
	if err != nil {
		t.Fatal(err)
	}
	for i, want := range []string{"a.csv b.csv", "own.csv a.csv b.csv"} {
		var got []string
		for _, s := range p.Sites[i].Temperatures {
			got = append(got, s.Path.Path)
		}
		if strings.Join(got, " ") != want {
			t.Errorf("site %d: found %v, want %s", i, got, want)
		}
	}
}
