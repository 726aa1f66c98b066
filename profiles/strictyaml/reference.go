package strictyaml

import "strings"

// Reference returns the documentation of a package that reads a kind of document, from the source of its doc.go, as
// plain text: so that help and documentation cannot differ. What stands before the first heading is for programmers,
// and left out. Headings begin with "# ", examples are indented.
func Reference(source string) string {
	comment, _, _ := strings.Cut(source, "\npackage ")
	_, comment, _ = strings.Cut(comment, "// # ")
	var b strings.Builder
	b.WriteString("# ")
	for line := range strings.Lines(comment) {
		line = strings.TrimPrefix(strings.TrimPrefix(line, "//"), " ")
		b.WriteString(strings.ReplaceAll(line, "\t", "    "))
	}
	return b.String() + "\n"
}
