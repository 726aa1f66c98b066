package main

import (
	"encoding/json"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/santhosh-tekuri/jsonschema/v6"
)

// schemas is where the JSON Schemas (draft 2020-12) of all JSON outputs are.
var schemas = func() string {
	dir, err := filepath.Abs("../../testdata/schemas") // tests change their folder
	if err != nil {
		panic(err)
	}
	return dir
}()

// closedSchema compiles a schema so that it refuses keys that it does not name, where it does not say that there may be
// others: a key of ours that nobody described is found.
func closedSchema(t testing.TB, name string) *jsonschema.Schema {
	t.Helper()
	f, err := os.Open(filepath.Join(schemas, name+".schema.json"))
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	doc, err := jsonschema.UnmarshalJSON(f)
	if err != nil {
		t.Fatal(err)
	}
	var closeAll func(any)
	closeAll = func(v any) {
		switch v := v.(type) {
		case map[string]any:
			if _, open := v["additionalProperties"]; !open && v["properties"] != nil && v["type"] != nil {
				v["additionalProperties"] = false
			}
			for _, x := range v {
				closeAll(x)
			}
		case []any:
			for _, x := range v {
				closeAll(x)
			}
		}
	}
	closeAll(doc)
	c := jsonschema.NewCompiler()
	c.AssertFormat()
	if err := c.AddResource(name, doc); err != nil {
		t.Fatal(err)
	}
	s, err := c.Compile(name)
	if err != nil {
		t.Fatal(err)
	}
	return s
}

// keeps holds an output to a schema.
func keeps(s *jsonschema.Schema, output string) error {
	v, err := jsonschema.UnmarshalJSON(strings.NewReader(output))
	if err != nil {
		return err
	}
	return s.Validate(v)
}

// Every JSON output of the demonstration and of the worked cases is as its schema says, by a validator that is not ours.
func TestOutputsKeepTheirSchemas(t *testing.T) {
	cases, err := filepath.Abs("../../testdata/cases")
	if err != nil {
		t.Fatal(err)
	}
	plan := func(name string) string { return filepath.Join(cases, name, "plan.yaml") }
	placeOnly := filepath.Join(t.TempDir(), "plan.yaml")
	writeFile(t, placeOnly, `title: By the place alone
as_of: 2027-02-01
sites:
  - {id: here, latitude: 44.2, longitude: -72.6, elevation: 300 m, timezone: America/New_York, species: [red maple, vine maple], activities: [tapping, twig-survey]}
`)
	for _, row := range []struct {
		schema string
		args   []string
		plans  []string // "" is the demonstration
	}{
		{"schedule", []string{"schedule"}, []string{"", plan("sugarbush"), plan("nursery"), plan("school"), placeOnly}},
		{"phases", []string{"phases"}, []string{"", plan("sugarbush"), plan("nursery"), plan("school"), placeOnly}},
		{"sap", []string{"sap"}, []string{"", plan("sugarbush"), placeOnly}},
		{"sap-backtest", []string{"sap", "--backtest"}, []string{"", plan("sugarbush")}},
		{"workload", []string{"workload"}, []string{"", plan("nursery")}},
		{"hindcast", []string{"hindcast"}, []string{""}},
		{"alerts", []string{"alerts"}, []string{"", plan("sugarbush"), plan("school")}},
	} {
		s := closedSchema(t, row.schema)
		for _, plan := range row.plans {
			args := append(row.args, "--format", "json")
			if plan != "" {
				args = append(args, plan)
			}
			out, _ := runIn(t, args...)
			if err := keeps(s, out); err != nil {
				t.Errorf("%v: %v", args, err)
			}
			if plan == "" {
				refusesOthers(t, s, row.schema, out)
			}
		}
	}
}

// refusesOthers holds a schema to its word: no key of the first object may be lacking but those that may be left out,
// and none may be there that it does not name.
func refusesOthers(t *testing.T, s *jsonschema.Schema, name, output string) {
	t.Helper()
	var whole any
	if err := json.Unmarshal([]byte(output), &whole); err != nil {
		t.Fatal(err)
	}
	first, ok := whole.(map[string]any)
	if list, isList := whole.([]any); isList {
		first, ok = list[0].(map[string]any)
	}
	if !ok || len(first) < 3 {
		t.Fatalf("%s: found no object in %.100s", name, output)
	}
	first["unheard-of"] = 1
	if s.Validate(whole) == nil {
		t.Errorf("%s: a key that the schema does not name is accepted", name)
	}
	delete(first, "unheard-of")
	lacking := 0
	for key, value := range first {
		delete(first, key)
		if s.Validate(whole) != nil {
			lacking++
		}
		first[key] = map[string]any{"unheard-of": value}
		if s.Validate(whole) == nil {
			t.Errorf("%s: %s may be anything", name, key)
		}
		first[key] = value
	}
	if lacking == 0 {
		t.Errorf("%s: no key is required", name)
	}
}
