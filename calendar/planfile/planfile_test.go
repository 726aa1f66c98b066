package planfile

import (
	"bytes"
	"errors"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"treewhen/calendar"
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
	for line := range strings.Lines(string(data)) {
		if rest, ok := strings.CutPrefix(line, "//\t"); ok {
			b.WriteString(rest)
		}
	}
	// What stands in brackets there is a description, and one key needs twelve numbers.
	return strings.ReplaceAll(b.String(), "[12 numbers]", "[0, 0, 0, 0, 0, 0, 0, 0, 0, 0, 0, 0]")
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
	seen, _ := filepath.Glob("../../testdata/bad/observations/*.csv")
	for _, path := range append(seen, "../../cmd/treewhen/demo/seen.csv") {
		if data, err := os.ReadFile(path); err == nil {
			f.Add(data)
		}
	}
	f.Fuzz(func(t *testing.T, data []byte) {
		if _, err := ReadObservations(bytes.NewReader(data), "fuzz.csv"); err != nil {
			checkProblems(t, err)
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
