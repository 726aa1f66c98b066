package inputs_test

import (
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"treewhen/calendar/inputs"
	"treewhen/phenology/civil"
)

// patterned reads a plan whose temperatures are a list, in a folder with files of a year each.
func patterned(t *testing.T, list string, names ...string) (*inputs.Inputs, error) {
	t.Helper()
	dir := t.TempDir()
	write := func(name, text string) {
		path := filepath.Join(dir, name)
		if err := os.MkdirAll(filepath.Dir(path), 0o755); err != nil {
			t.Fatal(err)
		}
		if err := os.WriteFile(path, []byte(text), 0o644); err != nil {
			t.Fatal(err)
		}
	}
	for i, name := range names {
		write(name, "date,tmin_c,tmax_c\n"+civil.Of(2001+i, 3, 1).String()+",-4,5\n")
	}
	write("plan.yaml", `title: A plan
sites:
  - id: ridge
    latitude: 44.2
    longitude: -72.6
    elevation: 300 m
    timezone: America/New_York
    species: [red maple]
    temperatures: `+list+"\n")
	return inputs.Read(t.Context(), &inputs.Options{Plan: filepath.Join(dir, "plan.yaml"), Today: civil.Of(2027, 3, 12)})
}

// A pattern stands for the files that fit it, by name, with what the plan says of them; it leaves out what is no file to
// be read, and what the list names itself. What fits is known to who must notice that another does.
func TestPatterns(t *testing.T) {
	all := []string{"b-2.csv", "a-1.csv", "a-3.csv", "._a-1.csv", "old/a-2.csv", "a-4.csv/inside.csv", "c[1].csv", "d[.csv"}
	for _, tt := range []struct{ list, want string }{
		{`["?-*.csv"]`, "a-1.csv a-3.csv b-2.csv"},
		{`["*.csv", "a-*.csv"]`, "a-1.csv a-3.csv b-2.csv c[1].csv d[.csv"},
		{`["a-[12].csv"]`, "a-1.csv"},
		{`["a-*.csv", ./a-3.csv]`, "a-1.csv a-3.csv"},
		{`[a-3.csv, "a-*.csv"]`, "a-3.csv a-1.csv"},
		{`["old/*"]`, "old/a-2.csv"},
		{`["./a-*.csv"]`, "a-1.csv a-3.csv"},
		{`[{file: "a-*.csv", elevation: 120 m}]`, "a-1.csv a-3.csv"},
		{`["c[1].csv"]`, "c[1].csv"}, // the name of a file that is there
		{`["d[.csv"]`, "d[.csv"},
	} {
		in, err := patterned(t, tt.list, all...)
		if err != nil {
			t.Errorf("%s: %v", tt.list, err)
			continue
		}
		pl := in.Places[0]
		var names []string
		for i, src := range pl.Site.Temperatures {
			names = append(names, filepath.ToSlash(filepath.Clean(src.Path.Path)))
			if strings.Contains(tt.list, "120 m") && (src.Elevation == nil || *src.Elevation != 120) {
				t.Errorf("%s: %s lost its elevation", tt.list, src.Path.Path)
			}
			if got := pl.Records[i].Read().Series.First.Year(); got != 2001+slices.Index(all, names[i]) {
				t.Errorf("%s: the record beside %s is that of %d", tt.list, names[i], got)
			}
		}
		if got := strings.Join(names, " "); got != tt.want || len(pl.Records) != len(names) {
			t.Errorf("%s: found %s, want %s", tt.list, got, tt.want)
		}
		if len(in.Files) != len(names)+1 {
			t.Errorf("%s: read %v", tt.list, in.Files)
		}
	}

	in, err := patterned(t, `["a-*.csv"]`, "a-1.csv")
	if err != nil || len(in.Patterns) != 1 {
		t.Fatalf("found patterns %v, %v", in.Patterns, err)
	}
	before, err := in.Patterns[0].Files()
	if err != nil || !slices.Equal(before, in.Files[1:]) {
		t.Errorf("found %v, %v; want %v", before, err, in.Files[1:])
	}
	if err := os.WriteFile(filepath.Join(filepath.Dir(before[0]), "a-2.csv"), nil, 0o644); err != nil {
		t.Fatal(err)
	}
	if after, err := in.Patterns[0].Files(); err != nil || len(after) != 2 {
		t.Errorf("with another file, found %v, %v", after, err)
	}
}

// A pattern that no file fits, or that is none, is told with the plan's line; so it is in a plan that lies in no folder.
func TestPatternsRefused(t *testing.T) {
	for list, want := range map[string]string{
		`["a-*.csv"]`:      `a-*.csv", want one or more`,
		`["old*/a-1.csv"]`: "a pattern in the name of a folder",
		`["b-[.csv"]`:      "a bracket that is not closed",
		`["none/a*.csv"]`:  "none: no such file or directory",
	} {
		_, err := patterned(t, list, "b-1.csv", "old/a-1.csv")
		if err == nil || !strings.Contains(err.Error(), "plan.yaml:9: file: ") || !strings.Contains(err.Error(), want) {
			t.Errorf("%s: found %v, want line 9 and %q", list, err, want)
		}
	}
	there := files()
	for text, want := range map[string]string{"\"r*.csv\"": "", "\"x*.csv\"": "plan.yaml:4: file: found no file that fits"} {
		there["plan.yaml"].Data = []byte(strings.ReplaceAll(plan, "ridge.csv", text))
		_, err := inputs.Read(t.Context(), &inputs.Options{Plan: "plan.yaml", Demo: there, Today: civil.Of(2027, 3, 12)})
		if (err == nil) != (want == "") || err != nil && !strings.Contains(err.Error(), want) {
			t.Errorf("%s: found %v, want %q", text, err, want)
		}
	}
}
