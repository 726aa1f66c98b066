package main

import (
	"encoding/json"
	"html"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
)

// tags are what is no text of a page.
var tags = regexp.MustCompile(`(?s)<style>.*?</style>|<[^>]*>`)

// The page, the schedule as JSON and command sap tell the same of a season of sap, in each of its times, with one bush,
// two, and a book of what was gathered.
func TestPageTellsOfSapWhatSapDoes(t *testing.T) {
	bushes, err := filepath.Abs("../../testdata/cases/sugarbush")
	if err != nil {
		t.Fatal(err)
	}
	dir := t.TempDir()
	for _, name := range []string{"seen.csv", "sugarhouse.csv.gz", "forecast-2031-03-20.csv"} {
		data, err := os.ReadFile(filepath.Join(bushes, name))
		if err != nil {
			t.Fatal(err)
		}
		writeFile(t, filepath.Join(dir, strings.Replace(name, "-2031-03-20", "", 1)), string(data))
	}
	plan, err := os.ReadFile(filepath.Join(bushes, "plan.yaml"))
	if err != nil {
		t.Fatal(err)
	}
	writeFile(t, filepath.Join(dir, "sap.csv"), "date,site,volume,unit,sugar,syrup,note\n"+
		"2030-03-20,home-bush,900,L,2.2,,\n2031-03-16,home-bush,600,L,2.1,14,\n")
	file := filepath.Join(dir, "plan.yaml")
	writeFile(t, file, strings.Replace(string(plan), "observations: seen.csv\n", "observations: seen.csv\nyield: sap.csv\n", 1))
	for _, args := range [][]string{
		{"--as-of", "2027-03-12"}, {file, "--as-of", "2031-02-10"}, {file, "--as-of", "2031-03-20"},
		{file, "--as-of", "2031-06-10"},
	} {
		run := func(command string, more ...string) string {
			out, _ := runIn(t, append(append([]string{command}, args...), more...)...)
			return out
		}
		text := strings.Join(strings.Fields(run("sap")), " ")
		page := strings.Join(strings.Fields(html.UnescapeString(tags.ReplaceAllString(run("schedule", "--format", "html"), " "))), " ")
		var sap, schedule struct {
			Seasons []map[string]any `json:"seasons"`
			Sap     []map[string]any `json:"sap_seasons"`
			Crew    any              `json:"crew"`
		}
		decode(t, run("sap", "--format", "json"), &sap)
		decode(t, run("schedule", "--format", "json"), &schedule)
		past := 0
		for _, season := range schedule.Sap {
			told, _ := season["season_told"].(map[string]any)
			if told["over"] == true {
				past++
				continue
			}
			if diff := cmp.Diff(sap.Seasons[0], season); diff != "" {
				t.Errorf("%v: sap and schedule differ (-sap +schedule):\n%s", args, diff)
			}
			sap.Seasons = sap.Seasons[1:]
			if verdict := season["verdict"].(string); !strings.Contains(page, verdict) || !strings.Contains(text, verdict) {
				t.Errorf("%v: not on the page, or not in sap: %s", args, verdict)
			}
		}
		if len(sap.Seasons) > 0 || !cmp.Equal(sap.Crew, schedule.Crew) {
			t.Errorf("%v: schedule lacks %v; crew %v, of sap %v", args, sap.Seasons, schedule.Crew, sap.Crew)
		}
		if want := args[len(args)-1] == "2031-06-10"; want != (past == 2) {
			t.Errorf("%v: found %d seasons that are over", args, past)
		}
		said := 0
		for _, sentence := range regexp.MustCompile(`((?:So far|The season|To \d+ \w+, where the record ends): good sap |Buds, by |By the book, |Run days until |Last good sap: |`+
			`Tapping on \d+ \w+ catches |One crew can).*?\. `).FindAllString(text+" ", -1) {
			far := slices.ContainsFunc([]string{"Run days", "Last good sap", "One crew"},
				func(begins string) bool { return strings.HasPrefix(sentence, begins) })
			// Of a season that is over the page tells no more what was to be expected of it, and of the next not yet in
			// which order a crew taps.
			if past > 0 && far {
				if strings.HasPrefix(sentence, "One crew") && strings.Contains(page, strings.TrimSpace(sentence)) {
					t.Errorf("%v: found on the page a season ahead: %s", args, sentence)
				}
				continue
			}
			if said++; !strings.Contains(page, strings.TrimSpace(sentence)) {
				t.Errorf("%v: sap says, and the page does not: %s", args, sentence)
			}
		}
		if said < 3 {
			t.Errorf("%v: found only %d sentences of sap's", args, said)
		}
	}
}

func decode(t *testing.T, text string, into any) {
	t.Helper()
	if err := json.Unmarshal([]byte(text), into); err != nil {
		t.Fatal(err)
	}
}
