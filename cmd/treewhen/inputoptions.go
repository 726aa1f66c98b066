package main

import (
	"context"
	"fmt"
	"os"
	"runtime/debug"
	"strconv"
	"strings"

	"github.com/spf13/pflag"

	"treewhen/calendar/inputs"
	"treewhen/calendar/planfile"
	"treewhen/cmd/treewhen/demo"
	"treewhen/phenology/civil"
	"treewhen/phenology/problem"
)

// inputOptions are the options that say what to work on. They are the same for all commands that read a plan.
type inputOptions struct{ inputs.Options }

func (o *inputOptions) addTo(fs *pflag.FlagSet) {
	fs.Var(dateValue{&o.AsOf}, "as-of", "pretend today is this `DATE`: later rows and sightings are not looked at")
	fs.Var((*seasonValue)(&o.Season), "season", "only this growing `YEAR`")
	fs.StringArrayVar(&o.Sites, "site", nil, "only the site with this `ID` (repeatable)")
	fs.StringArrayVar(&o.Species, "species", nil, "only the species of this `NAME` (repeatable)")
	fs.StringVar(&o.Cache, "cache", "", "a `DIR` for copies of what the plan fetches over the web, used again "+
		"while unchanged there or when the other side is down")
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
	return nil
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
