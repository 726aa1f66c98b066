package strictyaml_test

import (
	"errors"
	"fmt"
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
		{"a key twice, further in", "x:\n  - a: 1\n    a: 2\n", "f.yaml:3: x[1].a: found this key a second time, first on line 2"},
		{"nulls", "a: ~\nb:\nc: [null]\n", "f.yaml:1: a: found no value, want one, or the key left out\n" +
			"f.yaml:2: b: found no value, want one, or the key left out\n" +
			"f.yaml:3: c[1]: found no value, want one, or the key left out"},
		{"anchor and alias", "a: &x 1\nb: *x\n", "f.yaml:1: a: found anchor &x, want the value alone: aliases are not read\n" +
			"f.yaml:2: b: found alias *x, want the value written out"},
		{"alias of nothing", "a: 1\nb: *nope\n", "f.yaml:2: found alias *nope, want the value written out"},
		{"merge key", "a: 1\n<<: {b: 1}\n", "f.yaml:2: found a merge key, want the keys written out"},
		{"tag", "a: !!int 3\n", "f.yaml:1: a: found tag !!int, want the value alone"},
		{"a list as a key", "? [a]\n: b\n", "f.yaml:1: found a list as a key, want a word"},
		{"bad UTF-8", "a: 1\nb: \xff\n", "f.yaml:2: found byte 0xff, want text in UTF-8"},
		{"control character", "a: 1\nb: x\x07\n", "f.yaml:2: found control character U+0007, want text"},
		{"colon in text", "a: 1\nb: c: d\n", "f.yaml:2: found what is not YAML: mapping values are not allowed in this context"},
		{"tab", "a: 1\n\tb: 2\n", "f.yaml:2: found what is not YAML: found a tab character that violates indentation"},
		{"bad indentation", "x: 1\ny:\n  - a\n b: 2\n", "f.yaml:4: found what is not YAML: did not find expected key"},
		{"bracket left open", "a: 1\nb: [1, 2\nc: 3\n", "f.yaml:2: found what is not YAML: did not find expected ',' or ']'"},
		{"bracket left open at the end", "a: 1\nb: [\n", "f.yaml:2: found what is not YAML: did not find expected node content"},
		{"too deep", "a: " + strings.Repeat("[", 40) + strings.Repeat("]", 40),
			"f.yaml:1: a" + strings.Repeat("[1]", strictyaml.MaxDepth-1) + ": found more than 32 levels, want at most 32"},
		{"too long", strings.Repeat("# ring\n", strictyaml.MaxSize/7+1),
			"f.yaml:1: found more than 1048576 bytes, want a file of at most 1048576"},
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
