package main

import (
	"os/exec"
	"slices"
	"strings"
	"testing"
)

// allowed says which of the project's packages a package may import, and which modules beside the standard library.
// Children are named with their parents; everything may import phenology/civil and phenology/problem.
var allowed = map[string][]string{
	"phenology/civil":          {},
	"phenology/problem":        {},
	"phenology/normal":         {},
	"phenology/weather":        {},
	"phenology/climate":        {},
	"phenology":                {"phenology/normal", "phenology/weather"},
	"phenology/traits":         {"phenology", "phenology/normal"},
	"phenology/fit":            {"phenology", "phenology/weather"},
	"phenology/hindcast":       {"phenology", "phenology/weather", "phenology/fit"},
	"profiles/ranges":          {},
	"profiles/strictyaml":      {"gopkg.in/yaml.v3"},
	"profiles/packed":          {},
	"profiles":                 {"phenology", "profiles/packed", "profiles/strictyaml"},
	"calendar/phrase":          {},
	"calendar/icslint":         {},
	"calendar/busy":            {"github.com/arran4/golang-ical", "github.com/teambition/rrule-go"},
	"calendar/coverage":        {},
	"calendar/zone":            {},
	"calendar":                 {"phenology", "phenology/weather", "calendar/busy", "calendar/phrase"},
	"calendar/tapping":         {"calendar", "calendar/phrase", "phenology", "phenology/weather"},
	"calendar/seed":            {"calendar", "calendar/phrase", "phenology"},
	"calendar/outing":          {"calendar", "calendar/busy", "calendar/coverage", "calendar/phrase", "phenology", "phenology/traits"},
	"calendar/build":           {"calendar", "calendar/tapping", "calendar/seed", "calendar/outing", "phenology"},
	"calendar/words":           {"calendar", "calendar/phrase", "calendar/tapping", "calendar/seed", "calendar/outing", "phenology", "phenology/traits"},
	"calendar/glance":          {"calendar", "phenology"},
	"calendar/ical":            {"calendar", "calendar/busy", "calendar/icslint", "calendar/outing", "calendar/phrase", "calendar/words", "github.com/arran4/golang-ical"},
	"calendar/text":            {"calendar", "calendar/glance", "calendar/outing", "calendar/phrase", "calendar/words", "calendar/seed", "calendar/tapping", "phenology"},
	"calendar/page":            {"calendar", "calendar/glance", "calendar/outing", "calendar/phrase", "calendar/words", "phenology", "phenology/weather"},
	"calendar/calendartest":    {"calendar", "phenology", "phenology/weather", "profiles"},
	"calendar/ical/icaltest":   {"calendar", "calendar/calendartest", "calendar/ical", "calendar/icslint", "github.com/emersion/go-ical"},
	"calendar/planfile":        {"calendar", "phenology", "phenology/weather", "profiles/strictyaml"},
	"calendar/staging":         {},
	"calendar/feed":            {"calendar"},
	"calendar/gazetteer":       {},
	"cmd/gazetteermake":        {"calendar/gazetteer"},
	"cmd/treewhen/demo":        {},
	"cmd/placemake":            {"phenology/climate", "profiles/ranges"},
	"cmd/demoweather":          {"phenology", "phenology/weather"},
	"cmd/fitprofiles":          {"phenology", "phenology/fit", "phenology/weather", "profiles", "cmd/fitprofiles/opendata"},
	"cmd/fitprofiles/opendata": {"phenology", "phenology/weather"},
	"cmd/treewhen":             nil, // may import everything
}

func TestImportsPointOneWay(t *testing.T) {
	out, err := exec.Command("go", "list", "-f", `{{.ImportPath}}{{range .Imports}} {{.}}{{end}}`, "treewhen/...").Output()
	if err != nil {
		t.Fatalf("go list: %v", err)
	}
	for line := range strings.Lines(string(out)) {
		fields := strings.Fields(line)
		pkg := strings.TrimPrefix(fields[0], "treewhen/")
		may, known := allowed[pkg]
		if !known {
			t.Errorf("package %s is not in the table of who may import what; add it, and to DEVELOPERS.md", pkg)
			continue
		}
		if pkg == "cmd/treewhen" {
			continue
		}
		for _, imp := range fields[1:] {
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
