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
	"treewhen/calendar/tapping"
	"treewhen/calendar/text"
	"treewhen/phenology"
	"treewhen/phenology/civil"
	"treewhen/phenology/problem"
)

var sapCommand = command{
	name: "sap", args: "[PLAN] [options]",
	summary: "the sap season: tap or wait, and what it costs",
	about: "For each bush and tapped species: whether to tap now or to wait, what a week early or\n" +
		"late costs, the season on one strip, its runs so far and in the forecast.\n\n" +
		"With --backtest: what would have come of the advice in each past year of the record,\n" +
		"with only what was known then, beside a fixed day and a rule of thumb.\n\n" +
		"As csv, a row is a season of a bush: what to do in a word, when sap starts and when the last\n" +
		"worth boiling runs (p10, p50, p90), the day to tap, the days that are as good (tap_first to\n" +
		"tap_last), and the shares of the season's run days that holes begun on that day, a week earlier\n" +
		"and a week later catch, and those of whoever waits (caught_waiting); with --backtest, a season\n" +
		"of the record. json has the runs as well. The words of advice: plan, wait, tap-or-wait, tap-now,\n" +
		"wait-again (it was advised, and now is not), tapped, taken-done (past, and not said to be done),\n" +
		"too-late, over, no-record.",
	setup: func(fs *pflag.FlagSet) action {
		var o inputOptions
		var format, out string
		var back bool
		var forecast int
		rule := monthDay{civil.MonthDay{Month: 3, Day: 1}}
		o.addTo(fs)
		fs.BoolVar(&back, "backtest", false, "look back: each past year, with only what was known then")
		fs.Var(&rule, "rule", "with --backtest, the region's rule of thumb: tap on this `MM-DD` every year;\n1 March is the custom of northern New England")
		fs.IntVar(&forecast, "forecast-days", 0, fmt.Sprintf("with --backtest, let each morning have had a forecast of `N` days,\nup to %d, as good as published ones are", tapping.MostForecast))
		fs.StringVar(&format, "format", "text", "the `FORMAT`: text, csv or json")
		fs.StringVar(&out, "out", "", "write to this `FILE` instead of standard output")
		return func(ctx context.Context, p *program, args []string) error {
			if err := oneOf("--format", format, "text", "csv", "json"); err != nil {
				return err
			}
			if forecast < 0 || forecast > tapping.MostForecast {
				return problem.Usage{Text: fmt.Sprintf("sap: --forecast-days: found %d, want 0 to %d", forecast, tapping.MostForecast), Hint: "treewhen help sap"}
			}
			o.activities = []string{string(calendar.Tapping)}
			in, err := p.load(args, &o)
			if err != nil {
				return err
			}
			plan := in.calendarPlan(civil.Span{First: in.asOf, Last: in.asOf + 365})
			watch := p.progress("sites worked out")
			if back {
				list, err := p.sapBacktests(ctx, in, watch, o.season, tapping.LookBack{Rule: rule.MonthDay, Forecast: forecast})
				if err != nil {
					return err
				}
				return p.output(out, in.files, func(w io.Writer) error { return writeSapBacktests(w, format, plan, list) })
			}
			seasons, err := p.sapSeasons(ctx, in, plan, watch, o.season, format == "text")
			if err != nil {
				return err
			}
			return p.output(out, in.files, func(w io.Writer) error {
				switch format {
				case "csv":
					return text.WriteSapCSV(w, seasons.rows)
				case "json":
					return text.WriteSapJSON(w, plan, seasons.rows)
				default:
					return text.WriteSap(w, plan.Title, plan.AsOf, seasons.whole, plan.Notes)
				}
			})
		}
	},
}

// sapSeasons are the seasons of bushes: whole for text, of which a strip is drawn, else as the rows of a table.
type sapSeasons struct {
	whole   []*tapping.SapSeason
	rows    []text.SapRow
	undated []string
}

// sapSeasons works out the season of every bush: the one asked for, else the one under way or the next.
func (p *program) sapSeasons(ctx context.Context, in *inputs, plan *calendar.Plan, watch *progress, season int, whole bool) (all sapSeasons, err error) {
	work := func(pl *place) (found sapSeasons) {
		if !slices.Contains(pl.site.Activities, calendar.Tapping) {
			return found
		}
		at := in.calendarPlace(pl)
		for _, sp := range pl.species {
			s := sapSeason(plan, at, sp, season)
			switch {
			case s == nil && tapping.Tappable(sp):
				found.undated = append(found.undated, sp.Name())
			case s == nil:
			case whole:
				found.whole = append(found.whole, s)
			default:
				found.rows = append(found.rows, text.SeasonRow(s))
			}
		}
		return found
	}
	err = atEveryPlace(ctx, in, watch, work, func(pl *place, found sapSeasons) error {
		for _, name := range found.undated {
			watch.end() // this takes its place
			p.say("%s: no season of %s sap can be dated here; the notes of treewhen schedule say why", pl.site.Name, name)
		}
		all.whole, all.rows = append(all.whole, found.whole...), append(all.rows, found.rows...)
		return nil
	})
	if err == nil && len(all.whole)+len(all.rows) == 0 {
		err = errors.New("the plan has no site with tapping among its activities and a tapped species whose sap can be dated")
	}
	return all, err
}

// sapSeason works out the season asked for; if none is, the one under way, or the next once it is over.
func sapSeason(plan *calendar.Plan, pl *calendar.Place, sp *phenology.Species, season int) *tapping.SapSeason {
	if season != 0 {
		return tapping.SapSeasonAt(plan, pl, sp, season)
	}
	year := phenology.SeasonAt(*pl.Site(), plan.AsOf).Year
	s := tapping.SapSeasonAt(plan, pl, sp, year)
	if s != nil && s.End.P90() < plan.AsOf {
		return tapping.SapSeasonAt(plan, pl, sp, year+1)
	}
	return s
}

// sapBacktests looks back at every bush with a record.
func (p *program) sapBacktests(ctx context.Context, in *inputs, watch *progress, season int, back tapping.LookBack) (all []*tapping.SapBacktest, err error) {
	type looked struct {
		list   []*tapping.SapBacktest
		failed []error
	}
	var failed []error
	err = atEveryPlace(ctx, in, watch, func(pl *place) (l looked) {
		if !slices.Contains(pl.site.Activities, calendar.Tapping) {
			return l
		}
		back := back
		back.Until = phenology.SeasonAt(pl.site.Site, in.asOf).Year
		if season != 0 {
			back.Until = min(back.Until, season)
		}
		outlook := in.outlook(pl)
		for _, sp := range pl.species {
			if !tapping.Tappable(sp) {
				continue
			}
			if b, err := tapping.BacktestTapping(outlook, sp, pl.site.Options.Tapping, back); err != nil {
				l.failed = append(l.failed, err)
			} else {
				b.Site = &pl.site.Site // not the outlook's, which would stay in memory with it
				l.list = append(l.list, b)
			}
		}
		return l
	}, func(_ *place, l looked) error {
		all, failed = append(all, l.list...), append(failed, l.failed...)
		return nil
	})
	switch {
	case err != nil:
		return nil, err
	case len(all) == 0 && len(failed) == 0:
		return nil, errors.New("the plan has no site with tapping among its activities and a tapped species")
	case len(all) == 0:
		err, failed = failed[len(failed)-1], failed[:len(failed)-1]
	}
	for _, f := range failed {
		p.say("%v", f)
	}
	return all, err
}

func writeSapBacktests(w io.Writer, format string, plan *calendar.Plan, list []*tapping.SapBacktest) error {
	switch format {
	case "csv":
		return text.WriteSapBacktestsCSV(w, list)
	case "json":
		return text.WriteSapBacktestsJSON(w, plan, list)
	}
	for i, b := range list {
		if i > 0 {
			fmt.Fprintln(w)
		}
		if err := text.WriteBacktest(w, b); err != nil {
			return err
		}
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
	return fmt.Sprintf("found %s, which is not tapped; want one of those that are: %s", sp.Name(), strings.Join(tapping.TappedNames(all), ", "))
}
