package main

import (
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"treewhen/calendar/planfile"
	"treewhen/profiles"
)

// madePlan returns a starter plan.
func madePlan(t interface{ Fatal(...any) }, o initOptions) string {
	s := &starter{initOptions: o, library: profiles.Builtin(), year: 2027}
	if err := s.resolve(); err != nil {
		t.Fatal(err)
	}
	data, err := s.render(newUUID())
	if err != nil {
		t.Fatal(err)
	}
	return string(data)
}

// A sample is a # with a word, or the inside of a list or map, right behind it; "# " begins an explanation.
var sampleLine = regexp.MustCompile(`(?m)^( *)#([^ \n]|  )`)

// With every sample in use, the plan is still one that is read, and says what the samples say.
func TestSamplesOfAStarterPlanCanBeUsed(t *testing.T) {
	for _, purpose := range []string{"producer", "nursery", "school", "producer and school", "anything"} {
		text := madePlan(t, initOptions{place: "Stowe, Vermont", purposes: []string{purpose}})
		// The heading shows commands, indented, in its comment.
		_, body, _ := strings.Cut(text, "\ntitle:")
		used := "title:" + sampleLine.ReplaceAllString(body, "$1$2")
		p, err := planfile.Read(strings.NewReader(used), "used.yaml")
		if err != nil {
			t.Errorf("%s: %v\n%s", purpose, err, used)
			continue
		}
		s := p.Sites[0]
		if p.Observations == nil || len(s.Temperatures) != 1 || len(s.Forecast) != 1 || s.Normals == nil {
			t.Errorf("%s: samples were not taken into use: %+v", purpose, s)
		}
		if purpose == "producer" && s.Options.Tapping.Taps != 450 {
			t.Errorf("found %d taps, want the sample's 450", s.Options.Tapping.Taps)
		}
		for _, w := range s.Species {
			if _, err := profiles.Builtin().Find(w.Text); err != nil {
				t.Error(err)
			}
		}
	}
}

// Any name that is one line comes back from the plan as it went in.
func TestNamesSurviveAStarterPlan(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		name := rapid.OneOf(
			rapid.StringMatching(`[A-Za-z'":#&*!|>%@{}\[\],?~ -]{1,30}`),
			rapid.StringMatching(`\PC{1,30}`),
			rapid.SampledFrom([]string{"no", "Null", "~", "3.7", "2027-03-01", "0x1F", "true", ".nan", "- a", "a: b", "a #b", `\`, `"`, "{{.ID}}", "Érablière n° 3"}),
		).Draw(rt, "name")
		if checkLine("name", name) != nil || strings.TrimSpace(name) == "" {
			return
		}
		text := madePlan(rt, initOptions{place: "Stowe, Vermont", name: name, species: []string{"sugar maple"}})
		p, err := planfile.Read(strings.NewReader(text), "plan.yaml")
		if err != nil {
			rt.Fatal(err)
		}
		if got, want := p.Sites[0].Name, strings.TrimSpace(name); got != want {
			rt.Fatalf("found name %q, want %q", got, want)
		}
	})
}

func TestPurposesOf(t *testing.T) {
	tests := []struct {
		texts             []string
		activities, title string
	}{
		{nil, "tapping seed-collection twig-survey field-trip", "The trees' year"},
		{[]string{"producer"}, "tapping", "Tapping"},
		{[]string{"Sap"}, "tapping", "Tapping"},
		{[]string{"school, nursery"}, "seed-collection twig-survey field-trip", "Twig surveys and field trips and seed collection"},
		{[]string{"producer", "school"}, "tapping twig-survey field-trip", "Tapping and twig surveys and field trips"},
		{[]string{"village festival"}, "tapping seed-collection twig-survey field-trip", "village festival"},
	}
	for _, tt := range tests {
		u := purposesOf(tt.texts)
		var names []string
		for _, a := range u.activities {
			names = append(names, string(a))
		}
		if got := strings.Join(names, " "); got != tt.activities || u.title != tt.title {
			t.Errorf("%q: found %s, %q; want %s, %q", tt.texts, got, u.title, tt.activities, tt.title)
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
		{[]string{"--place", "Burlington"}, "the name of 16 towns", exitUsage},
		{[]string{"--place", "Burlington"}, "Burlington, Vermont (44.48, -73.21; 42,000 people)", exitUsage},
		{[]string{"--place", "Burlington"}, "hint: write its state", exitUsage},
		{[]string{"--place", "Monpelier, VT"}, "did you mean Montpelier, Vermont", exitUsage},
		{[]string{"--place", "Stowe, Vermnt"}, "did you mean Vermont", exitUsage},
		{[]string{"--place", "Qxqxqx"}, "name a larger one near you", exitUsage},
		{append(vt, "--for", "nursrey"), "did you mean nursery", exitUsage},
		{append(vt, "--for", "two\nlines"), "want one line of text", exitUsage},
		{append(vt, "--name", "a\x00b"), "want one line of text", exitUsage},
		{append(vt, "--species", "sugar mapel"), "did you mean sugar maple", exitUsage},
		{append(vt, "--elevation", "350"), "want a height with its unit", exitUsage},
		{append(vt, "--elevation", "350 km"), "want a height with its unit", exitUsage},
		{append(vt, "--elevation", "35000 m"), "--elevation:", exitUsage},
		{append(vt, "--timezone", "Vermont/Stowe"), "want an IANA time zone", exitUsage},
		{append(vt, "--latitude", "41", "--longitude", "-84"), "km from Stowe, Vermont, want a town near them", exitUsage},
		{[]string{"--latitude", "44.5"}, "want both", exitUsage},
		{[]string{"--latitude", "91", "--longitude", "3"}, "want decimal degrees from -90 to 90", exitUsage},
		{[]string{"--latitude", "NaN", "--longitude", "3"}, "want decimal degrees", exitUsage},
		{[]string{"--latitude", "70", "--longitude", "20", "--elevation", "3 m"}, "want --timezone", exitUsage},
		{[]string{"--latitude", "44.35", "--longitude", "-72.45"}, "want --elevation", exitUsage},
		{[]string{"plan.yaml"}, "want options only", exitUsage},
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
