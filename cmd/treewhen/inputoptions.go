package main

import (
	"github.com/spf13/pflag"

	"treewhen/calendar/planfile"
	"treewhen/phenology/civil"
	"treewhen/phenology/problem"
)

// inputOptions are the options that say what to work on. They are the same for all commands that read a plan.
type inputOptions struct {
	asOf       optionalDate
	from, to   optionalDate
	season     int
	sites      []string
	species    []string
	activities []string
	profiles   string
	cache      string // folder for copies of what is fetched
}

// optionalDate is a date that an option may set.
type optionalDate struct {
	civil.Date
	set bool
}

// Set, String and Type make an optionalDate an option's value.
func (d *optionalDate) Set(s string) error {
	d.set = true
	if err := d.UnmarshalText([]byte(s)); err != nil {
		return err
	}
	return planfile.CheckDay(d.Date)
}

func (d *optionalDate) String() string {
	if !d.set {
		return ""
	}
	return d.Date.String()
}

// Type names the value in help.
func (d *optionalDate) Type() string { return "DATE" }

func (o *inputOptions) addTo(fs *pflag.FlagSet) {
	fs.Var(&o.asOf, "as-of", "pretend today is this `DATE`: later rows and sightings are not looked at")
	fs.IntVar(&o.season, "season", 0, "only this growing `YEAR`")
	fs.StringArrayVar(&o.sites, "site", nil, "only the site with this `ID` (repeatable)")
	fs.StringArrayVar(&o.species, "species", nil, "only the species of this `NAME` (repeatable)")
	fs.StringVar(&o.cache, "cache", "", "a `DIR` for copies of what the plan fetches over the web, used again while unchanged there or when the other side is down")
	fs.StringVar(&o.profiles, "profiles", "", "a `DIR` of your own species, beside or over the built-in ones")
}

func (o *inputOptions) addActivity(fs *pflag.FlagSet) {
	fs.StringArrayVar(&o.activities, "activity", nil, "only the activity of this `NAME`: tapping, seed-collection,\ntwig-survey or field-trip (repeatable)")
}

// span returns the days that the options ask for: from and to, or a season, or the 366 days from the as-of day on.
func (o *inputOptions) span(in *inputs) (civil.Span, error) {
	s := civil.Span{First: in.asOf, Last: in.asOf + 365}
	if o.season != 0 {
		if err := o.checkSeason(); err != nil {
			return s, err
		}
		s = civil.Span{First: civil.Of(o.season, 1, 1), Last: civil.Of(o.season, 12, 31)}
		for _, pl := range in.places {
			if pl.site.Southern() {
				s.Last = civil.Of(o.season+1, 6, 30)
			}
		}
	}
	if o.from.set {
		s.First = o.from.Date
		if !o.to.set && o.season == 0 {
			s.Last = s.First + 365
		}
	}
	if o.to.set {
		s.Last = o.to.Date
	}
	if s.Empty() {
		return s, problem.Usagef("found days from %s to %s, want the last day after the first", s.First, s.Last)
	}
	if s.Days() > 3660 {
		return s, problem.Usagef("found %d days, want ten years at most", s.Days())
	}
	return s, nil
}

func (o *inputOptions) checkSeason() error {
	if o.season < 1800 || o.season > 2200 {
		return problem.Usagef("--season: found %d, want a year from 1800 to 2200", o.season)
	}
	return nil
}
