package strictyaml_test

import (
	"errors"
	"flag"
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"treewhen/phenology/problem"
	"treewhen/profiles/strictyaml"
)

func parse(text string) (*strictyaml.Document, error) {
	return strictyaml.Parse(strings.NewReader(text), "f.yaml")
}

func TestWhatNoReaderWantsToMeet(t *testing.T) {
	for _, tt := range []struct{ name, in, want string }{
		{"nothing", "", "f.yaml:1: found an empty file, want keys and values"},
		{"a comment alone", "# later\n", "f.yaml:1: found an empty file, want keys and values"},
		{"a list", "\n- a\n", "f.yaml:2: found a list, want keys and values"},
		{"text", "maple", `f.yaml:1: found "maple", want keys and values`},
		{"null", "~", "f.yaml:1: found no value, want keys and values"},
		{"a second document", "a: 1\n---\nb: 2\n", "f.yaml:2: found a second document, want one in a file"},
		{"a key twice", "a: 1\nb: 2\na: 3\n", "f.yaml:3: a: found this key a second time, first on line 1"},
		{"a key twice, further in", "x:\n  - a: 1\n    a: 2\n", "f.yaml:3: x[1].a: found this key a second time, " +
			"first on line 2"},
		{"nulls", "a: ~\nb:\nc: [null]\n", "f.yaml:1: a: found no value, want one, or the key left out\n" +
			"f.yaml:2: b: found no value, want one, or the key left out\n" +
			"f.yaml:3: c[1]: found no value, want one, or the key left out"},
		{"anchor and alias", "a: &x 1\nb: *x\n",
			"f.yaml:1: found anchor &x, want every value written out where it belongs: aliases are not read"},
		{"alias of nothing", "a: 1\nb: *nope\n",
			"f.yaml:2: found alias *nope, want every value written out where it belongs: aliases are not read"},
		{"anchor on a key", "&x a: 1\n",
			"f.yaml:1: found anchor &x, want every value written out where it belongs: aliases are not read"},
		{"merge key", "a: 1\n<<: {b: 1}\n", "f.yaml:2: found a merge key, want the keys written out"},
		{"tag", "a: !!int 3\n", "f.yaml:1: a: found tag !!int, want the value alone"},
		{"a list as a key", "? [a]\n: b\n", "f.yaml:1: found a list as a key, want a word"},
		{"bad UTF-8", "a: 1\nb: \xff\n", "f.yaml:2: found byte 0xff, want text in UTF-8"},
		{"control character", "a: 1\nb: x\x07\n", "f.yaml:2: found control character U+0007, want text"},
		{"colon in text", "a: 1\nb: c: d\n", "f.yaml:2: found what is not YAML: mapping values are not allowed in " +
			"this context"},
		{"tab", "a: 1\n\tb: 2\n", "f.yaml:2: found what is not YAML: found a tab character that violates indentation"},
		{"bad indentation", "x: 1\ny:\n  - a\n b: 2\n", "f.yaml:4: found what is not YAML: did not find expected key"},
		{"bracket left open", "a: 1\nb: [1, 2\nc: 3\n",
			"f.yaml:2: found what is not YAML: did not find expected ',' or ']'"},
		{"bracket left open at the end", "a: 1\nb: [\n", "f.yaml:2: found what is not YAML: did not find expected " +
			"node content"},
		{"too deep", "a: " + strings.Repeat("[", 40) + strings.Repeat("]", 40),
			"f.yaml:1: a" + strings.Repeat("[1]", strictyaml.MaxDepth-1) + ": found more than 32 levels, want at " +
				"most 32"},
		{"too long", strings.Repeat("# ring\n", strictyaml.MaxSize/7+1),
			"f.yaml:1: found more than 16777216 bytes, want a file of at most 16777216"},
	} {
		t.Run(tt.name, func(t *testing.T) {
			doc, err := parse(tt.in)
			if err == nil {
				err = doc.Err()
			}
			if got := fmt.Sprint(err); got != tt.want {
				t.Errorf("got\n%s\nwant\n%s", got, tt.want)
			}
			if _, ok := errors.AsType[problem.Problem](err); !ok {
				t.Errorf("%v holds no problem.Problem", err)
			}
		})
	}
}

// Ten levels of nine aliases each would be 3.5 thousand million values; every key of a map the same; brackets without
// end.
func hostile() map[string]string {
	var bomb strings.Builder
	bomb.WriteString("a: &a [x, x, x, x, x, x, x, x, x]\n")
	for c := 'b'; c < 'l'; c++ {
		fmt.Fprintf(&bomb, "%c: &%c [%s*%c]\n", c, c, strings.Repeat(fmt.Sprintf("*%c, ", c-1), 8), c-1)
	}
	var unknown strings.Builder
	for i := range 10000 {
		fmt.Fprintf(&unknown, "key%d: 1\n", i)
	}
	return map[string]string{
		"alias bomb":           bomb.String(),
		"10,000 times one key": strings.Repeat("maple: 1\n", 10000),
		"10,000 unknown keys":  unknown.String(),
		"brackets":             "a: " + strings.Repeat("[", 500000),
		"dashes":               strings.Repeat("- ", 500000),
		"question marks":       strings.Repeat("? ", 500000),
		"empty maps":           "a: [" + strings.Repeat("{},", 300000) + "]",
		"nothings":             "a: [" + strings.Repeat("~,", 300000) + "]",
		"a long word":          "a: 1\n" + strings.Repeat("x", 1000000) + ": 1\n",
	}
}

func TestHostileFilesAreRefused(t *testing.T) {
	for name, text := range hostile() {
		doc, err := parse(text)
		if err == nil {
			m := doc.Map()
			m.IntIn("maple", 0, 9)
			if v, ok := m.Get("a"); ok {
				v.Floats()
			}
			m.Done()
			err = doc.Err()
		}
		list, ok := err.(problem.List)
		if !ok {
			t.Errorf("%s: %v", name, err)
			continue
		}
		if len(list) > 101 || len(err.Error()) > 101*300 {
			t.Errorf("%s: %d problems in %d bytes, want no more than a person can read", name, len(list),
				len(err.Error()))
		}
	}
}

// How the time to refuse a file grows with it: ns/byte should be about the same for both sizes.
func BenchmarkDuplicateKeys(b *testing.B) {
	for _, n := range []int{10000, 100000} {
		text := strings.Repeat("maple: 1\n", n)
		b.Run(fmt.Sprint(n), func(b *testing.B) {
			b.SetBytes(int64(len(text)))
			for b.Loop() {
				if _, err := parse(text); err != nil {
					b.Fatal(err)
				}
			}
		})
	}
}

func FuzzParse(f *testing.F) {
	flag.Set("test.fuzzminimizetime", "10x") // by default, a minute goes into each find and stops all else
	for _, text := range hostile() {
		f.Add(text[:min(len(text), 200)]) // what is hostile about them repeats; long seeds make every run slow
	}
	for _, folder := range []string{"plans", "profiles"} {
		names, err := filepath.Glob("../../testdata/bad/" + folder + "/*.yaml")
		if err != nil || len(names) == 0 {
			f.Fatalf("no broken %s: %v", folder, err)
		}
		for _, name := range names {
			if data, err := os.ReadFile(name); err == nil && len(data) < 500 {
				f.Add(string(data))
			}
		}
	}
	f.Add("a: 1\nb: [x, {c: 2020-01-01}]\nd: 03-04\ne: 4 C\nf: 1 to 2 days\n")
	f.Add("a: \"x\\a\"\n? [b]\n: c\n---\n")
	f.Add("a: 1\n? cb\n\n [:-\n: 2\n") // a key of several lines
	f.Add("a: x\\a\"\n? cb]\n\n [:-")
	f.Fuzz(func(t *testing.T, text string) {
		doc, err := parse(text)
		if err == nil {
			walk(doc.Map())
			err = doc.Err()
			if len(doc.Map().Keys()) > 0 && err == nil {
				t.Error("keys that nobody asked for are no problem")
			}
		}
		if err == nil {
			return
		}
		list, ok := err.(problem.List)
		if !ok {
			t.Fatalf("%T is no problem.List", err)
		}
		lines := 1 + strings.Count(text, "\n")
		for _, p := range list {
			if p.File != "f.yaml" || p.Line < 1 || p.Line > lines || p.Text == "" ||
				strings.ContainsAny(p.Error(), "\n\r") {
				t.Errorf("%#v of %d lines", p, lines)
			}
		}
	})
}

// walk asks every value for everything that it could be, and asks for none of the keys.
func walk(m *strictyaml.Map) {
	for _, key := range m.Keys() {
		m.ReportKey(key, "found it")
	}
	m.Required("no such key")
	m.Done()
	for _, v := range m.All() {
		ask(v)
	}
}

func ask(v strictyaml.Value) {
	v.Text()
	v.Texts()
	v.FloatIn(0, 1)
	v.FloatRange()
	v.IntIn(0, 1)
	v.Bool()
	v.Date()
	v.MonthDay()
	v.Quantity(strictyaml.Length)
	v.QuantityRange(strictyaml.Temperature)
	strictyaml.OneOf(v, "orthodox", "recalcitrant")
	if v.IsMap() {
		if m, ok := v.Map(); ok {
			walk(m)
		}
	}
	if items, ok := v.List(); ok {
		for _, item := range items {
			ask(item)
		}
	}
}
