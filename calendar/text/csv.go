package text

import (
	"encoding/csv"
	"fmt"
	"io"
	"iter"
)

// writeTable writes a header and rows as CSV.
func writeTable(w io.Writer, header []string, rows iter.Seq[[]string]) error {
	out := csv.NewWriter(w)
	if err := out.Write(header); err != nil {
		return err
	}
	for row := range rows {
		if err := out.Write(row); err != nil {
			return err
		}
	}
	out.Flush()
	return out.Error()
}

// cell writes a value in a table; nothing where there is none.
func cell[T fmt.Stringer](v *T) string {
	if v == nil {
		return ""
	}
	return (*v).String()
}
