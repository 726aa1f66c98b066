package starter

import (
	"regexp"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"treewhen/calendar/phrase"
	"treewhen/calendar/planfile"
	"treewhen/profiles"
)

// madePlan returns a starter plan.
func madePlan(t interface{ Fatal(...any) }, o Options) string {
	s, err := New(o, profiles.Builtin(), 2027)
	if err != nil {
		t.Fatal(err)
	}
	data, err := s.Render(NewFeedID())
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
		text := madePlan(t, Options{Place: "Stowe, Vermont", Purposes: []string{purpose}})
		// The heading shows commands, indented, in its comment.
		_, body, _ := strings.Cut(text, "\ntitle:")
		used := "title:" + sampleLine.ReplaceAllString(body, "$1$2")
		p, err := planfile.Read(strings.NewReader(used), "used.yaml")
		if err != nil {
			t.Errorf("%s: %v\n%s", purpose, err, used)
			continue
		}
		s := p.Sites[0]
		if p.Observations == nil || len(s.Temperatures) != 2 || len(s.Forecast) != 2 || p.Contact == "" || s.Normals == nil {
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

// In Quebec the plan of a producer speaks French once one sample is taken into use.
func TestFrenchIsOfferedInQuebec(t *testing.T) {
	const offered = "\n#language: fr\n"
	for _, c := range []struct {
		place, purpose string
		want           bool
	}{
		{"Magog, Québec", "producer", true}, {"Magog, Québec", "nursery", false}, {"Magog, Québec", "anything", false},
		{"Ottawa, Ontario", "producer", false}, {"Stowe, Vermont", "producer", false},
	} {
		text := madePlan(t, Options{Place: c.place, Purposes: []string{c.purpose}})
		if got := strings.Contains(text, offered); got != c.want {
			t.Errorf("%s at %s: offered %v, want %v", c.purpose, c.place, got, c.want)
		}
		if !c.want {
			continue
		}
		p, err := planfile.Read(strings.NewReader(strings.Replace(text, offered, "\nlanguage: fr\n", 1)), "plan.yaml")
		if err != nil || p.Speech.Language != phrase.French {
			t.Errorf("%s at %s: found %v and %v, want a plan in French", c.purpose, c.place, p, err)
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
		text := madePlan(rt, Options{Place: "Stowe, Vermont", Name: name, Species: []string{"sugar maple"}})
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
