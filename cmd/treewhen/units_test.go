package main

import (
	"html"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"testing"

	"treewhen/profiles/strictyaml"
)

// What a person reads of a plan is in its units alone: in text, on the page, on sheets and in feeds. Citations are told
// as they are written, and so is what a plan's own files and lines say of themselves.
func TestUnitsOfThePlan(t *testing.T) {
	citations := citations(t)
	foreign := map[string]*regexp.Regexp{
		"us": regexp.MustCompile(`°C|[Dd]egrees? C|Celsius|[0-9_] ?(C|mm|cm|m|km|kg|l|L|liters?)\b` +
			`|(kilo|centi|milli)(gram|met)|\b(liter|meter)s?\b`),
		"metric": regexp.MustCompile(`°F|Fahrenheit|[0-9_] ?(F|ft|lb|miles?|gallons?|bushels?)\b` +
			`|\b(foot|feet|pounds?|gallons?)\b` +
			`|[0-9] in\b( (across|wide|deep|to|above)|[,;.)])`),
	}
	spoken := map[string]*regexp.Regexp{"us": foreign["metric"], "metric": foreign["us"]}
	for _, c := range []struct {
		name, asOf string
		look       [][]string
	}{
		{"sugarbush", "2031-02-27", [][]string{{"sap"}}},
		{"nursery", "2029-03-01", [][]string{
			{"workload"}, {"sheet", "--stand", "orchard-hill", "--date", "2029-09-20"}}},
		{"school", "2029-08-20", [][]string{
			{"sheet", "--date", "2029-10-09"}, {"sheet", "--date", "2030-01-15", "--format", "html"},
			{"sheet", "--date", "2029-10-09", "--letter"}, {"phases"}}},
	} {
		for units, wrong := range foreign {
			t.Run(c.name+"/"+units, func(t *testing.T) {
				t.Parallel()
				dir := copyCase(t, c.name)
				plan := filepath.Join(dir, "plan.yaml")
				appendTo(t, plan, "\nunits: "+units+"\n")
				right := 0
				read := func(what, text string) {
					text = plainText(text, citations)
					right += len(spoken[units].FindAllString(text, -1))
					for _, at := range wrong.FindAllStringIndex(text, -1) {
						t.Errorf("%s: found %q in …%s…", what, text[at[0]:at[1]],
							text[max(0, at[0]-70):min(len(text), at[1]+30)])
					}
				}
				look := append(slices.Clone(c.look), []string{"check"}, []string{"schedule", "--details"},
					[]string{"schedule", "--format", "html"})
				for _, args := range look {
					args = append(append([]string{args[0], plan}, args[1:]...), "--as-of", c.asOf)
					code, out, errs := runHere(args...)
					if code != exitDone {
						t.Fatalf("%v: status %d\n%s", args, code, errs)
					}
					read(strings.Join(args, " "), out)
				}
				code, _, errs := runHere("feed", plan, "--as-of", c.asOf, "--out", filepath.Join(dir, "cal"))
				if code != exitDone {
					t.Fatalf("feed: status %d\n%s", code, errs)
				}
				feeds, _ := filepath.Glob(filepath.Join(dir, "cal", "*.ics"))
				for _, file := range feeds {
					data, err := os.ReadFile(file)
					if err != nil {
						t.Fatal(err)
					}
					read(filepath.Base(file), strings.ReplaceAll(string(data), "\r\n ", ""))
				}
				if right < 10 || len(feeds) == 0 {
					t.Errorf("found %d measures in the plan's own units and %d feeds, want some", right, len(feeds))
				}
			})
		}
	}
}

// plainText is a text with its lines joined and without markup, figures of drawings and citations.
func plainText(text string, citations []string) string {
	text = regexp.MustCompile(`(?s)<(style|script).*?</(style|script)>|<[^>]*>`).ReplaceAllString(text, " ")
	text = regexp.MustCompile(`(?m)^(PRODID|X-|UID|DTSTAMP|URL)[^\n]*`).ReplaceAllString(text, "")
	text = strings.Join(strings.Fields(html.UnescapeString(text)), " ")
	text = regexp.MustCompile(`: (plain|canada-csv), °[CF]`).ReplaceAllString(text, "") // what a file has
	for _, c := range citations {
		text = strings.ReplaceAll(text, c[1:], "") // it may begin with a capital
	}
	return text
}

// citations are those of the library.
func citations(t *testing.T) (list []string) {
	const path = "../../profiles/sources.yaml"
	file, err := os.Open(path)
	if err != nil {
		t.Fatal(err)
	}
	defer file.Close()
	doc, err := strictyaml.Parse(file, path)
	if err != nil {
		t.Fatal(err)
	}
	sources := doc.Map()
	for _, key := range sources.Keys() {
		m, _ := sources.Map(key)
		text, _ := m.Text("citation")
		list = append(list, strings.Join(strings.Fields(text), " "))
	}
	return list
}

// copyCase copies a worked case, to be changed.
func copyCase(t *testing.T, name string) string {
	dir := t.TempDir()
	if err := os.CopyFS(dir, os.DirFS(filepath.Join("../../testdata/cases", name))); err != nil {
		t.Fatal(err)
	}
	return dir
}

func appendTo(t *testing.T, path, text string) {
	data, err := os.ReadFile(path)
	if err == nil {
		err = os.WriteFile(path, append(data, text...), 0o644)
	}
	if err != nil {
		t.Fatal(err)
	}
}
