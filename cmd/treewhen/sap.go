package main

import (
	"context"
	"errors"
	"fmt"
	"io"
	"slices"
	"strings"

	"github.com/spf13/pflag"

	"treewhen/calendar"
	"treewhen/phenology"
	"treewhen/phenology/civil"
)

var sapCommand = command{
	name: "sap", args: "[PLAN] [options]",
	summary: "the sap season: tap or wait, and what it costs",
	about: "For each bush and tapped species: whether to tap now or to wait, what a week early or\n" +
		"late costs, the season on one strip, its runs so far and in the forecast.\n\n" +
		"With --backtest: what would have come of the advice in each past year of the record,\n" +
		"with only what was known then, beside a fixed day and a rule of thumb.",
	setup: func(fs *pflag.FlagSet) action {
		var o inputOptions
		var out string
		var back bool
		rule := monthDay{civil.MonthDay{Month: 3, Day: 1}}
		o.addTo(fs)
		fs.BoolVar(&back, "backtest", false, "look back: each past year, with only what was known then")
		fs.Var(&rule, "rule", "with --backtest, the region's rule of thumb: tap on this `MM-DD` every year;\n1 March is the custom of northern New England")
		fs.StringVar(&out, "out", "", "write to this `FILE` instead of standard output")
		return func(_ context.Context, p *program, args []string) error {
			o.activities = []string{string(calendar.Tapping)}
			in, err := p.load(args, &o)
			if err != nil {
				return err
			}
			plan := in.calendarPlan(civil.Span{First: in.asOf, Last: in.asOf + 365})
			for _, pl := range in.places {
				plan.Places = append(plan.Places, in.calendarPlace(pl))
			}
			return p.output(out, in.files, func(w io.Writer) error {
				if back {
					return p.sapBacktest(w, in, plan, o.season, rule.MonthDay)
				}
				return p.sap(w, plan, o.season)
			})
		}
	},
}

// sap writes the season of every bush: the one asked for, else the one under way or the next.
func (p *program) sap(w io.Writer, plan *calendar.Plan, season int) error {
	var seasons []*calendar.SapSeason
	for _, pl := range plan.Places {
		if !slices.Contains(pl.Activities, calendar.Tapping) {
			continue
		}
		for _, sp := range pl.Species {
			if s := sapSeason(plan, pl, sp, season); s != nil {
				seasons = append(seasons, s)
			} else if calendar.Tappable(sp) {
				p.say("%s: no season of %s sap can be dated here; the notes of treewhen schedule say why", pl.Site().Name, sp.Name())
			}
		}
	}
	if len(seasons) == 0 {
		return errors.New("the plan has no site with tapping among its activities and a tapped species whose sap can be dated")
	}
	return calendar.WriteSap(w, plan.Title, plan.AsOf, seasons, plan.Notes)
}

// sapSeason works out the season asked for; if none is, the one under way, or the next once it is over.
func sapSeason(plan *calendar.Plan, pl *calendar.Place, sp *phenology.Species, season int) *calendar.SapSeason {
	if season != 0 {
		return calendar.SapSeasonAt(plan, pl, sp, season)
	}
	year := phenology.SeasonAt(*pl.Site(), plan.AsOf).Year
	s := calendar.SapSeasonAt(plan, pl, sp, year)
	if s != nil && s.End.P90() < plan.AsOf {
		return calendar.SapSeasonAt(plan, pl, sp, year+1)
	}
	return s
}

// sapBacktest writes a look back for every bush with a record.
func (p *program) sapBacktest(w io.Writer, in *inputs, plan *calendar.Plan, season int, rule civil.MonthDay) error {
	var last error
	n := 0
	for _, pl := range plan.Places {
		if !slices.Contains(pl.Activities, calendar.Tapping) {
			continue
		}
		until := phenology.SeasonAt(*pl.Site(), in.asOf).Year
		if season != 0 {
			until = min(until, season)
		}
		for _, sp := range pl.Species {
			if !calendar.Tappable(sp) {
				continue
			}
			b, err := calendar.BacktestTapping(pl.Outlook, sp, pl.Options.Tapping, rule, until)
			if err != nil {
				if last != nil {
					p.say("%v", last)
				}
				last = err
				continue
			}
			if n > 0 {
				fmt.Fprintln(w)
			}
			n++
			if err := b.Write(w); err != nil {
				return err
			}
		}
	}
	switch {
	case n == 0 && last != nil:
		return last
	case n == 0:
		return errors.New("the plan has no site with tapping among its activities and a tapped species")
	case last != nil:
		p.say("%v", last)
	}
	return nil
}

// monthDay is a day of the year that an option sets.
type monthDay struct{ civil.MonthDay }

// Set reads MM-DD.
func (m *monthDay) Set(s string) (err error) {
	m.MonthDay, err = civil.ParseMonthDay(s)
	return err
}

// Type names the value in help.
func (m *monthDay) Type() string { return "MM-DD" }

// notTapped is the error for a species that somebody asked to tap.
func notTapped(sp *phenology.Species, all []*phenology.Species) string {
	return fmt.Sprintf("found %s, which is not tapped; want one of those that are: %s", sp.Name(), strings.Join(calendar.TappedNames(all), ", "))
}
