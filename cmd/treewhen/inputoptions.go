package main

import (
	"context"
	"fmt"
	"os"
	"path/filepath"
	"runtime/debug"
	"strconv"
	"strings"

	"github.com/spf13/pflag"

	"treewhen/calendar/fetch"
	"treewhen/calendar/inputs"
	"treewhen/calendar/planfile"
	"treewhen/cmd/treewhen/demo"
	"treewhen/phenology/civil"
	"treewhen/phenology/problem"
)

// inputOptions are the options that say what to work on. They are the same for all commands that read a plan.
type inputOptions struct{ inputs.Options }

func (o *inputOptions) addTo(fs *pflag.FlagSet) {
	fs.Var(dateValue{&o.AsOf}, "as-of", "work as of `DATE`; ignore anything dated later")
	fs.Var((*seasonValue)(&o.Season), "season", "only this growing `YEAR`")
	fs.StringArrayVar(&o.Sites, "site", nil, "only the site with this `ID` (repeatable)")
	fs.StringArrayVar(&o.Species, "species", nil, "only the species of this `NAME` (repeatable)")
	fs.StringVar(&o.Cache, "cache", "", "a `DIR` for copies of what the plan fetches over the web, used again "+
		"while unchanged there or when the other side is down; weather services' go beside your other caches by "+
		"default")
	addContact(fs, &o.Contact)
	addProfiles(fs, &o.Profiles)
}

func (o *inputOptions) addActivity(fs *pflag.FlagSet) {
	fs.StringArrayVar(
		&o.Activities, "activity", nil,
		"only the activity of this `NAME`: tapping, seed-collection,\ntwig-survey or field-trip (repeatable)",
	)
}

func (o *inputOptions) addDays(fs *pflag.FlagSet, what string) {
	fs.Var(dateValue{&o.From}, "from", "first `DATE`"+what+"; default: the as-of day")
	fs.Var(dateValue{&o.To}, "to", "last `DATE`"+what+"; default: 365 days after the first")
}

// addContact adds the option for whom a weather service may turn to.
func addContact(fs *pflag.FlagSet, contact *string) {
	fs.Var((*contactValue)(contact), "contact", "an `ADDRESS` of mail or of the web at which a weather service may "+
		"reach you; it is sent with every request to one; default: the plan's")
}

// contactValue makes a contact an option's value.
type contactValue string

// Set reads an address.
func (v *contactValue) Set(s string) error {
	text, err := planfile.ParseContact(s)
	*v = contactValue(text)
	return err
}

func (v *contactValue) String() string { return string(*v) }

// Type names the value in help.
func (v *contactValue) Type() string { return "ADDRESS" }

// addProfiles adds the option for species of one's own.
func addProfiles(fs *pflag.FlagSet, dir *string) {
	fs.StringVar(dir, "profiles", "", "a `DIR` of your own species, beside or over the built-in ones")
}

// source completes the options by where this run reads from: the plan that args name, else the demonstration.
func (p *program) source(args []string, o *inputOptions) error {
	switch len(args) {
	case 0:
		o.Plan, o.Demo = demo.Plan, demo.Files
	case 1:
		o.Plan, o.Demo = args[0], nil
	default:
		return problem.Usagef("found %d plans (%s), want one", len(args), strings.Join(args, ", "))
	}
	o.Stdin, o.Say, o.Today = p.stdin, p.say, p.today
	o.Web = p.weather(o.Cache)
	return nil
}

// weather returns who asks weather services. Their copies outlive a run: in the folder that is named, else beside the
// user's other caches, else, where there are none, in memory.
func (p *program) weather(dir string) *fetch.Client {
	if dir == "" && p.caches != "" {
		dir = filepath.Join(p.caches, "treewhen", "weather")
	}
	web := fetch.New(dir)
	if p.tune != nil {
		p.tune(web)
	}
	return web
}

// load reads the plan named by args, or the demonstration, and everything that it names.
func (p *program) load(ctx context.Context, args []string, o *inputOptions) (*inputs.Inputs, error) {
	if err := p.source(args, o); err != nil {
		return nil, err
	}
	in, err := inputs.Read(ctx, &o.Options)
	if err == nil && len(in.Places) > manySites && os.Getenv("GOGC") == "" {
		debug.SetGCPercent(manySitesGC)
	}
	return in, err
}

// seasonValue makes a growing year an option's value; 0 is none.
type seasonValue int

// Set reads a year.
func (v *seasonValue) Set(s string) error {
	n, err := strconv.Atoi(s)
	if o := (inputs.Options{Season: n}); err != nil || n == 0 || o.CheckSeason() != nil {
		return fmt.Errorf("found %q, want a year from 1800 to 2200", s)
	}
	*v = seasonValue(n)
	return nil
}

func (v *seasonValue) String() string {
	if *v == 0 {
		return ""
	}
	return strconv.Itoa(int(*v))
}

// Type names the value in help.
func (v *seasonValue) Type() string { return "YEAR" }

// dateValue makes a date that need not be set an option's value.
type dateValue struct{ at **civil.Date }

// Set reads a date.
func (d dateValue) Set(s string) error {
	var day civil.Date
	if err := day.UnmarshalText([]byte(s)); err != nil {
		return err
	}
	*d.at = &day
	return planfile.CheckDay(day)
}

func (d dateValue) String() string {
	if d.at == nil || *d.at == nil {
		return ""
	}
	return (*d.at).String()
}

// Type names the value in help.
func (d dateValue) Type() string { return "DATE" }

// A plan of more than manySites is worked through with a heap that grows by no more than manySitesGC in a hundred
// between two collections: by default it would double, and 10,000 sites with records of their own would take a third
// more memory to be a tenth quicker.
const manySites, manySitesGC = 1000, 50
