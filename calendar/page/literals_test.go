package page_test

import (
	"fmt"
	"go/ast"
	"go/parser"
	"go/token"
	"os"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"testing"
)

// literalOf is a text that stands in the program.
func literalOf(e ast.Expr) (string, bool) {
	switch e := e.(type) {
	case *ast.BasicLit:
		text, err := strconv.Unquote(e.Value)
		return text, err == nil
	case *ast.BinaryExpr:
		a, okA := literalOf(e.X)
		b, okB := literalOf(e.Y)
		return a + b, okA && okB
	}
	return "", false
}

var (
	verb        = regexp.MustCompile(`%([0-9.]*[a-z]|%)`)
	unclosedTag = regexp.MustCompile(`<[^<>]*$`)
	inAttribute = regexp.MustCompile(`\s([a-z][a-zA-Z0-9-]*)="([^"]*)$`)
	closed      = regexp.MustCompile(`"[^"]*"`)
	inElement   = regexp.MustCompile(`(?s)<(script|style)>((?:[^<]|<[^/])*)$`)
)

// ofProgram reports whether a text is made of files of the program and of nothing else.
func ofProgram(e ast.Expr) bool {
	switch e := e.(type) {
	case *ast.Ident:
		return slices.Contains([]string{"pageCSS", "pageJS", "shapes", "sheetCSS", "letterCSS", "standSheetCSS", "wallCSS"}, e.Name)
	case *ast.CallExpr:
		name, ok := e.Fun.(*ast.Ident)
		return ok && name.Name == "pictureStyle"
	case *ast.BinaryExpr:
		return ofProgram(e.X) && ofProgram(e.Y)
	}
	_, literal := literalOf(e)
	return literal
}

// checkLiteral says what is wrong with where the verbs of a piece of HTML stand: escaping keeps a text between elements and
// between double quotes, but not in a script, a style, the name of an attribute or one that is run.
func checkLiteral(text string, values []string) error {
	n := 0
	for _, at := range verb.FindAllStringIndex(text, -1) {
		if text[at[1]-1] == '%' {
			continue
		}
		if n >= len(values) {
			return fmt.Errorf("more verbs than values")
		}
		value, before := values[n], text[:at[0]]
		n++
		if in := inElement.FindStringSubmatch(before); in != nil {
			if value != "File" && value != "style" || strings.TrimSpace(in[2]) != "" {
				return fmt.Errorf("a text in a %s", in[1])
			}
			continue
		}
		tag := unclosedTag.FindString(before)
		if tag == "" {
			continue
		}
		in := inAttribute.FindStringSubmatch(tag)
		if in == nil || strings.Contains(closed.ReplaceAllString(tag[:len(tag)-len(in[0])], ""), `"`) {
			return fmt.Errorf("a text in %s, in no attribute", tag)
		}
		switch name := strings.ToLower(in[1]); {
		case strings.HasPrefix(name, "on"), slices.Contains([]string{"style", "src", "srcdoc", "srcset", "action", "formaction", "ping"}, name):
			return fmt.Errorf("a text in %s", name)
		case strings.HasSuffix(name, "href") && in[2] != "" && !strings.HasPrefix(in[2], "#"):
			return fmt.Errorf("a text inside an address: %s", in[2])
		case value == "File":
			return fmt.Errorf("a file in an attribute")
		}
	}
	if n < len(values) {
		return fmt.Errorf("more values than verbs")
	}
	if tag := unclosedTag.FindString(text); tag != "" {
		return fmt.Errorf("it ends within %s", tag)
	}
	return nil
}

// TestTextsStandWhereEscapingHolds looks at every piece of HTML that this package writes.
func TestTextsStandWhereEscapingHolds(t *testing.T) {
	files, err := os.ReadDir(".")
	if err != nil {
		t.Fatal(err)
	}
	found := 0
	for _, f := range files {
		if !strings.HasSuffix(f.Name(), ".go") || strings.HasSuffix(f.Name(), "_test.go") {
			continue
		}
		set := token.NewFileSet()
		parsed, err := parser.ParseFile(set, f.Name(), nil, 0)
		if err != nil {
			t.Fatal(err)
		}
		ast.Inspect(parsed, func(node ast.Node) bool {
			call, ok := node.(*ast.CallExpr)
			if !ok {
				return true
			}
			name, ok := call.Fun.(*ast.SelectorExpr)
			if ok && name.Sel.Name == "File" && !ofProgram(call.Args[0]) {
				t.Errorf("%s: found taken in as it is what may be no file of the program", set.Position(call.Pos()))
			}
			if !ok || !slices.Contains([]string{"Put", "Make", "Some", "Each"}, name.Sel.Name) {
				return true
			}
			found++
			text, ok := literalOf(call.Args[0])
			if !ok {
				t.Errorf("%s: no literal", set.Position(call.Pos()))
				return true
			}
			var values []string // what they are made by
			for _, arg := range call.Args[1:] {
				made := ""
				switch arg := arg.(type) {
				case *ast.Ident:
					made = arg.Name
				case *ast.CallExpr:
					if name, ok := arg.Fun.(*ast.SelectorExpr); ok {
						made = name.Sel.Name
					}
				}
				values = append(values, made)
			}
			if err := checkLiteral(text, values); err != nil {
				t.Errorf("%s: found %v", set.Position(call.Pos()), err)
			}
			return true
		})
	}
	if found < 100 {
		t.Errorf("found %d pieces of HTML, too few to be all", found)
	}
}

// TestCheckOfLiterals: the check above finds what it is there to find.
func TestCheckOfLiterals(t *testing.T) {
	for _, row := range []struct {
		text   string
		values int
		wrong  bool
	}{
		{`<p class="a %s" b="%.1f%%">%s</p>`, 3, false}, {`<a href="%s">%s</a><a href="#%s">`, 3, false}, {`plain`, 0, false},
		{`<p class=%s>`, 1, true}, {`<p class='%s'>`, 1, true}, {`<%s>`, 1, true}, {`<p %s="a">`, 1, true}, {`<p a="b" %s>`, 1, true},
		{`<p onclick="%s">`, 1, true}, {`<p style="%s">`, 1, true}, {`<img src="%s">`, 1, true}, {`<script>%s</script>`, 1, true},
		{`<style>a{%s}</style>`, 1, true}, {`<a href="java%s">`, 1, true}, {`<p class="`, 0, true}, {`<p`, 0, true},
		{`%s`, 0, true}, {`%s`, 2, true},
	} {
		if err := checkLiteral(row.text, make([]string, row.values)); (err != nil) != row.wrong {
			t.Errorf("%s: found %v", row.text, err)
		}
	}
}
