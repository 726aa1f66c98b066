package main

import (
	"bytes"
	"context"
	"encoding/csv"
	"os"
	"path/filepath"
	"strconv"
	"strings"
	"testing"

	"treewhen/phenology/opendata"
	"treewhen/profiles"
)

// Harvard Forest as a user would give it: the two stations as published, with the one shift that check offers, and the
// dates of HF003. Cross-validated, the twelve series must come to 3.5 days with temperatures known; the mean date comes to
// 6.0. What two more corrections are worth is told beside package hindcast's own test.
func TestHindcastOfHarvardForest(t *testing.T) {
	forest, err := opendata.HarvardForest(os.DirFS("../../../shared/data/harvard-forest"))
	if err != nil {
		t.Skipf("the open observations are not here: %v", err)
	}
	dir := t.TempDir()
	has := func(species string) bool {
		_, err := profiles.Builtin().Find(species)
		return err == nil
	}
	for name, data := range forest.Files(has) {
		if err := os.WriteFile(filepath.Join(dir, name), data, 0o644); err != nil {
			t.Fatal(err)
		}
	}
	plan := filepath.Join(dir, "plan.yaml")
	run := func(args ...string) (string, string) {
		var out, errs bytes.Buffer
		p := &program{stdin: strings.NewReader(""), stdout: &out, stderr: &errs}
		if code := p.run(context.Background(), args); code != exitDone {
			t.Fatalf("%v: status %d\n%s", args, code, errs.String())
		}
		return out.String(), errs.String()
	}

	table, _ := run("hindcast", plan, "--cross-validate", "--format", "csv")
	rows, err := csv.NewReader(strings.NewReader(table)).ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	sum, n := map[string]float64{}, map[string]float64{}
	for _, row := range rows[1:] {
		if opendata.Targets()[row[1]+" "+row[2]] {
			rmse, err := strconv.ParseFloat(row[5], 64)
			if err != nil {
				t.Fatal(err)
			}
			sum[row[3]] += rmse
			n[row[3]]++
		}
	}
	for lead, most := range map[string]float64{"-60": 3.5, "0": 3.5, "14": 4.75} {
		if n[lead] != 12 || sum[lead]/12 > most {
			t.Errorf("lead %s: %.2f days over %v series, want at most %.1f over 12", lead, sum[lead]/n[lead], n[lead], most)
		}
	}

	// What check must find by itself in the files as published.
	unmended := strings.Replace(string(forest.Files(has)["plan.yaml"]), "{file: manual.csv, shift: {tmax: -1 day}}", "manual.csv", 1)
	if err := os.WriteFile(plan, []byte(unmended), 0o644); err != nil {
		t.Fatal(err)
	}
	report, _ := run("check", plan)
	for _, want := range []string{"its maxima are dated one day late", "shift: {tmax: -1 day}", "its minima run 1."} {
		if !strings.Contains(report, want) {
			t.Errorf("check does not say %q", want)
		}
	}
}
