package weather

import (
	"bytes"
	"fmt"
	"slices"
	"strings"
)

// maxPreamble is how many lines of description may stand above the header in the formats that have them.
const maxPreamble = 64

// format returns the file's format: the one that was asked for, or what its first lines show. If it is none, that is a
// problem.
func (f *file) format() Format {
	if f.opts.Format != FormatAuto && f.opts.Format != "" {
		return f.opts.Format
	}
	var first []byte
	firstAt, i := 0, -1
	for line := range bytes.SplitSeq(f.src.peek(), []byte{'\n'}) {
		i++
		line = bytes.TrimSuffix(line, []byte{'\r'})
		if len(bytes.TrimSpace(line)) == 0 || line[0] == '#' {
			continue
		}
		cells, _ := split(line, nil)
		if first == nil {
			first, firstAt = line, i+1
			switch {
			case isDly(line):
				return FormatGHCNDly
			case isGHCNRow(cells) || isGHCNHeader(cells):
				return FormatGHCNCSV
			}
		}
		switch {
		case isCanadaHeader(cells):
			return FormatCanada
		case isGridCellHeader(cells):
			return FormatGridCell
		case firstAt == i+1 && plainRoles(cells) >= 2:
			return FormatPlain
		}
		if i == maxPreamble {
			break
		}
	}
	if first == nil {
		f.problems.add(0, "", "", "the file has nothing but blank lines and comments, want daily temperatures")
		return ""
	}
	hint := ""
	switch {
	case plainRoles(bytes.Split(first, []byte{';'})) >= 2, plainRoles(bytes.Split(first, []byte{'\t'})) >= 2:
		hint = "separate the columns by commas, and write numbers with decimal points"
	case bytes.Contains(first, []byte(normalMax)):
		hint = "these are monthly normals, which stand in for a place without a daily record"
	case len(first) > 0 && first[0] == '<':
		hint = "this is a web page, perhaps the answer to a failed download"
	}
	f.problems.add(firstAt, "", hint, "found %s, want the first line of one of the formats that are read: %s",
		show(first), formatList())
	return ""
}

func formatNames() string {
	names := []string{string(FormatAuto)}
	for _, known := range formats {
		names = append(names, string(known.format))
	}
	return list(names, "and")
}

func formatList() string {
	var about []string
	for _, known := range formats {
		about = append(about, known.about)
	}
	return strings.Join(about, "; ")
}

// plainRoles counts which of a day, a minimum and a maximum a header has.
func plainRoles(header [][]byte) int {
	var roles []role
	for _, h := range header {
		if r, _ := plainColumn(h); (r == roleDate || r == roleMin || r == roleMax) && !slices.Contains(roles, r) {
			roles = append(roles, r)
		}
	}
	return len(roles)
}

// wants is for a file that was to be read in a format that it is not in.
func (f *file) wants(line int, found, want string) scale {
	text := fmt.Sprintf("the file has no header with %s", want)
	if line > 0 {
		text = fmt.Sprintf("found %s, want a header with %s", found, want)
	}
	f.problems.add(line, "", "", "%s", text)
	return scale{}
}
