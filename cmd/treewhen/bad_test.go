package main

import (
	"bytes"
	"context"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"

	"treewhen/phenology/civil"
)

// run runs the program in this process, in a folder, and returns its status and what it wrote.
func run(t *testing.T, dir string, args ...string) (code int, stdout, stderr string) {
	t.Helper()
	t.Chdir(dir)
	return runHere(args...)
}

// runHere is run in the folder that the process is in.
func runHere(args ...string) (code int, stdout, stderr string) {
	var out, errs bytes.Buffer
	p := &program{stdin: strings.NewReader(""), stdout: &out, stderr: &errs, today: civil.Of(2027, 3, 12)}
	code = p.run(context.Background(), args)
	return code, out.String(), errs.String()
}

const goodPlan = `title: A plan
observations: %OBSERVATIONS%
sites:
  - id: here
    latitude: 44.2
    longitude: -72.6
    elevation: 300 m
    timezone: America/New_York
    species: [red maple]
    temperatures: [%TEMPERATURES%]
`

// Every broken file of every kind must be refused by the program as a whole: status 1, the one message that stands
// beside it, nothing on standard output, and no file made or changed.
func TestBrokenInputIsRefused(t *testing.T) {
	for _, kind := range []struct {
		folder string
		plan   func(name string) string // the plan that names the broken file; nil: the file is the plan
	}{
		{"plans", nil},
		{"observations", func(name string) string {
			return strings.ReplaceAll(strings.ReplaceAll(goodPlan, "%OBSERVATIONS%", name), "    temperatures: [%TEMPERATURES%]\n", "")
		}},
		{"temperatures", func(name string) string {
			return strings.ReplaceAll(strings.ReplaceAll(goodPlan, "observations: %OBSERVATIONS%\n", ""), "%TEMPERATURES%", name)
		}},
		{"normals", func(name string) string {
			return strings.ReplaceAll(strings.ReplaceAll(goodPlan, "observations: %OBSERVATIONS%\n", ""), "temperatures: [%TEMPERATURES%]", "normals: {file: "+name+"}")
		}},
		{"calendars", func(name string) string {
			return strings.ReplaceAll(strings.ReplaceAll(goodPlan, "observations: %OBSERVATIONS%\n", "activities: {field-trip: {busy: ["+name+"]}}\n"), "    temperatures: [%TEMPERATURES%]\n", "")
		}},
		{"lots", func(name string) string {
			return strings.ReplaceAll(strings.ReplaceAll(goodPlan, "observations: %OBSERVATIONS%", "lots: "+name), "    temperatures: [%TEMPERATURES%]\n", "")
		}},
		{"tables", func(name string) string {
			return "title: A plan\nsites_from: " + name + "\nevery_site: {species: [red maple]}\n"
		}},
		{"profiles", nil},
	} {
		folder, err := filepath.Abs(filepath.Join("../../testdata/bad", kind.folder))
		if err != nil {
			t.Fatal(err)
		}
		entries, err := os.ReadDir(folder)
		if err != nil {
			t.Fatal(err)
		}
		for _, e := range entries {
			if strings.HasSuffix(e.Name(), ".want") || e.IsDir() {
				continue
			}
			t.Run(kind.folder+"/"+e.Name(), func(t *testing.T) {
				data, err := os.ReadFile(filepath.Join(folder, e.Name()))
				if err != nil {
					t.Fatal(err)
				}
				dir := t.TempDir()
				write := func(name string, data []byte) {
					if err := os.WriteFile(filepath.Join(dir, name), data, 0o644); err != nil {
						t.Fatal(err)
					}
				}
				name := e.Name()
				args := []string{"feed", name, "--out", "out"}
				switch {
				case kind.folder == "profiles":
					if err := os.Mkdir(filepath.Join(dir, "own"), 0o755); err != nil {
						t.Fatal(err)
					}
					write(filepath.Join("own", name), data)
					args = []string{"feed", "--profiles", "own", "--out", "out"}
				case kind.plan != nil:
					write(name, data)
					write("plan.yaml", []byte(kind.plan(name)))
					args = []string{"feed", "plan.yaml", "--out", "out"}
				default:
					write(name, data)
				}
				code, stdout, stderr := run(t, dir, args...)
				if code != exitFailed {
					t.Errorf("status %d, want %d", code, exitFailed)
				}
				if stdout != "" {
					t.Errorf("standard output: %q, want nothing", stdout)
				}
				if _, err := os.Stat(filepath.Join(dir, "out")); err == nil {
					t.Error("it made the output folder")
				}
				got := withoutHints(stderr)
				wantPath := filepath.Join(folder, name+".want")
				if kind.folder == "profiles" {
					wantPath = filepath.Join(folder, strings.TrimSuffix(name, ".yaml")+".want")
				}
				if *update && kind.folder != "temperatures" && kind.folder != "profiles" {
					if err := os.WriteFile(wantPath, []byte(got), 0o644); err != nil {
						t.Fatal(err)
					}
				}
				want, err := os.ReadFile(wantPath)
				if err != nil {
					t.Fatal(err)
				}
				wantText := string(want)
				if kind.folder == "profiles" {
					got = strings.ReplaceAll(got, "own/", "")
				}
				if diff := cmp.Diff(wantText, got); diff != "" {
					t.Errorf("(-want +got):\n%s", diff)
				}
			})
		}
	}
}

// withoutHints returns the messages alone, without the program's name before them.
func withoutHints(stderr string) string {
	var b strings.Builder
	for line := range strings.Lines(stderr) {
		line = strings.TrimPrefix(line, "treewhen: ")
		if !strings.HasPrefix(line, "hint: ") {
			b.WriteString(line)
		}
	}
	return b.String()
}
