package planfile

import (
	_ "embed"

	"treewhen/profiles/strictyaml"
)

//go:embed doc.go
var docSource string

// Reference returns this package's documentation, which lists every key of a plan and every column of an observations
// file, as plain text: so that help and documentation cannot differ. Headings begin with "# ", examples are indented.
func Reference() string { return strictyaml.Reference(docSource) }
