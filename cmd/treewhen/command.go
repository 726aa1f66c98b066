package main

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"io"
	"runtime/debug"
	"strings"

	"treewhen/phenology/problem"

	"github.com/spf13/pflag"
)

// command is one thing the program does.
type command struct {
	name    string
	args    string // what follows the name, as usage shows it
	summary string // one line
	about   string // a paragraph or two for its help
	setup   func(*pflag.FlagSet) action
}

// action carries out a command once its options are parsed.
type action func(ctx context.Context, p *program, args []string) error

// commands returns the table of commands, in the order in which help lists them.
func commands() []command {
	return []command{
		initCommand, scheduleCommand, sapCommand, phasesCommand, feedCommand, serveCommand, alertsCommand,
		workloadCommand, sheetCommand, speciesCommand, checkCommand, temperaturesCommand, fitCommand, hindcastCommand,
		completionCommand(), manCommand(),
	}
}

func (p *program) dispatch(ctx context.Context, args []string) error {
	if len(args) == 0 {
		return p.help(p.stdout)
	}
	switch name := args[0]; name {
	case "help", "--help", "-h":
		if len(args) < 2 {
			return p.help(p.stdout)
		}
		if t := findTopic(args[1]); t != nil {
			return t.help(p.stdout)
		}
		c, err := find(args[1])
		if err != nil {
			return nearTopic(args[1], err)
		}
		return c.help(p.stdout)
	case "version", "--version":
		_, err := fmt.Fprintln(p.stdout, "treewhen "+version())
		return err
	default:
		c, err := find(name)
		if err != nil {
			return err
		}
		return c.run(ctx, p, args[1:])
	}
}

// find returns a command by name; a wrong one gets the nearest offered.
func find(name string) (*command, error) {
	var names []string
	for _, c := range commands() {
		if c.name == name {
			return &c, nil
		}
		names = append(names, c.name)
	}
	err := problem.Usage{
		Text: fmt.Sprintf("there is no command %q; there are %s", name, strings.Join(names, ", ")),
		Hint: "treewhen help",
	}
	if near := problem.Nearest(name, append(names, "help", "version")); near != "" {
		err.Hint = fmt.Sprintf("did you mean treewhen %s?", near)
	}
	return nil, err
}

func (c *command) flags() (*pflag.FlagSet, action) {
	fs := pflag.NewFlagSet(c.name, pflag.ContinueOnError)
	fs.SetOutput(io.Discard)
	fs.SortFlags = false
	return fs, c.setup(fs)
}

func (c *command) run(ctx context.Context, p *program, args []string) error {
	fs, do := c.flags()
	switch err := fs.Parse(args); {
	case errors.Is(err, pflag.ErrHelp):
		return c.help(p.stdout)
	case err != nil:
		usage := problem.Usage{Text: c.name + ": " + err.Error(), Hint: "treewhen help " + c.name}
		var unknown *pflag.NotExistError
		var invalid *pflag.InvalidValueError
		if errors.As(err, &invalid) {
			usage.Text = fmt.Sprintf("%s: --%s: %v", c.name, invalid.GetFlag().Name, invalid.Unwrap())
		}
		if errors.As(err, &unknown) {
			var names []string
			fs.VisitAll(func(f *pflag.Flag) { names = append(names, f.Name) })
			usage.Text = fmt.Sprintf("%s: there is no option --%s", c.name, unknown.GetSpecifiedName())
			if near := problem.Nearest(unknown.GetSpecifiedName(), names); near != "" {
				usage.Hint = "did you mean --" + near + "?"
			}
		}
		return usage
	}
	if err := checkWords(fs); err != nil {
		return err
	}
	return do(ctx, p, fs.Args())
}

// help tells what a command does, and its options.
func (c *command) help(out io.Writer) error {
	w := &bytes.Buffer{}
	fmt.Fprintf(w, "treewhen %s: %s\n\n", c.name, c.summary)
	fmt.Fprintf(w, "usage: treewhen %s\n", strings.TrimSpace(c.name+" "+c.args))
	if c.about != "" {
		fmt.Fprintf(w, "\n%s\n", rewrap(c.about, helpWidth))
	}
	own, shared := c.options()
	if len(own) > 0 {
		fmt.Fprint(w, "\noptions:\n")
		writeOptions(w, own)
	}
	if len(shared) > 0 {
		fmt.Fprint(w, "\noptions of every command that reads a plan:\n")
		writeOptions(w, shared)
	}
	_, err := out.Write(w.Bytes())
	return err
}

// help lists the commands.
func (p *program) help(w io.Writer) error {
	var b bytes.Buffer
	b.WriteString("treewhen works out when trees do things, how sure that is, and what work follows.\n\n")
	b.WriteString("usage: treewhen COMMAND [PLAN] [options]\n\n")
	for _, c := range commands() {
		fmt.Fprintf(&b, "  %-12s %s\n", c.name, c.summary)
	}
	b.WriteString("\nPLAN is a plan file, or - for standard input. Without one, the built-in\n" +
		"demonstration is used, whose places, people and weather are invented.\n\n" +
		"  treewhen schedule        the demonstration's work ahead, to see what this is\n" +
		"  treewhen init            a plan of your own, from the name of a town\n" +
		"  treewhen help COMMAND    more on a command and its options\n" +
		"  treewhen help plan       every key of a plan file, and the columns of sightings\n" +
		"  treewhen help profile    every key of a species' profile\n" +
		"  treewhen help method     how dates are made, how far off they were\n" +
		"  treewhen --version\n")
	_, err := w.Write(b.Bytes())
	return err
}

// version is what the build knows of itself.
func version() string {
	info, ok := debug.ReadBuildInfo()
	if !ok {
		return "(unknown build)"
	}
	v := info.Main.Version
	if v == "" || v == "(devel)" {
		v = "development build"
	}
	if revision := buildSetting("vcs.revision"); len(revision) >= 12 && !strings.Contains(v, revision[:12]) {
		v += " " + revision[:12]
	}
	return v + " (" + info.GoVersion + ")"
}

// buildSetting returns what the build notes under a key, "" for nothing.
func buildSetting(key string) string {
	info, ok := debug.ReadBuildInfo()
	if !ok {
		return ""
	}
	for _, s := range info.Settings {
		if s.Key == key {
			return s.Value
		}
	}
	return ""
}
