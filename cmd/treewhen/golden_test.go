package main

import (
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
)

// The demonstration's outputs are kept whole in testdata/demo, so that a change of what users see is seen in review.
// They are written anew with -update; read the difference before you commit it.
func TestDemonstrationPrintsWhatIsKept(t *testing.T) {
	golden, err := filepath.Abs("../../testdata/demo")
	if err != nil {
		t.Fatal(err)
	}
	dir := t.TempDir()
	for _, g := range []struct{ name, args string }{
		{"schedule.txt", "schedule"},
		{"schedule.csv", "schedule --format csv"},
		{"schedule.json", "schedule --format json --site kettle-ridge"},
		{"schedule-details.txt", "schedule --details --site weir-street"},
		{"phases.csv", "phases --format csv"},
		{"sap.txt", "sap"},
		{"workload.txt", "workload"},
		{"sheet.txt", "sheet"},
		{"check.txt", "check"},
		{"sugar-maple.txt", "species sugar-maple"},
	} {
		t.Run(g.name, func(t *testing.T) { comparePrinted(t, dir, filepath.Join(golden, g.name), g.args) })
	}
	t.Run("feeds", func(t *testing.T) {
		if code, _, stderr := run(t, dir, "feed", "--out", "cal"); code != exitDone {
			t.Fatal(stderr)
		}
		for _, name := range []string{"kettle-ridge.ics", "weir-street.ics"} {
			data, err := os.ReadFile(filepath.Join(dir, "cal", name))
			if err != nil {
				t.Fatal(err)
			}
			compareGolden(t, filepath.Join(golden, name), string(data))
		}
	})
}

// comparePrinted compares what a command prints in a folder with a file.
func comparePrinted(t *testing.T, dir, path, args string) {
	t.Helper()
	code, got, stderr := run(t, dir, strings.Fields(args)...)
	if code != exitDone {
		t.Fatal(stderr)
	}
	compareGolden(t, path, got)
}

func compareGolden(t *testing.T, path, got string) {
	t.Helper()
	if *update {
		if err := os.MkdirAll(filepath.Dir(path), 0o755); err != nil {
			t.Fatal(err)
		}
		if err := os.WriteFile(path, []byte(got), 0o644); err != nil {
			t.Fatal(err)
		}
	}
	want, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	if diff := cmp.Diff(string(want), got); diff != "" {
		kept := filepath.Join(t.ArtifactDir(), filepath.Base(path))
		_ = os.WriteFile(kept, []byte(got), 0o644)
		t.Errorf("%s (-kept +printed; what was printed is in %s with -artifacts):\n%s", path, kept, diff)
	}
}
