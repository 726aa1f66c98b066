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

	"treewhen/calendar"
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
	addDate(fs, &o.AsOf, "as-of", "work as of `DATE`; ignore anything dated later")
	fs.Func("season", "only this growing `YEAR`", func(s string) (err error) {
		if o.Season, err = strconv.Atoi(s); err != nil || o.Season == 0 || o.CheckSeason() != nil {
			return fmt.Errorf("found %q, want a year from 1800 to 2200", s)
		}
		return nil
	})
	fs.StringArrayVar(&o.Sites, "site", nil, "only the site with this `ID` (repeatable)")
	fs.StringArrayVar(&o.Species, "species", nil, "only the species of this `NAME` (repeatable)")
	fs.StringVar(&o.Cache, "cache", "", "a `DIR` for copies of what the plan fetches over the web, used again "+
		"while unchanged there or when the other side is down; weather services' go beside your other caches by "+
		"default")
	addContact(fs, &o.Contact)
	addProfiles(fs, &o.Profiles)
}

// checkWhole refuses what leaves a part out of feeds. A feed is the whole truth about its site: that part would be
// published as cancelled.
func (o *inputOptions) checkWhole(command string) error {
	if o.Season != 0 || len(o.Species) > 0 {
		return problem.Usagef("%s: --season and --species would cancel everything else in the feeds; leave them out",
			command)
	}
	return nil
}

func (o *inputOptions) addActivity(fs *pflag.FlagSet) {
	fs.StringArrayVar(&o.Activities, "activity", nil,
		"only the activity of this `NAME`: tapping, seed-collection,\ntwig-survey or field-trip (repeatable)")
	offer(fs, "activity", calendar.Activities()...)
}

func (o *inputOptions) addDays(fs *pflag.FlagSet, what string) {
	addDate(fs, &o.From, "from", "first `DATE`"+what+"; default: the as-of day")
	addDate(fs, &o.To, "to", "last `DATE`"+what+"; default: 365 days after the first")
}

// addContact adds the option for whom a weather service may turn to.
func addContact(fs *pflag.FlagSet, contact *string) {
	addParsed(fs, contact, planfile.ParseContact, "contact", "an `ADDRESS` of mail or of the web at which a weather "+
		"service may reach you; it is sent with every request to one; default: the plan's")
}

// addParsed adds an option whose value a parser reads.
func addParsed[T any](fs *pflag.FlagSet, to *T, parse func(string) (T, error), name, usage string) {
	fs.Func(name, usage, func(s string) (err error) {
		*to, err = parse(s)
		return err
	})
	fs.Lookup(name).DefValue = fmt.Sprint(*to)
}

// addDate adds an option that takes a date.
func addDate(fs *pflag.FlagSet, to **civil.Date, name, usage string) {
	fs.Func(name, usage, func(s string) error {
		day, err := civil.Parse(s)
		if err != nil {
			return err
		}
		*to = &day
		return planfile.CheckDay(day)
	})
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

// A plan of more than manySites is worked through with a heap that grows by no more than manySitesGC in a hundred
// between two collections: by default it would double, and 10,000 sites with records of their own would take a third
// more memory to be a tenth quicker.
const manySites, manySitesGC = 1000, 50
