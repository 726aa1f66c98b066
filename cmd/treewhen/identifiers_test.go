package main

import (
	"maps"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"
)

// Identifiers in published calendars never change: every one of the demonstration and of the worked cases, of
// calendars, events and alarms, is kept in testdata/identifiers as it was first published. A file of that folder is
// never written anew; lines are added to it when a case is.
func TestIdentifiersAreThoseFirstPublished(t *testing.T) {
	root, err := filepath.Abs("../../testdata")
	if err != nil {
		t.Fatal(err)
	}
	for _, c := range []struct {
		name, plan string
		days       []string
	}{
		{"demo", "", []string{"2027-02-01", "2027-03-12", "2027-06-01", "2027-10-01"}},
		{"nursery", "plan.yaml", []string{"2029-03-01", "2029-06-21", "2029-08-20"}},
		{"school", "plan.yaml", []string{"2029-08-20", "2030-04-22"}},
		{"sugarbush", "plan.yaml", []string{"2031-01-10", "2031-02-27", "2031-03-05", "2031-03-20"}},
		{"early-spring", "plan.yaml", []string{"2012-02-20", "2012-03-12"}},
	} {
		t.Run(c.name, func(t *testing.T) {
			dir := t.TempDir()
			if c.plan != "" {
				if err := os.CopyFS(dir, os.DirFS(filepath.Join(root, "cases", c.name))); err != nil {
					t.Fatal(err)
				}
			}
			found := map[string]bool{}
			for _, day := range c.days {
				args := []string{"feed", "--as-of", day, "--out", "cal-" + day}
				if c.plan != "" {
					args = append(args, c.plan)
				}
				if code, _, stderr := run(t, dir, args...); code != exitDone {
					t.Fatal(stderr)
				}
				files, err := filepath.Glob(filepath.Join(dir, "cal-"+day, "*.ics"))
				if err != nil || len(files) == 0 {
					t.Fatalf("no feeds as of %s: %v", day, err)
				}
				for _, file := range files {
					data, err := os.ReadFile(file)
					if err != nil {
						t.Fatal(err)
					}
					for line := range strings.SplitSeq(string(data), "\r\n") {
						if uid, ok := strings.CutPrefix(line, "UID:"); ok {
							found[day+" "+filepath.Base(file)+" "+uid] = true
						}
					}
				}
			}
			compareGolden(t, filepath.Join(root, "identifiers", c.name+".txt"), strings.Join(slices.Sorted(maps.Keys(found)), "\n")+"\n")
		})
	}
}
