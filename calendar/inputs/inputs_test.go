package inputs_test

import (
	"errors"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"testing/fstest"

	"treewhen/calendar/doubts"
	"treewhen/calendar/inputs"
	"treewhen/phenology/civil"
	"treewhen/phenology/problem"
)

const plan = `title: A plan
observations: seen.csv
sites:
  - {id: ridge, latitude: 44.2, longitude: -72.6, elevation: 300 m, timezone: America/New_York, species: [red maple], temperatures: [ridge.csv]}
  - {id: south, latitude: -41.5, longitude: 146, elevation: 100 m, timezone: Australia/Hobart, species: [Norway maple]}
  - {id: far, latitude: 60, longitude: -94, elevation: 90 m, timezone: America/Winnipeg, species: [white oak]}
  - {id: park, latitude: 44.48, longitude: -73.21, elevation: 60 m, timezone: America/New_York, species: [Norway maple]}
`

func files() fstest.MapFS {
	return fstest.MapFS{
		"plan.yaml": {Data: []byte(plan)},
		"seen.csv": {Data: []byte(
			"date,site,species,phase\n2026-04-20,ridge,red maple,flowering\n2027-04-20,ridge,red maple,flowering\n",
		)},
		"ridge.csv": {Data: []byte("date,tmin_c,tmax_c\n2026-03-01,-4,5\n2026-03-02,-3,6\n")},
	}
}

// Nothing of a day after the as-of day is looked at, a record is read once, and who asks for a site has that one alone.
func TestRead(t *testing.T) {
	asOf := civil.Of(2026, 12, 31)
	var said []string
	in, err := inputs.Read(t.Context(), &inputs.Options{
		Plan: "plan.yaml", Demo: files(), AsOf: &asOf, Sites: []string{"ridge"},
		Say: func(format string, args ...any) { said = append(said, format) },
	})
	if err != nil {
		t.Fatal(err)
	}
	if len(in.Places) != 1 || len(in.Sightings) != 1 || in.AsOf != asOf || len(in.Files) != 0 || len(said) != 1 {
		t.Errorf("found %d sites, %d sightings, files %v, and it said %q", len(in.Places), len(in.Sightings), in.Files, said)
	}
	if temps := in.Temperatures(in.Places[0]); temps == nil || temps.Observed() != civil.Of(2026, 3, 2) {
		t.Errorf("found temperatures %v", temps)
	}
	if first, again := in.Join(in.Places[0]), in.Join(in.Places[0]); first != again {
		t.Error("the same files are joined twice")
	}
}

// What cannot be had is told by the kind of error: an option's value, or a place in a file.
func TestReadRefuses(t *testing.T) {
	dir := t.TempDir()
	piped := filepath.Join(dir, "piped.yaml")
	if err := os.WriteFile(
		piped, []byte(strings.ReplaceAll(strings.ReplaceAll(plan, "ridge.csv", "\"-\""), "observations: seen.csv\n", "")),
		0o644,
	); err != nil {
		t.Fatal(err)
	}
	from, to := civil.Of(2027, 3, 1), civil.Of(2027, 2, 1)
	late := civil.Of(2040, 1, 1)
	for _, tt := range []struct {
		o     inputs.Options
		want  string
		usage bool
	}{
		{inputs.Options{Sites: []string{"rigde"}}, `--site: found "rigde", want one of ridge, south, far, park`, true},
		{inputs.Options{Activities: []string{"fishing"}}, "--activity: ", true},
		{inputs.Options{Species: []string{"red mapel"}}, "--species: ", true},
		{inputs.Options{Species: []string{"box elder"}}, "--species: no site chosen has box elder", true},
		{inputs.Options{Season: 1492}, "--season: found 1492, want a year from 1800 to 2200", true},
		{
			inputs.Options{From: &from, To: &to}, "found days from 2027-03-01 to 2027-02-01, want the last day after the first",
			true,
		},
		{inputs.Options{From: &from, To: &late}, "want ten years at most", true},
		{inputs.Options{Profiles: filepath.Join(dir, "none")}, "none: no such file", false},
		{inputs.Options{Plan: piped}, piped + ":3: file: found standard input, which can be read only once", false},
	} {
		if tt.o.Plan == "" {
			tt.o.Plan, tt.o.Demo = "plan.yaml", files()
		}
		_, err := inputs.Read(t.Context(), &tt.o)
		var usage problem.Usage
		if err == nil || !strings.Contains(err.Error(), tt.want) || errors.As(err, &usage) != tt.usage {
			t.Errorf("found %v, want %q, of an option %v", err, tt.want, tt.usage)
		}
	}
}

// A season ends with the year, and where a site of the plan is in the south half a year on.
func TestDays(t *testing.T) {
	for site, last := range map[string]civil.Date{"ridge": civil.Of(2027, 12, 31), "south": civil.Of(2028, 6, 30)} {
		o := inputs.Options{Plan: "plan.yaml", Demo: files(), Sites: []string{site}, Season: 2027}
		in, err := inputs.Read(t.Context(), &o)
		if err != nil {
			t.Fatal(err)
		}
		if days, err := o.Days(in); err != nil || days != (civil.Span{First: civil.Of(2027, 1, 1), Last: last}) {
			t.Errorf("%s: found %s, %v", site, days, err)
		}
	}
}

// A species that may not be collected in its state is doubtful, and so is one that is far from home; elsewhere neither is.
func TestDoubts(t *testing.T) {
	in, err := inputs.Read(t.Context(), &inputs.Options{Plan: "plan.yaml", Demo: files(), Today: civil.Of(2027, 3, 12)})
	if err != nil {
		t.Fatal(err)
	}
	found := map[string]int{}
	for _, d := range doubts.OfSpecies(in) {
		kind := "range"
		if d.Rule != nil {
			kind = d.Rule.Where
		}
		found[d.Place.Site.ID+" "+d.Species.ID+" "+kind]++
	}
	if len(found) != 2 || found["park acer-platanoides Vermont"] != 1 || found["far quercus-alba range"] != 1 {
		t.Errorf("found %v", found)
	}
}
