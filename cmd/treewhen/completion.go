package main

import (
	"bufio"
	"bytes"
	"context"
	"fmt"
	"io"
	"io/fs"
	"slices"
	"strings"

	"github.com/spf13/pflag"

	"treewhen/calendar/inputs"
	"treewhen/calendar/planfile"
	"treewhen/calendar/regular"
	"treewhen/cmd/treewhen/demo"
	"treewhen/phenology/problem"
)

// completionCommand is a function, and not a variable like the others, because it needs the table that it stands in.
func completionCommand() command {
	return command{
		name: "completion", args: "bash|zsh|fish",
		summary: "lets the shell complete commands, options and their words",
		about: "Prints a script for the shell. It asks treewhen what fits, so it knows your plan's sites and your\n" +
			"own species too.\n\n" +
			"  bash: eval \"$(treewhen completion bash)\"             in ~/.bashrc\n" +
			"  zsh:  eval \"$(treewhen completion zsh)\"              in ~/.zshrc, after compinit\n" +
			"  fish: treewhen completion fish | source              in ~/.config/fish/config.fish",
		setup: func(fs *pflag.FlagSet) action {
			var answer bool
			fs.BoolVar(&answer, "answer", false, "what fits the last of the words given, one a line, as the scripts "+
				"ask for it")
			fs.Lookup("answer").Hidden = true
			return func(ctx context.Context, p *program, args []string) error {
				if answer {
					if len(args) == 0 {
						return problem.Usagef("completion: found no words to complete")
					}
					return p.answer(args)
				}
				if len(args) != 1 || shellScripts[args[0]] == "" {
					return problem.Usage{
						Text: fmt.Sprintf("completion: found %q, want one of bash, zsh, fish", strings.Join(args, " ")),
						Hint: "treewhen help completion",
					}
				}
				_, err := io.WriteString(p.stdout, shellScripts[args[0]])
				return err
			}
		},
	}
}

// Where no candidate is a word, the shell completes names of files or folders itself.
const (
	answerFiles   = ":files"
	answerFolders = ":folders"
)

// candidate is a word that fits, with what it is.
type candidate struct{ word, about string }

// answer writes what fits the last word: lines of WORD, a tab and what it is, or a line that says what the shell
// completes.
func (p *program) answer(words []string) error {
	candidates, kind := completionsOf(words)
	var b bytes.Buffer
	last := words[len(words)-1]
	for _, c := range candidates {
		if strings.HasPrefix(c.word, last) {
			fmt.Fprintf(&b, "%s\t%s\n", c.word, c.about)
		}
	}
	if kind != "" {
		fmt.Fprintln(&b, kind)
	}
	_, err := p.stdout.Write(b.Bytes())
	return err
}

// completionsOf returns what can stand in place of the last word, and what kind of file name, if any.
func completionsOf(words []string) ([]candidate, string) {
	var list []candidate
	if len(words) == 1 || len(words) == 2 && words[0] == "help" {
		for _, c := range commands() {
			list = append(list, candidate{c.name, c.summary})
		}
		if len(words) == 1 {
			return append(list, candidate{"help", "more on a command"}, candidate{"--help", "what there is"},
				candidate{"--version", "which build this is"}), ""
		}
		for _, t := range topics() {
			list = append(list, candidate{t.name, t.summary})
		}
		return list, ""
	}
	c, err := find(words[0])
	if err != nil {
		return nil, ""
	}
	l := readLine(c, words[1:])
	switch last := words[len(words)-1]; {
	case l.awaits != nil:
		return l.values(*l.awaits, "")
	case l.ended || !strings.HasPrefix(last, "-"):
		return l.arguments(c)
	case strings.Contains(last, "="):
		name, _, _ := strings.Cut(strings.TrimPrefix(last, "--"), "=")
		for _, o := range l.options {
			if o.name == name {
				return l.values(o, "--"+name+"=")
			}
		}
		return nil, ""
	}
	for _, o := range l.options {
		if !l.given[o.name] || strings.Contains(o.text, "repeatable") {
			list = append(list, candidate{"--" + o.name, o.tail()})
		}
	}
	return append(list, candidate{"--help", "the options of " + c.name}), ""
}

// typedLine is a command line as far as it has been typed, its last word left out.
type typedLine struct {
	options  []option
	given    map[string]bool
	args     []string // that are no options
	profiles string
	awaits   *option // the option whose value the last word is
	ended    bool    // "--" came before
}

func readLine(c *command, words []string) *typedLine {
	l := &typedLine{options: slices.Concat(c.options()), given: map[string]bool{}}
	for _, w := range words[:len(words)-1] {
		if o := l.awaits; o != nil {
			l.awaits = nil
			if o.name == "profiles" {
				l.profiles = w
			}
			continue
		}
		if w == "--" {
			l.ended = true
			continue
		}
		name, isOption := strings.CutPrefix(w, "--")
		if l.ended || !isOption {
			l.args = append(l.args, w)
			continue
		}
		name, value, joined := strings.Cut(name, "=")
		l.given[name] = true
		if joined && name == "profiles" {
			l.profiles = value
		}
		i := slices.IndexFunc(l.options, func(o option) bool { return o.name == name })
		if i >= 0 && !joined && l.options[i].value != "" {
			l.awaits = &l.options[i]
		}
	}
	return l
}

// values returns what an option takes, each behind a prefix.
func (l *typedLine) values(o option, prefix string) (list []candidate, kind string) {
	for _, w := range o.words {
		list = append(list, candidate{w, ""})
	}
	switch {
	case o.name == "species":
		list = l.species()
	case o.name == "site":
		list = l.sites()
	case o.value == "DIR":
		return nil, answerFolders
	case o.value == "FILE":
		return nil, answerFiles
	}
	for i := range list {
		list[i].word = prefix + list[i].word
	}
	return list, ""
}

// arguments returns what can stand where no option does.
func (l *typedLine) arguments(c *command) ([]candidate, string) {
	switch {
	case strings.HasPrefix(c.args, "[NAME"):
		return l.species(), ""
	case strings.HasPrefix(c.args, "[PLAN") && len(l.args) == 0:
		return nil, answerFiles
	case c.name == "completion" && len(l.args) == 0:
		return []candidate{{"bash", ""}, {"zsh", ""}, {"fish", ""}}, ""
	}
	return nil, ""
}

// species returns the ids of the library's species.
func (l *typedLine) species() (list []candidate) {
	lib, err := inputs.Library(l.profiles)
	if err != nil {
		return nil // a word that is being typed is no place to complain
	}
	for _, sp := range lib.All() {
		list = append(list, candidate{sp.ID, sp.Name()})
	}
	return list
}

// sites returns the ids of the sites of the plan on the line, or of the demonstration's.
func (l *typedLine) sites() (list []candidate) {
	name, open := demo.Plan, demo.Files.Open
	if len(l.args) > 0 {
		name, open = l.args[0], func(name string) (fs.File, error) { return regular.Open(name) }
	}
	f, err := open(name)
	if err != nil {
		return nil // a word that is being typed is no place to complain
	}
	defer f.Close()
	plan, err := planfile.Read(bufio.NewReader(f), name)
	if err != nil {
		return nil
	}
	for _, s := range plan.Sites {
		list = append(list, candidate{s.ID, s.Name})
	}
	return list
}
