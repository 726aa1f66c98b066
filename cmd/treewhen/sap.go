package main

import (
	"context"
	"fmt"
	"io"

	"github.com/spf13/pflag"

	"treewhen/calendar"
	"treewhen/calendar/build"
	"treewhen/calendar/inputs"
	"treewhen/calendar/tapping"
	"treewhen/calendar/text"
	"treewhen/phenology"
	"treewhen/phenology/civil"
	"treewhen/phenology/problem"
)

var sapCommand = command{
	name: "sap", args: "[PLAN] [options]",
	summary: "the sap season: tap or wait, and what it costs",
	about: "For each bush and tapped species: whether to tap now or to wait, what a week early or late costs,\n" +
		"the season on one strip, its runs so far and in the forecast.\n\n" +
		"An advice to tap is held unless waiting is worth 7 % more of the catch; on two open records that\n" +
		"costs 0.5 points. With --feeds it is that of the feeds in a folder.\n\n" +
		"With --backtest: what would have come of the advice in each past year of the record, with only what\n" +
		"was known then, beside a fixed day and a rule of thumb.\n\n" +
		"As csv, a row is a season of a bush: what to do in a word, when sap starts and when the last worth\n" +
		"boiling runs (p10, p50, p90), the day to tap, the days that are as good (tap_first to tap_last), and\n" +
		"the shares of the season's run days that holes begun on that day, a week earlier and a week later\n" +
		"catch, and those of whoever waits (caught_waiting), what the day to tap catches of what the best day\n" +
		"of each past year would have (caught_of_best), in hours of a fresh hole too; with --backtest, a\n" +
		"season of the record. json has runs, warnings, buds and the season told as well. The words of\n" +
		"advice: plan, wait, tap-or-wait, tap-now, wait-again (it was advised, and now is not), tapped,\n" +
		"taken-done (past, or sap was seen to run, and not said to be done), too-late, over, no-record.",
	setup: func(fs *pflag.FlagSet) action {
		var o inputOptions
		var format, out, feeds string
		var back bool
		var forecast int
		rule := civil.MonthDay{Month: 3, Day: 1}
		o.addTo(fs)
		fs.BoolVar(&back, "backtest", false, "look back: each past year, with only what was known then")
		addParsed(fs, &rule, civil.ParseMonthDay, "rule", "with --backtest, the region's rule of thumb: tap on this "+
			"`MM-DD` every year; 1 March is the custom of northern New England")
		fs.IntVar(&forecast, "forecast-days", 0, fmt.Sprintf("with --backtest, let each morning have had a "+
			"forecast of `N` days, up to %d, as good as published ones are", tapping.MostForecast))
		addFormat(fs, &format, "csv", "json")
		addFeeds(fs, &feeds)
		addOut(fs, &out)
		return func(ctx context.Context, p *program, args []string) error {
			if forecast < 0 || forecast > tapping.MostForecast {
				return problem.Usage{
					Text: fmt.Sprintf("sap: --forecast-days: found %d, want 0 to %d", forecast, tapping.MostForecast),
					Hint: "treewhen help sap",
				}
			}
			o.Activities = []string{string(calendar.Tapping)}
			in, err := p.load(ctx, args, &o)
			if err != nil {
				return err
			}
			if err := p.recall(in, feeds); err != nil {
				return err
			}
			watch := p.progress("sites worked out")
			if back {
				list, failed, err := build.Backtests(ctx, in, watch.update, o.Season,
					tapping.LookBack{Rule: rule, Forecast: forecast})
				watch.end()
				if err != nil {
					return err
				}
				for _, f := range failed {
					p.say("%v", f)
				}
				return p.output(ctx, out, in.Files, func(w io.Writer) error {
					plan := in.Schedule(civil.Span{First: in.AsOf, Last: in.AsOf + 365})
					return writeSapBacktests(w, format, plan, list)
				})
			}
			undated := func(pl *inputs.Place, sp *phenology.Species) {
				watch.end() // this takes its place
				p.say("%s: no season of %s sap can be dated here; the notes of treewhen schedule say why", pl.Site.Name,
					sp.Name())
			}
			want := build.SapWant{Season: o.Season, Told: watch.update, Undated: undated}
			defer watch.end()
			if format == "text" { // of which a strip is drawn
				want.Past = true
				plan, seasons, err := build.Sap(ctx, in, want, func(s *tapping.Season) *tapping.Season { return s })
				if err != nil {
					return err
				}
				return p.output(ctx, out, in.Files, func(w io.Writer) error {
					return text.WriteSap(w, plan.Title, plan.AsOf, seasons, plan.Notes)
				})
			}
			plan, seasons, err := build.Sap(ctx, in, want, (*tapping.Season).Account)
			if err != nil {
				return err
			}
			return p.output(ctx, out, in.Files, func(w io.Writer) error {
				if format == "csv" {
					return text.WriteSapCSV(w, seasons)
				}
				return text.WriteSapJSON(w, plan, seasons)
			})
		}
	},
}

func writeSapBacktests(w io.Writer, format string, plan *calendar.Plan, list []*tapping.Backtest) error {
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
		if err := text.WriteBacktest(w, b, plan.Speech); err != nil {
			return err
		}
	}
	return nil
}
