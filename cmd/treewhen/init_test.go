package main

import (
	"os"
	"path/filepath"
	"strings"
	"testing"
)

// A nursery's plan as it is written has a schedule at once, whatever the day: seed that needs longer than the time up to
// the usual sowing is put off, and stops nothing.
func TestInitMakesANurseryThatCanBeScheduled(t *testing.T) {
	for _, place := range []string{"Bangor, Maine", "Savannah, Georgia", "Corvallis, Oregon"} {
		file := filepath.Join(t.TempDir(), "plan.yaml")
		if code, _, stderr := runProgram(t, "init", place, "--for", "nursery", "--offline", "--out", file); code != exitDone {
			t.Fatalf("%s: ended with %d: %s", place, code, stderr)
		}
		for _, day := range []string{"2026-11-29", "2027-03-09", "2027-07-20"} {
			code, stdout, stderr := runProgram(t, "schedule", file, "--as-of", day)
			if code != exitDone || !strings.Contains(stdout, "\n  24 Apr to 8 May  Sow ") {
				t.Errorf("%s, %s: ended with %d, want sowings about 1 May: %s", place, day, code, stderr)
			}
		}
	}
}

// What is asked for wrongly is told, with what is wanted and what is near, and nothing is written.
func TestInitRefuses(t *testing.T) {
	out := filepath.Join(t.TempDir(), "none.yaml")
	vt := []string{"--place", "Stowe, VT"}
	tests := []struct {
		args []string
		want string
		code int
	}{
		{nil, "found no place, want --place", exitUsage},
		{[]string{"--place", "Burlington"}, "the name of 24 towns", exitUsage},
		{[]string{"--place", "Burlington"}, "Burlington, Vermont (44.48, -73.21; 42,000 people)", exitUsage},
		{[]string{"--place", "Burlington"}, "hint: write its state", exitUsage},
		{[]string{"--place", "Monpelier, VT"}, "did you mean Montpelier, Vermont", exitUsage},
		{[]string{"--place", "Stowe, Vermnt"}, "did you mean Vermont", exitUsage},
		{[]string{"--place", "Qxqxqx"}, "Name a larger one near you, or give coordinates", exitUsage},
		{[]string{"--place", "Lac-Beauport, QC"}, `found no town "Lac-Beauport, QC" in Québec. Known are places of some`, exitUsage},
		{[]string{"--place", "Stoneham, Quebec"}, "in Québec. Known are", exitUsage},
		{[]string{"--place", "Hull, QC"}, "hint: instead of a town: --latitude", exitUsage},
		{[]string{"--place", "Cabot"}, "Cabot, Vermont (44.40, -72.31)", exitUsage},
		{[]string{"--place", "Marlboro, Vermont"}, "the elevation of Marlboro, Vermont is not known, and the country about", exitUsage},
		{append(vt, "--for", "nursrey"), "did you mean nursery", exitUsage},
		{append(vt, "--for", "two\nlines"), "want one line of text", exitUsage},
		{append(vt, "--name", "a\x00b"), "want one line of text", exitUsage},
		{append(vt, "--species", "sugar mapel"), "did you mean sugar maple", exitUsage},
		{append(vt, "--elevation", "350"), "want a height with its unit", exitUsage},
		{append(vt, "--elevation", "350 km"), "want a height with its unit", exitUsage},
		{append(vt, "--elevation", "35000 m"), "--elevation:", exitUsage},
		{append(vt, "--timezone", "Vermont/Stowe"), "want an IANA time zone", exitUsage},
		{append(vt, "--latitude", "41", "--longitude", "-84"), "620 miles from Stowe, Vermont, want a town near them", exitUsage},
		{[]string{"--latitude", "44.5"}, "want both", exitUsage},
		{[]string{"--latitude", "91", "--longitude", "3"}, "want decimal degrees from -90 to 90", exitUsage},
		{[]string{"--latitude", "NaN", "--longitude", "3"}, "want decimal degrees", exitUsage},
		{[]string{"--latitude", "30", "--longitude", "-40", "--elevation", "3 m"}, "want --timezone", exitUsage},
		{[]string{"--latitude", "39.2", "--longitude", "-106.6"}, "rises and falls by more than dates allow; want --elevation", exitUsage},
		{[]string{"Stowe,", "VT"}, "want one town, in quotes", exitUsage},
		{[]string{"Stowe, Vermnt"}, "did you mean Vermont", exitUsage},
		{append(vt, "--contact", "me"), "want an address such as you@example.org", exitUsage},
		{append(vt, "--service", "noaa=x"), "want a service and an address", exitUsage},
		{append(vt, "--profiles", "no-such-folder"), "no-such-folder: no such file", exitFailed},
		{append(vt, "--out", filepath.Join(t.TempDir(), "none", "plan.yaml")), "no such file", exitFailed},
	}
	for _, tt := range tests {
		code, stdout, stderr := runProgram(t, append([]string{"init", "--out", out}, tt.args...)...)
		if code != tt.code || stdout != "" || !strings.Contains(stderr, tt.want) {
			t.Errorf("%q: ended with %d: %s%s\nwant %d and %q", tt.args, code, stdout, stderr, tt.code, tt.want)
		}
	}
	if _, err := os.Stat(out); err == nil {
		t.Errorf("%s was written", out)
	}
}
