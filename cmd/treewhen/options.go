package main

import (
	"fmt"
	"io"
	"regexp"
	"strings"
	"sync"

	"github.com/spf13/pflag"

	"treewhen/calendar/text"
)

// option is one option of a command, as help, the manual page and completion show it.
type option struct {
	name   string
	value  string // what it takes: DATE; "" if nothing
	text   string
	usual  string // its default, "" if that needs no telling
	common bool   // every command that reads a plan has it
}

// options returns a command's options, its own before those that it shares with others.
func (c *command) options() []option {
	shared := pflag.NewFlagSet("", pflag.ContinueOnError)
	new(inputOptions).addTo(shared)
	fs, _ := c.flags()
	common := true // only where the command has all of them, so that it reads a plan
	shared.VisitAll(func(f *pflag.Flag) { common = common && fs.Lookup(f.Name) != nil })
	var own, others []option
	fs.VisitAll(func(f *pflag.Flag) {
		if f.Hidden {
			return
		}
		value, text := pflag.UnquoteUsage(f)
		if value == strings.ToLower(value) { // the first of the words it takes
			value = strings.ToUpper(f.Name)
		}
		o := option{name: f.Name, value: value, text: strings.Join(strings.Fields(text), " ")}
		switch f.Value.Type() {
		case "bool":
			o.value = ""
		default:
			switch f.DefValue {
			case "", "0", "[]", "false":
			default:
				o.usual = strings.Trim(f.DefValue, "[]")
			}
		}
		if o.common = common && shared.Lookup(f.Name) != nil; o.common {
			others = append(others, o)
		} else {
			own = append(own, o)
		}
	})
	return append(own, others...)
}

// head is the option as it is typed.
func (o option) head() string {
	if o.value == "" {
		return "--" + o.name
	}
	return "--" + o.name + " " + o.value
}

// tail is what the option does, with its default.
func (o option) tail() string {
	if o.usual == "" {
		return o.text
	}
	return o.text + " (default " + o.usual + ")"
}

const (
	helpWidth  = 80
	helpIndent = 22 // where the texts of options begin
)

// writeOptions lists options for help.
func writeOptions(w io.Writer, list []option) {
	for _, o := range list {
		lines := wrap(o.tail(), helpWidth-helpIndent)
		head := "  " + o.head()
		if len(head) > helpIndent-2 {
			fmt.Fprintln(w, head)
			head = ""
		}
		for _, l := range lines {
			fmt.Fprintf(w, "%-*s%s\n", helpIndent, head, l)
			head = ""
		}
	}
}

// wrap breaks a paragraph into lines of at most so many columns, at spaces.
func wrap(paragraph string, width int) []string {
	var lines []string
	line := ""
	for _, word := range strings.Fields(paragraph) {
		switch {
		case line == "":
			line = word
		case text.Width(line)+1+text.Width(word) <= width:
			line += " " + word
		default:
			lines = append(lines, line)
			line = word
		}
	}
	return append(lines, line)
}

// rewrap breaks the paragraphs of a text anew. Lines that begin with a space stay as they are.
func rewrap(text string, width int) string {
	var lines []string
	var paragraph []string
	flush := func() {
		if len(paragraph) > 0 {
			lines = append(lines, wrap(strings.Join(paragraph, " "), width)...)
			paragraph = nil
		}
	}
	for line := range strings.SplitSeq(text, "\n") {
		if line == "" || line[0] == ' ' {
			flush()
			lines = append(lines, line)
		} else {
			paragraph = append(paragraph, line)
		}
	}
	flush()
	return strings.Join(lines, "\n")
}

// wordsForm is how help lists the words that an option takes: "the FORMAT: text, csv or json"; "producer, nursery or
// school, or words of your own"; "panel: what that is; or wide: what that is".
var wordsForm = sync.OnceValue(func() *regexp.Regexp {
	return regexp.MustCompile(
		`^(?:[^:]*: )?([a-z]+(?:-[a-z]+)*)((?:, [a-z]+(?:-[a-z]+)*)*)(?: or ([a-z]+(?:-[a-z]+)*))?`,
	)
})

// words returns the words that an option takes, as its help lists them: nil if it takes anything. A test holds help to
// what the commands accept.
func (o option) words() []string {
	var words []string
	switch o.name {
	case "format", "activity", "for":
		m := wordsForm().FindStringSubmatch(o.text)
		if m == nil {
			return nil
		}
		words = append(words, m[1])
		words = append(words, strings.Split(strings.TrimPrefix(m[2], ", "), ", ")...)
		words = append(words, m[3])
	case "models":
		for part := range strings.SplitSeq(o.text, "; or ") {
			word, _, _ := strings.Cut(part, ":")
			words = append(words, word)
		}
	}
	var kept []string
	for _, w := range words {
		if w != "" {
			kept = append(kept, w)
		}
	}
	return kept
}
