package strictyaml

import (
	"bytes"
	"errors"
	"fmt"
	"io"
	"strconv"
	"strings"

	"gopkg.in/yaml.v3"

	"treewhen/phenology/problem"
)

const (
	// MaxSize is the most bytes that a document may have: a plan of some fifty thousand sites.
	MaxSize = 16 << 20
	// MaxDepth is how deep maps and lists may be nested. A profile goes down 7 levels.
	MaxDepth = 32
	// bracketBound is how many brackets may be open before the parser is not even asked.
	bracketBound = 50 * MaxDepth
	// maxProblems is how many problems of one document are listed; the rest are counted.
	maxProblems = 100
)

// Document is a YAML document being read. It gathers the problems that readers find.
type Document struct {
	name     string
	lines    int // the parser puts a value that is left out at the end on the line after the last
	root     *yaml.Node
	problems problem.List
	unlisted int // problems beyond maxProblems
}

// Parse reads the one document of r. The name is what problems call the file. The error is a [problem.List] if the
// document cannot be walked at all, or what r said if it could not be read. Problems that leave the rest readable, such
// as a key given twice, are kept for [Document.Err].
func Parse(r io.Reader, name string) (*Document, error) {
	data, err := io.ReadAll(io.LimitReader(r, MaxSize+1))
	if err != nil {
		return nil, fmt.Errorf("%s: %w", name, err)
	}
	d := &Document{name: name, lines: 1 + bytes.Count(bytes.TrimRight(data, "\r\n"), []byte("\n"))}
	if len(data) > MaxSize {
		d.add(1, "", "found more than %d bytes, want a file of at most %d", MaxSize, MaxSize)
		return nil, d.Err()
	}
	if line, what := unreadable(data); what != "" {
		d.add(line, "", "%s", what)
		return nil, d.Err()
	}
	if line := tooDeep(data); line > 0 {
		d.add(line, "", "found more than %d brackets open at once, want at most %d levels", bracketBound, MaxDepth)
		return nil, d.Err()
	}
	decoder := yaml.NewDecoder(bytes.NewReader(data))
	var doc yaml.Node
	switch err := decoder.Decode(&doc); {
	case errors.Is(err, io.EOF):
		d.add(1, "", "found an empty file, want keys and values")
		return nil, d.Err()
	case err != nil:
		d.syntax(err, data)
		return nil, d.Err()
	}
	d.root = doc.Content[0]
	var second yaml.Node
	switch err := decoder.Decode(&second); {
	case errors.Is(err, io.EOF):
	case err != nil:
		d.syntax(err, data)
		return nil, d.Err()
	default:
		d.add(second.Line, "", "found a second document, want one in a file")
		return nil, d.Err()
	}
	if d.root.Kind != yaml.MappingNode {
		d.add(d.root.Line, "", "found %s, want keys and values", describe(d.root))
		return nil, d.Err()
	}
	if line, what := sharing(d.root); what != "" {
		d.add(line, "", "found %s, want every value written out where it belongs: aliases are not read", what)
		return nil, d.Err()
	}
	if !d.check(d.root, "", 1) {
		return nil, d.Err()
	}
	return d, nil
}

// Map returns the document's top level.
func (d *Document) Map() *Map { return newMap(Value{doc: d, node: d.root}) }

// Name returns what the document is called in problems.
func (d *Document) Name() string { return d.name }

// Err returns everything wrong with the document so far, by line, as a [problem.List]; nil if nothing is.
func (d *Document) Err() error {
	list := append(problem.List(nil), d.problems...)
	if d.unlisted > 0 {
		last := 0
		for _, p := range list {
			last = max(last, p.Line)
		}
		list.Add(d.name, last, "", "%d more problems are not listed", d.unlisted)
	}
	return list.Err()
}

// Report notes a problem with the value at a path such as "phases.flowering.references[2].date", where items of lists
// are counted from 1. The line is the value's, or that of the nearest thing above it that is there.
func (d *Document) Report(path, text string, args ...any) {
	d.add(d.Line(path), path, text, args...)
}

// Line returns the line of the value at a path as [Document.Report] reads it.
func (d *Document) Line(path string) int {
	node, line := d.root, d.root.Line
	for _, step := range strings.FieldsFunc(path, func(r rune) bool { return r == '.' || r == '[' || r == ']' }) {
		var next *yaml.Node
		switch node.Kind {
		case yaml.MappingNode:
			for i := 0; i+1 < len(node.Content); i += 2 {
				if node.Content[i].Value == step {
					next, line = node.Content[i+1], node.Content[i].Line
					break
				}
			}
		case yaml.SequenceNode:
			if n, err := strconv.Atoi(step); err == nil && n >= 1 && n <= len(node.Content) {
				next = node.Content[n-1]
				line = next.Line
			}
		}
		if next == nil {
			break
		}
		node = next
	}
	return line
}

func (d *Document) add(line int, field, text string, args ...any) {
	if len(d.problems) >= maxProblems {
		d.unlisted++
		return
	}
	d.problems.Add(d.name, max(1, min(line, d.lines)), field, text, args...)
}

// full reports whether further problems would only be counted.
func (d *Document) full() bool { return len(d.problems) >= maxProblems }

// check looks at every node once, for what no reader wants to meet. It reports whether the document can be walked.
func (d *Document) check(n *yaml.Node, path string, depth int) bool {
	if depth > MaxDepth {
		d.add(n.Line, path, "found more than %d levels, want at most %d", MaxDepth, MaxDepth)
		return false
	}
	switch {
	case n.Style&yaml.TaggedStyle != 0:
		d.add(n.Line, path, "found tag %s, want the value alone", clip(n.Tag))
	case n.Kind == yaml.ScalarNode && n.Tag == "!!null":
		d.add(n.Line, path, "found no value, want one, or the key left out")
	}
	walkable := true
	switch n.Kind {
	case yaml.MappingNode:
		first := make(map[string]int, len(n.Content)/2)
		for i := 0; i+1 < len(n.Content); i += 2 {
			key, value := n.Content[i], n.Content[i+1]
			at := join(path, clip(key.Value))
			switch {
			case key.Kind != yaml.ScalarNode:
				d.add(key.Line, path, "found %s as a key, want a word", describe(key))
			case key.Tag == "!!merge":
				d.add(key.Line, path, "found a merge key, want the keys written out")
			case key.Style&yaml.TaggedStyle != 0:
				d.add(key.Line, path, "found a key with a tag, want the key alone")
			case first[key.Value] > 0:
				d.add(key.Line, at, "found this key a second time, first on line %d", first[key.Value])
			default:
				first[key.Value] = key.Line
			}
			walkable = d.check(value, at, depth+1) && walkable
		}
	case yaml.SequenceNode:
		for i, item := range n.Content {
			walkable = d.check(item, index(path, i), depth+1) && walkable
		}
	}
	return walkable
}

// sharing returns the line of the first anchor or alias, and what it is; "" if there is none. One is enough: a file
// built to make a reader expand aliases has nothing else in it worth reporting.
func sharing(n *yaml.Node) (line int, what string) {
	switch {
	case n.Anchor != "":
		return n.Line, "anchor &" + clip(n.Anchor)
	case n.Kind == yaml.AliasNode:
		return n.Line, "alias *" + clip(n.Value)
	}
	for _, child := range n.Content {
		if line, what := sharing(child); what != "" {
			return line, what
		}
	}
	return 0, ""
}

func join(path, key string) string {
	if path == "" {
		return key
	}
	return path + "." + key
}

func index(path string, i int) string { return path + "[" + strconv.Itoa(i+1) + "]" }
