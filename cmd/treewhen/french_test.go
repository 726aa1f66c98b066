package main

import (
	"os"
	"path/filepath"
	"strings"
	"testing"

	"treewhen/calendar/icslint"
)

// frenchCase copies the sap producer's case into a folder as a plan that speaks French, and returns the folder.
func frenchCase(t *testing.T) string {
	t.Helper()
	dir := t.TempDir()
	if err := os.CopyFS(dir, os.DirFS(filepath.Join("..", "..", "testdata", "cases", "sugarbush"))); err != nil {
		t.Fatal(err)
	}
	data, err := os.ReadFile(filepath.Join(dir, "plan.yaml"))
	if err != nil {
		t.Fatal(err)
	}
	plan := strings.NewReplacer(
		"title: Pike Hollow, two bushes and one crew", "title: Rang Aldous, deux érablières, une équipe\nlanguage: fr",
		"name: Home bush", "name: Érablière de la maison", "name: Ridge bush", "name: Érablière de la crête",
	).Replace(string(data))
	if strings.Count(plan, "ablière") != 3 {
		t.Fatal("the case's names have changed")
	}
	if err := os.WriteFile(filepath.Join(dir, "plan.yaml"), []byte(plan), 0o644); err != nil {
		t.Fatal(err)
	}
	return dir
}

// What a producer in Quebec gets is kept whole in testdata/french, as are the demonstration's outputs in testdata/demo.
func TestFrenchPrintsWhatIsKept(t *testing.T) {
	golden, err := filepath.Abs("../../testdata/french")
	if err != nil {
		t.Fatal(err)
	}
	dir := frenchCase(t)
	for _, g := range []struct{ name, args string }{
		{"sap.txt", "sap plan.yaml --as-of 2031-02-27"},
		{"season.txt", "sap plan.yaml --as-of 2031-04-20 --season 2030 --site ridge-bush"},
		{"schedule.txt", "schedule plan.yaml --as-of 2031-02-27 --chart"},
		{"alerts.txt", "alerts plan.yaml --as-of 2031-03-05"},
	} {
		t.Run(g.name, func(t *testing.T) { comparePrinted(t, dir, filepath.Join(golden, g.name), g.args) })
	}
	t.Run("feeds", func(t *testing.T) {
		if code, _, stderr := run(t, dir, "feed", "plan.yaml", "--as-of", "2031-03-05", "--out",
			"cal"); code != exitDone {
			t.Fatal(stderr)
		}
		data, err := os.ReadFile(filepath.Join(dir, "cal", "home-bush.tapping.ics"))
		if err != nil {
			t.Fatal(err)
		}
		for _, found := range icslint.Check(data) {
			t.Error(found)
		}
		compareGolden(t, filepath.Join(golden, "home-bush.tapping.ics"), string(data))
	})
}
