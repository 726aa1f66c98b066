package strictyaml

import (
	"bytes"
	"fmt"
	"strconv"
	"strings"
	"unicode/utf8"

	"gopkg.in/yaml.v3"

	"treewhen/phenology/problem"
)

// unreadable returns the line of the first thing in data that is no text, and what it is; "" if all is text.
func unreadable(data []byte) (line int, what string) {
	line = 1
	for i := 0; i < len(data); {
		r, size := utf8.DecodeRune(data[i:])
		switch {
		case r == utf8.RuneError && size <= 1:
			return line, fmt.Sprintf("found byte 0x%02x, want text in UTF-8", data[i])
		case r == '\n', r == '\r' && !bytes.HasPrefix(data[i+1:], []byte("\n")):
			line++
		case r < ' ' && r != '\t' && r != '\r', r >= 0x7f && r < 0xa0 && r != 0x85, r == 0xfffe, r == 0xffff:
			return line, fmt.Sprintf("found control character U+%04X, want text", r)
		}
		i += size
	}
	return line, ""
}

// tooDeep returns the line on which more brackets are open than a document can have, 0 if none. It spares the parser
// work that it would do for nothing. Brackets within quotes and comments are not told apart, so the bound is far above
// MaxDepth's: it is there for hostile files alone.
func tooDeep(data []byte) (line int) {
	line = 1
	depth := 0
	for _, c := range data {
		switch c {
		case '\n':
			line++
		case '[', '{':
			if depth++; depth > bracketBound {
				return line
			}
		case ']', '}':
			depth = max(depth-1, 0)
		}
	}
	return 0
}

var (
	yamlError     = compiled(`(?s)^yaml: (?:line (\d+): )?(.*)$`)
	unknownAnchor = compiled(`^unknown anchor '(.*)' referenced$`)
)

// syntax notes an error of the YAML parser. Its scanner counts lines from 1, the stage after it from 0, and for an
// alias without an anchor there is no line at all.
func (d *Document) syntax(err error, data []byte) {
	line, text := 1, err.Error()
	if m := yamlError().FindStringSubmatch(text); m != nil {
		text = m[2]
		if n, err := strconv.Atoi(m[1]); err == nil {
			line = n
			if strings.HasPrefix(text, "did not find expected") {
				line++
			}
		}
	}
	if m := unknownAnchor().FindStringSubmatch(text); m != nil {
		line = 1 + bytes.Count(data[:max(0, bytes.Index(data, []byte("*"+m[1])))], []byte("\n"))
		d.add(line, "", "found alias *%s, want every value written out where it belongs: aliases are not read",
			clip(m[1]))
		return
	}
	p := problem.Problem{File: d.name, Line: max(1, min(line, d.lines)), Text: "found what is not YAML: " + clip(text)}
	switch {
	case strings.Contains(text, "mapping values are not allowed"):
		p.Hint = "text with a colon and a space in it wants quotes round it; else look at the indentation"
	case strings.Contains(text, "cannot start any token"):
		p.Hint = "indent with spaces, not with tabs; text that begins with @, ` or % wants quotes round it"
	case strings.Contains(text, "did not find expected"):
		p.Hint = "look at the indentation, and for a quote or a bracket that is not closed, on this line and above it"
	}
	d.problems = append(d.problems, p)
}

// describe says what a node is, for "found ...".
func describe(n *yaml.Node) string {
	switch n.Kind {
	case yaml.MappingNode:
		return "keys and values"
	case yaml.SequenceNode:
		return "a list"
	}
	if n.Tag == "!!null" {
		return "no value"
	}
	return quote(n)
}

// quote shows a scalar as the file has it.
func quote(n *yaml.Node) string {
	if quoted(n) || n.Tag == "!!str" {
		return strconv.Quote(clip(n.Value))
	}
	return clip(n.Value)
}

// clip keeps a message to one readable line.
func clip(s string) string {
	const most = 60
	s = strings.Map(func(r rune) rune {
		if r < ' ' || r == 0x7f {
			return ' '
		}
		return r
	}, s[:min(len(s), 4*most+utf8.UTFMax)])
	if utf8.RuneCountInString(s) <= most {
		return s
	}
	runes := []rune(s)
	return string(runes[:most]) + "…"
}

// quoted reports whether a scalar is text by the way in which it is written.
func quoted(n *yaml.Node) bool {
	return n.Style&(yaml.DoubleQuotedStyle|yaml.SingleQuotedStyle|yaml.LiteralStyle|yaml.FoldedStyle) != 0
}
