package main

import (
	"fmt"
	"io"
	"slices"
	"strings"

	"github.com/spf13/pflag"

	"treewhen/calendar/text"
	"treewhen/phenology/problem"
)

// option is one option of a command, as help, the manual page and completion show it.
type option struct {
	name  string
	value string // what it takes: DATE; "" if nothing
	text  string
	usual string   // its default, "" if that needs no telling
	words []string // some that it takes; nil for anything
}

// options returns a command's own options, and those that all commands share which read a plan.
func (c *command) options() (own, shared []option) {
	common := pflag.NewFlagSet("", pflag.ContinueOnError)
	new(inputOptions).addTo(common)
	fs, _ := c.flags()
	readsPlan := true // if it has all of them
	common.VisitAll(func(f *pflag.Flag) { readsPlan = readsPlan && fs.Lookup(f.Name) != nil })
	fs.VisitAll(func(f *pflag.Flag) {
		if f.Hidden {
			return
		}
		value, text := pflag.UnquoteUsage(f)
		if value == strings.ToLower(value) { // the first of the words it takes
			value = strings.ToUpper(f.Name)
		}
		text = strings.Join(strings.Fields(text), " ")
		o := option{name: f.Name, value: value, text: text, words: f.Annotations[wordsOffered]}
		if f.Value.Type() == "bool" {
			o.value = ""
		} else if f.DefValue != "0" {
			o.usual = strings.Trim(f.DefValue, "[]")
		}
		if readsPlan && common.Lookup(f.Name) != nil {
			shared = append(shared, o)
		} else {
			own = append(own, o)
		}
	})
	return own, shared
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

// Annotations of an option that takes words: those that completion offers, and, where it takes no others, that.
const (
	wordsOffered = "words"
	noOthers     = "no others"
)

// addWord adds an option that takes one of some words, or is left as it usually is.
func addWord(fs *pflag.FlagSet, to *string, name, usual, usage string, allowed ...string) {
	fs.StringVar(to, name, usual, usage)
	offer(fs, name, allowed...)
	fs.Lookup(name).Annotations[noOthers] = allowed
}

// addFormat adds the option of a command that writes text or something else.
func addFormat(fs *pflag.FlagSet, to *string, others ...string) {
	last := len(others) - 1
	names := strings.Join(append([]string{"text"}, others[:last]...), ", ") + " or " + others[last]
	addWord(fs, to, "format", "text", "the `FORMAT`: "+names, append([]string{"text"}, others...)...)
}

// offer lets completion offer words for an option.
func offer[W ~string](fs *pflag.FlagSet, name string, words ...W) {
	list := make([]string, len(words))
	for i, w := range words {
		list[i] = string(w)
	}
	fs.Lookup(name).Annotations = map[string][]string{wordsOffered: list}
}

// checkWords refuses a word that an option does not take.
func checkWords(fs *pflag.FlagSet) (err error) {
	fs.VisitAll(func(f *pflag.Flag) {
		if words := f.Annotations[noOthers]; words != nil && f.Value.String() != f.DefValue && err == nil {
			err = oneOf("--"+f.Name, f.Value.String(), words...)
		}
	})
	return err
}

// oneOf checks an option's value against the words allowed.
func oneOf(option, value string, allowed ...string) error {
	if slices.Contains(allowed, value) {
		return nil
	}
	return problem.Usagef("%s: found %q, want one of %s", option, value, problem.Names(allowed, len(allowed)))
}
