package main

import (
	"bytes"
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"treewhen/phenology/civil"
)

// errFull is what a full device says.
var errFull = errors.New("no space left on device")

type fullDevice struct{}

func (fullDevice) Write([]byte) (int, error) { return 0, errFull }

// A result that cannot be written is an error of every command; of feed, whose files are in place by then, it says so.
func TestFullDevice(t *testing.T) {
	t.Chdir(t.TempDir())
	for _, args := range []string{
		"", "help", "--help", "help schedule", "schedule --help", "help plan", "help method", "version", "species", "species sugar-maple",
		"schedule", "phases", "check", "sap", "man", "completion bash", "feed --out cal",
	} {
		var said bytes.Buffer
		p := &program{stdin: strings.NewReader(""), stdout: fullDevice{}, stderr: &said, today: civil.Of(2027, 3, 12)}
		if code := p.run(t.Context(), strings.Fields(args)); code != exitFailed || !strings.Contains(said.String(), errFull.Error()) {
			t.Errorf("%s: status %d\n%s", args, code, &said)
		}
		if files, _ := filepath.Glob("cal/*.ics"); strings.HasPrefix(args, "feed") {
			if len(files) == 0 || !strings.Contains(said.String(), "the feeds are in place in cal; the table of them could not be written") {
				t.Errorf("%d files\n%s", len(files), &said)
			}
		}
	}
}

// Two thousand bad files are told of by the first twenty problems and a count.
func TestManyProblems(t *testing.T) {
	dir := t.TempDir()
	if err := os.Mkdir(filepath.Join(dir, "own"), 0o755); err != nil {
		t.Fatal(err)
	}
	for i := range 2000 {
		writeFile(t, filepath.Join(dir, "own", fmt.Sprintf("bad-%04d.yaml", i)), "what: is this\n")
	}
	code, out, errs := run(t, dir, "species", "--profiles", "own")
	lines := strings.Split(strings.TrimSpace(errs), "\n")
	if code != exitFailed || out != "" || len(lines) != mostProblems+1 || !strings.HasPrefix(lines[0], "treewhen: own/bad-0000.yaml:") {
		t.Errorf("status %d, %d lines\n%.2000s", code, len(lines), errs)
	}
	if want := " more like these"; !strings.HasPrefix(lines[len(lines)-1], "treewhen: and ") || !strings.Contains(lines[len(lines)-1], want) {
		t.Errorf("found %q at the end", lines[len(lines)-1])
	}
}

func TestSeasonOption(t *testing.T) {
	dir := t.TempDir()
	for _, year := range []string{"0", "-1", "1799", "2201", "x", "2027.5", "99999999999999999999", ""} {
		for _, command := range []string{"schedule", "phases", "sap", "hindcast"} {
			code, out, errs := run(t, dir, command, "--season", year)
			if code != exitUsage || out != "" || !strings.Contains(errs, fmt.Sprintf("found %q, want a year from 1800 to 2200", year)) {
				t.Errorf("%s --season %q: status %d\n%s", command, year, code, errs)
			}
		}
	}
	if code, out, errs := run(t, dir, "phases", "--season", "2027", "--format", "csv"); code != exitDone || !strings.Contains(out, ",2027,") {
		t.Errorf("status %d\n%s", code, errs)
	}
}

// A secret that repeats a few letters can be guessed.
func TestFeedKeys(t *testing.T) {
	dir := t.TempDir()
	for key, good := range map[string]bool{
		strings.Repeat("a", 16): false, strings.Repeat("z", 200): false, strings.Repeat("ab", 20): false, "0000000000000001": false,
		"1212312341234512": false, "4929 8817 3301 56": true, "7d0a86e1c5135c1d": true, "a-long-random-text": true, "sésame-ouvre-toi!": true,
	} {
		writeFile(t, filepath.Join(dir, "plan.yaml"), fmt.Sprintf(servedPlan, "A key")+"feed_key: \""+key+"\"\n")
		writeFile(t, filepath.Join(dir, "seen.csv"), "date,site,species,phase\n")
		code, _, errs := run(t, dir, "check", "plan.yaml")
		if (code == exitDone) != good || !good && !strings.Contains(errs, "different characters, which can be guessed") {
			t.Errorf("%s: status %d\n%s", key, code, errs)
		}
	}
}
