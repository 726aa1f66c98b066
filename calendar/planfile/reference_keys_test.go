package planfile

import (
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"testing"
)

// keyRead is how the package asks a map of the plan for a key.
var keyRead = regexp.MustCompile(`(?:\b\w+\.(?:Text|Texts|Map|Maps|List|Date|Bool|Floats|FloatIn|FloatRange|IntIn|Quantity|MonthDay|Get|Has)\(|(?:GetAs|GetOneOf|listOf|wholeDays|readOffset|readPath|readSecret|readSources)\(\w+, |\bwords\()"([a-z_-]+)"`)

// Every key that is read is described; the other way round, the documented plan is read whole.
func TestEveryKeyIsDescribed(t *testing.T) {
	files, err := filepath.Glob("*.go")
	if err != nil {
		t.Fatal(err)
	}
	text := Reference()
	seen := 0
	for _, name := range files {
		if strings.HasSuffix(name, "_test.go") {
			continue
		}
		data, err := os.ReadFile(name)
		if err != nil {
			t.Fatal(err)
		}
		for _, m := range keyRead.FindAllStringSubmatch(string(data), -1) {
			seen++
			if !regexp.MustCompile(`(^|[^a-z_])` + m[1] + `([^a-z_-]|$)`).MatchString(text) {
				t.Errorf("%s reads the key %q, which doc.go does not describe", name, m[1])
			}
		}
	}
	if seen < 60 {
		t.Errorf("found only %d keys read; is keyRead still how they are?", seen)
	}
	if !strings.HasPrefix(text, "# The plan file\n") || !strings.Contains(text, "\n    sites:") || strings.Contains(text, "package planfile") {
		t.Errorf("found a description that begins %.60q", text)
	}
}
