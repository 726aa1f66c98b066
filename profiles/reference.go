package profiles

import (
	_ "embed"
	"strings"
)

//go:embed doc.go
var docSource string

// Reference returns this package's documentation, which lists every key of a profile, as plain text: so that help and
// documentation cannot differ. Headings begin with "# ", examples are indented.
func Reference() string {
	comment, _, _ := strings.Cut(docSource, "\npackage ")
	_, comment, _ = strings.Cut(comment, "// # ") // the first paragraph tells what profiles are
	var b strings.Builder
	b.WriteString("# ")
	for line := range strings.Lines(comment) {
		line = strings.TrimPrefix(strings.TrimPrefix(line, "//"), " ")
		b.WriteString(strings.ReplaceAll(line, "\t", "    "))
	}
	return b.String() + "\n"
}
