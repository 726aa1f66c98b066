package main

import (
	"os"
	"os/exec"
	"slices"
	"strings"
	"testing"
)

// allowed says which of the project's packages a package may import, and which modules beside the standard library.
// Children are named with their parents; everything may import phenology/civil and phenology/problem.
var allowed = map[string][]string{
	"phenology/civil":        {},
	"phenology/problem":      {},
	"phenology/normal":       {},
	"phenology/weather":      {},
	"phenology/rangecode":    {},
	"phenology/climate":      {"phenology/rangecode"},
	"phenology":              {"phenology/climate", "phenology/normal", "phenology/weather"},
	"phenology/awayfromhome": {},
	"phenology/traits":       {"phenology", "phenology/normal"},
	"phenology/fit":          {"phenology", "phenology/parallel", "phenology/weather"},
	"phenology/hindcast":     {"phenology", "phenology/fit", "phenology/parallel", "phenology/weather"},
	"profiles/ranges":        {},
	"profiles/strictyaml":    {"gopkg.in/yaml.v3"},
	"profiles/packed":        {},
	"profiles":               {"phenology", "phenology/parallel", "phenology/traits", "profiles/packed", "profiles/ranges", "profiles/strictyaml"},
	"calendar/phrase":        {},
	"calendar/phrase/french": {"calendar/phrase"},
	"calendar/contentline":   {},
	"calendar/icslint":       {"calendar/contentline"},
	"calendar/busy":          {"calendar/contentline", "github.com/arran4/golang-ical", "github.com/teambition/rrule-go"},
	"calendar/coverage":      {},
	"calendar/zone":          {},
	"calendar":               {"phenology", "phenology/parallel", "phenology/weather", "calendar/busy", "calendar/phrase"},
	"calendar/tapping":       {"calendar", "calendar/phrase", "phenology", "phenology/normal", "phenology/weather"},
	"calendar/seed":          {"calendar", "calendar/busy", "calendar/phrase", "phenology"},
	"calendar/outing":        {"calendar", "calendar/busy", "calendar/coverage", "calendar/phrase", "phenology", "phenology/traits"},
	"calendar/build":         {"calendar", "calendar/ical", "calendar/inputs", "calendar/outing", "calendar/regular", "calendar/seed", "calendar/tapping", "calendar/words", "phenology", "phenology/parallel"},
	"calendar/words":         {"calendar", "calendar/phrase", "calendar/phrase/french", "calendar/services", "calendar/tapping", "calendar/seed", "calendar/outing", "phenology", "phenology/climate", "phenology/traits"},
	"calendar/glance":        {"calendar", "calendar/outing", "calendar/tapping", "phenology", "phenology/traits"},
	"calendar/ical":          {"calendar", "calendar/busy", "calendar/contentline", "calendar/icslint", "calendar/phrase", "calendar/words", "github.com/arran4/golang-ical"},
	"calendar/text":          {"calendar", "calendar/glance", "calendar/outing", "calendar/phrase", "calendar/words", "calendar/seed", "calendar/tapping", "github.com/rivo/uniseg", "phenology"},
	"calendar/page/markup":   {},
	"calendar/page":          {"calendar", "calendar/glance", "calendar/outing", "calendar/page/markup", "calendar/phrase", "calendar/seed", "calendar/tapping", "calendar/words", "github.com/boombuler/barcode/qr", "phenology", "phenology/climate", "phenology/weather"},
	"calendar/calendartest":  {"calendar", "phenology", "phenology/weather", "profiles"},
	"calendar/ical/icaltest": {"calendar", "calendar/calendartest", "calendar/ical", "calendar/icslint", "calendar/words", "phenology", "github.com/emersion/go-ical"},
	"calendar/planfile":      {"calendar", "calendar/busy", "calendar/icslint", "calendar/phrase", "calendar/services", "calendar/tapping", "phenology", "phenology/weather", "profiles/strictyaml"},
	"calendar/fetch":         {"calendar/phrase", "calendar/regular", "calendar/staging"},
	"calendar/services":      {"phenology", "phenology/weather"},
	"calendar/supply":        {"calendar/fetch", "calendar/services", "phenology/weather"},
	"calendar/regular":       {},
	"calendar/staging":       {},
	"calendar/feed":          {},
	"calendar/gazetteer":     {},
	"phenology/parallel":     {},
	"profiles/ownfit":        {"phenology", "phenology/fit", "profiles"},
	"calendar/law":           {"calendar", "calendar/gazetteer", "phenology"},
	"calendar/inputs": {
		"calendar", "calendar/busy", "calendar/fetch", "calendar/law", "calendar/phrase", "calendar/planfile", "calendar/regular", "calendar/services",
		"calendar/supply", "calendar/tapping", "calendar/words", "phenology", "phenology/climate", "phenology/parallel", "phenology/weather", "profiles",
	},
	"calendar/doubts":          {"calendar", "calendar/build", "calendar/gazetteer", "calendar/inputs", "calendar/law", "calendar/seed", "phenology", "phenology/civil"},
	"calendar/serve":           {"calendar", "calendar/alerts", "calendar/alerts/deliver", "calendar/build", "calendar/feed", "calendar/ical", "calendar/inputs", "calendar/page", "calendar/staging", "calendar/words", "phenology"},
	"calendar/build/buildtest": {"calendar", "calendar/build"},
	"calendar/starter": {
		"calendar", "calendar/gazetteer", "calendar/inputs", "calendar/law", "calendar/phrase", "calendar/planfile", "calendar/services", "calendar/supply",
		"calendar/words", "calendar/zone", "phenology", "phenology/climate", "phenology/weather", "profiles",
	},
	"calendar/supply/supplytest": {"calendar/services"},
	"cmd/treewhen/demo":          {},
	"cmd/springmap":              {"phenology", "phenology/climate", "profiles", "profiles/ranges"},
	"cmd/placemake":              {"calendar/gazetteer", "calendar/glance", "phenology/climate", "profiles/ranges"},
	"cmd/demoweather":            {"phenology", "phenology/weather"},
	"cmd/fitprofiles":            {"phenology", "phenology/fit", "phenology/weather", "profiles", "cmd/fitprofiles/opendata"},
	"cmd/fitprofiles/opendata":   {"phenology", "phenology/weather"},
	"cmd/treewhen": {
		"calendar", "calendar/alerts", "calendar/alerts/deliver", "calendar/build", "calendar/busy", "calendar/doubts", "calendar/fetch", "calendar/gazetteer", "calendar/glance", "calendar/ical", "calendar/inputs", "calendar/outing",
		"calendar/page", "calendar/phrase", "calendar/planfile", "calendar/regular", "calendar/seed", "calendar/serve", "calendar/services",
		"calendar/staging", "calendar/starter", "calendar/supply", "calendar/tapping", "calendar/text", "calendar/words", "calendar/zone", "cmd/treewhen/demo", "github.com/spf13/pflag",
		"phenology", "phenology/climate", "phenology/fit", "phenology/hindcast", "phenology/weather", "profiles", "profiles/ownfit",
	},
	"calendar/alerts": {"calendar", "calendar/phrase", "calendar/planfile", "calendar/tapping", "calendar/words"},
	"calendar/alerts/deliver": {
		"calendar", "calendar/alerts", "calendar/planfile", "calendar/regular", "calendar/staging", "calendar/words",
	},
}

// imports returns what every package of the project imports, its tests left out, by its path in the project.
func imports(t *testing.T) map[string][]string {
	t.Helper()
	out, err := exec.Command("go", "list", "-f", `{{.ImportPath}}{{range .Imports}} {{.}}{{end}}`, "treewhen/...").Output()
	if err != nil {
		t.Fatalf("go list: %v", err)
	}
	list := map[string][]string{}
	for line := range strings.Lines(string(out)) {
		fields := strings.Fields(line)
		list[strings.TrimPrefix(fields[0], "treewhen/")] = fields[1:]
	}
	return list
}

func TestImportsPointOneWay(t *testing.T) {
	for pkg, list := range imports(t) {
		may, known := allowed[pkg]
		if !known {
			t.Errorf("package %s is not in the table of who may import what; add it, and to DEVELOPERS.md", pkg)
			continue
		}
		for _, imp := range list {
			if own, ok := strings.CutPrefix(imp, "treewhen/"); ok {
				if own == "phenology/civil" || own == "phenology/problem" || slices.Contains(may, own) {
					continue
				}
				t.Errorf("%s imports %s", pkg, imp)
			} else if first, _, _ := strings.Cut(imp, "/"); strings.Contains(first, ".") && !slices.Contains(may, imp) {
				t.Errorf("%s imports %s", pkg, imp)
			}
		}
	}
}

// The picture of the packages in DEVELOPERS.md, the first block there under "Packages", names every package once,
// imports go to rows below only, and the table under it says of each what it answers.
func TestDiagramOfPackages(t *testing.T) {
	data, err := os.ReadFile("../../DEVELOPERS.md")
	if err != nil {
		t.Fatal(err)
	}
	_, text, _ := strings.Cut(string(data), "\n## Packages\n")
	text, _, _ = strings.Cut(text, "\n## ")
	packages := imports(t)
	row := map[string]int{}
	for i, line := range strings.Split(text, "\n") {
		words := strings.Fields(line)
		if !strings.HasPrefix(line, "    ") || len(words) == 0 {
			continue
		}
		for _, word := range words {
			if _, is := packages[word]; !is {
				if strings.Contains(word, "/") {
					t.Errorf("the diagram names %s, which is no package", word)
				}
				continue
			}
			if row[word] > 0 {
				t.Errorf("the diagram names %s twice", word)
			}
			row[word] = i + 1
		}
	}
	for pkg, list := range packages {
		if row[pkg] == 0 {
			t.Errorf("the diagram does not name %s", pkg)
		}
		if !strings.Contains(text, "`"+pkg+"`") {
			t.Errorf("the table under the diagram does not say what %s answers", pkg)
		}
		for _, imp := range list {
			if own, ok := strings.CutPrefix(imp, "treewhen/"); ok && row[own] <= row[pkg] {
				t.Errorf("%s imports %s, which the diagram has no lower", pkg, own)
			}
		}
	}
}
